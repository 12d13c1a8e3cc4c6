"""Forms of hangs, their rules and fixed places."""

import re
from collections.abc import Iterator
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.forms import BoundField
from django.forms.boundfield import BoundWidget

from exhibit_core.exhibitions.models import Exhibition, ListEntry
from exhibit_core.hangs.kinds import FACTS, ONLY_FOR, Facts, counts
from exhibit_core.hangs.models import FEWEST_ROWS, MOST_ROWS, Hang, HangRule
from exhibit_core.hangs.queries import wall_entries, walls_there
from exhibit_core.register.numbers import natural_key
from exhibit_core.web.fields import LengthField

LONGEST_MM = 500_000
_GROUPS = (
    ("What hangs where", ("title", "walls", "sections")),
    ("Arrangement", ("kind", "rows", "row_gap_mm", "keep_order")),
    ("Height", ("align", "datum_mm")),
    ("Gaps", ("ends", "min_gap_mm", "max_gap_mm", "section_gap_mm")),
    ("Labels", ("label_side", "label_width_mm", "label_height_mm", "label_gap_mm")),
)
_LENGTHS = ("datum_mm", "row_gap_mm", "min_gap_mm", "max_gap_mm", "section_gap_mm")
_LABEL_LENGTHS = ("label_width_mm", "label_height_mm", "label_gap_mm")


class HangForm(forms.ModelForm):
    """What a hang asks, in groups."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    class Meta:
        model = Hang
        fields = tuple(name for _, names in _GROUPS for name in names)
        widgets = {
            "walls": forms.CheckboxSelectMultiple,
            "sections": forms.CheckboxSelectMultiple,
            "kind": forms.RadioSelect,
        }
        labels = {"label_side": "side"}
        help_texts = {
            "sections": "None ticked means every section.",
            "rows": f"Only in rows: {FEWEST_ROWS} to {MOST_ROWS}, one above the other.",
            "row_gap_mm": "Only in rows: from the lowest edge of a row to the highest of the next.",
            "keep_order": "For an even run, by section and in rows: objects hang in the order of "
            "the list, along the walls; in rows, row by row from the top.",
            "align": "What lies at the datum's height in every piece; in rows, about one line a "
            "row. A tight group has none.",
            "datum_mm": "In rows and tight groups, the middle of the whole stack or group.",
            "ends": "The margin at both ends of each clear run of wall. A tight group has none.",
            "max_gap_mm": "Leave empty for no largest gap. A tight group has none.",
            "section_gap_mm": "Only by section; empty means like every other gap.",
            "label_side": "A label beside a piece counts in the row; its space is kept free.",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        exhibition = self.instance.exhibition
        walls = self.fields["walls"]
        walls.queryset = walls_there(exhibition)
        walls.error_messages["required"] = "Choose at least one wall."
        self.fields["sections"].queryset = exhibition.sections.all()
        if self.instance.pk is None and not self.fields["sections"].queryset.exists():
            self.initial["kind"] = Hang.Kind.EVEN
        for name in (*_LENGTHS, *_LABEL_LENGTHS):
            old = self.fields[name]
            self.fields[name] = LengthField(
                unit="mm",
                most=LONGEST_MM,
                label=old.label,
                help_text=old.help_text,
                required=old.required,
                initial=old.initial,
            )
        for name, kinds in ONLY_FOR.items():
            self.fields[name].counts_for = " ".join(kinds)
        self.initial["version"] = self.instance.version

    def kinds(self) -> Iterator[tuple[BoundWidget, Facts]]:
        """Yield each arrangement's button with what is to be said of it."""
        buttons = {button.data["value"]: button for button in self["kind"]}
        for facts in FACTS:
            button = buttons[facts.kind]
            button.data["attrs"]["aria-describedby"] = f"{button.id_for_label}_does"
            yield button, facts

    def groups(self) -> Iterator[tuple[str, list[BoundField]]]:
        for legend, names in _GROUPS:
            yield legend, [self[name] for name in names]

    def clean_title(self) -> str:
        title = self.cleaned_data["title"]
        others = self.instance.exhibition.hangs.exclude(pk=self.instance.pk)
        if others.filter(title=title).exists():
            raise ValidationError(f"There is a hang “{title}” already: choose another title.")
        return title

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        self._leave_the_rest(data)
        least, most = data.get("min_gap_mm"), data.get("max_gap_mm")
        if least is not None and most is not None and most < least:
            self.add_error("max_gap_mm", f"It is below the smallest gap of {least} mm.")
        if data.get("label_side"):
            for name in ("label_width_mm", "label_height_mm"):
                if data.get(name) == 0:
                    self.add_error(name, "A label needs a size; or choose no labels.")
        return data

    def _leave_the_rest(self, data: dict[str, Any]) -> None:
        """Keep what is stored in fields that say nothing to the arrangement chosen."""
        for name in ONLY_FOR:
            if data.get("kind") and not counts(name, data["kind"]):
                self.errors.pop(name, None)
                data[name] = getattr(self.instance, name)

    def values(self) -> dict[str, Any]:
        return {
            name: self.cleaned_data[name]
            for name in self.Meta.fields
            if name not in {"walls", "sections"}
        }


class RuleForm(forms.Form):
    kind = forms.ChoiceField(
        choices=HangRule.Kind.choices,
        widget=forms.RadioSelect,
        initial=HangRule.Kind.TOGETHER,
        label="They hang",
    )
    objects = forms.CharField(
        label="Object numbers",
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="Two or more, separated by commas.",
        max_length=4_000,
    )
    at_least_mm = LengthField(
        unit="mm",
        least=1,
        most=LONGEST_MM,
        required=False,
        label="At least apart (mm)",
        help_text="Only for objects that hang apart; counts on one wall.",
    )
    weight = forms.TypedChoiceField(
        choices=HangRule.Weight.choices,
        coerce=int,
        initial=HangRule.Weight.MUCH,
        required=False,
        empty_value=None,
        label="How much it matters",
        help_text="Only for objects near each other. It orders what is related side by side; in "
        "every other arrangement the distance that comes out is reported.",
    )

    def __init__(self, *args: Any, exhibition: Exhibition, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._exhibition = exhibition
        self.fields["at_least_mm"].counts_for = HangRule.Kind.APART
        self.fields["weight"].counts_for = HangRule.Kind.NEAR

    def clean_objects(self) -> list[ListEntry]:
        numbers = [n.strip() for n in re.split(r"[,;\n]", self.cleaned_data["objects"])]
        entries = found(self._exhibition, [number for number in numbers if number])
        if len({entry.pk for entry in entries}) < 2:
            raise ValidationError("Name at least two objects.")
        return entries

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        unsaid = not data.get("at_least_mm") and "at_least_mm" not in self.errors
        if data.get("kind") == HangRule.Kind.APART and unsaid:
            self.add_error("at_least_mm", "Say how far apart they must hang.")
        if data.get("kind") == HangRule.Kind.NEAR and not data.get("weight"):
            self.add_error("weight", "Say how much it matters.")
        if data.get("kind") != HangRule.Kind.APART:
            self.errors.pop("at_least_mm", None)
        return data


class PlaceForm(forms.Form):
    number = forms.CharField(
        label="Object number",
        max_length=60,
        widget=forms.TextInput(attrs={"list": "wall-objects", "autocomplete": "off"}),
    )
    wall = forms.ModelChoiceField(None, label="On the wall")
    x_mm = LengthField(
        unit="mm",
        most=LONGEST_MM,
        required=False,
        label="Left edge from the wall's left end (mm)",
        help_text="Leave empty to fix the wall only.",
    )
    y_mm = LengthField(
        unit="mm",
        most=LONGEST_MM,
        required=False,
        label="Bottom edge from the floor (mm)",
        help_text="Leave empty to follow the alignment.",
    )

    def __init__(self, *args: Any, hang: Hang, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._exhibition = hang.exhibition
        self.fields["wall"].queryset = hang.walls.select_related("room")

    def clean_number(self) -> ListEntry:
        return found(self._exhibition, [self.cleaned_data["number"]])[0]


def found(exhibition: Exhibition, numbers: list[str]) -> list[ListEntry]:
    """Return the entries that could hang under these object numbers, written any usual way."""
    keys = {natural_key(number): number for number in numbers}
    rows = {e.object.number_key: e for e in wall_entries(exhibition, number_keys=keys)}
    if missing := [number for key, number in keys.items() if key not in rows]:
        raise ValidationError(
            f"{', '.join(missing)}: not among the objects that are selected and shown on a wall."
        )
    return [rows[key] for key in keys]


class ScaleForm(forms.Form):
    """The scale of an elevation, as in ?scale=20; none means chosen by the program."""

    scale = forms.IntegerField(required=False, min_value=1, max_value=1000)
    wall = forms.IntegerField(required=False, min_value=1)
