"""Forms of what single objects are asked: rules, fixed places, and places kept."""

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from exhibit_core.exhibitions.models import Exhibition, ListEntry
from exhibit_core.hangs.forms import LONGEST_MM
from exhibit_core.hangs.models import Hang, HangRule
from exhibit_core.hangs.queries import wall_entries
from exhibit_core.register.numbers import natural_key
from exhibit_core.web.fields import LengthField

# Fields of a rule that say something for one kind only.
_COUNTS = {
    HangRule.Kind.APART: ("at_least_mm",),
    HangRule.Kind.NEAR: ("weight",),
    HangRule.Kind.ON_WALLS: ("section", "walls"),
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
        required=False,
        help_text="Two or more, separated by commas. One is enough where it may hang only on some "
        "walls.",
        max_length=4_000,
    )
    section = forms.ModelChoiceField(
        None,
        required=False,
        empty_label="no section, the objects named",
        label="Or a whole section",
        help_text="Only for what may hang on some walls.",
    )
    walls = forms.ModelMultipleChoiceField(
        None,
        required=False,
        widget=forms.CheckboxSelectMultiple,
        label="On these walls",
        help_text="Only for what may hang on some walls.",
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

    def __init__(self, *args: Any, hang: Hang, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._exhibition = hang.exhibition
        self.fields["section"].queryset = hang.exhibition.sections.all()
        self.fields["walls"].queryset = hang.walls.select_related("room")
        for kind, names in _COUNTS.items():
            for name in names:
                self.fields[name].counts_for = kind

    def clean_objects(self) -> list[ListEntry]:
        numbers = [n.strip() for n in re.split(r"[,;\n]", self.cleaned_data["objects"])]
        return found(self._exhibition, [number for number in numbers if number])

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        kind = data.get("kind")
        for other, names in _COUNTS.items():
            for name in names if other != kind else ():
                self.errors.pop(name, None)
                data[name] = None
        if "objects" in self.errors or not kind:
            return data
        if kind == HangRule.Kind.ON_WALLS:
            self._check_walls(data)
        elif len(data["objects"]) < 2:
            self.add_error("objects", "Name at least two objects.")
        if kind == HangRule.Kind.APART and not (data.get("at_least_mm") or self.errors):
            self.add_error("at_least_mm", "Say how far apart they must hang.")
        if kind == HangRule.Kind.NEAR and not data.get("weight"):
            self.add_error("weight", "Say how much it matters.")
        return data

    def _check_walls(self, data: dict[str, Any]) -> None:
        if bool(data["objects"]) == bool(data.get("section")):
            self.add_error("objects", "Name either objects or one section.")
        if not data.get("walls"):
            self.add_error("walls", "Choose at least one wall.")

    def values(self) -> dict[str, Any]:
        """Return what the rule says, besides its kind."""
        data = self.cleaned_data
        return {
            "entries": data["objects"],
            "at_least_mm": data["at_least_mm"],
            "weight": data["weight"],
            "section": data["section"],
            "walls": data["walls"] or (),
        }


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


class KeepForm(forms.Form):
    name = forms.CharField(
        label="What it is kept for",
        max_length=60,
        help_text="A word for the drawings, as long as the object has no number.",
    )
    width_mm = LengthField(unit="mm", least=1, most=LONGEST_MM, label="Width (mm)")
    height_mm = LengthField(unit="mm", least=1, most=LONGEST_MM, label="Height (mm)")
    section = forms.ModelChoiceField(None, required=False, empty_label="none", label="Section")

    def __init__(self, *args: Any, hang: Hang, **kwargs: Any) -> None:
        super().__init__(*args, auto_id="id_keep_%s", **kwargs)
        self.fields["section"].queryset = hang.exhibition.sections.all()


def found(exhibition: Exhibition, numbers: list[str]) -> list[ListEntry]:
    """Return the entries that could hang under these object numbers, written any usual way."""
    keys = {natural_key(number): number for number in numbers}
    rows = {e.object.number_key: e for e in wall_entries(exhibition, number_keys=keys)}
    if missing := [number for key, number in keys.items() if key not in rows]:
        raise ValidationError(
            f"{', '.join(missing)}: not among the objects that are selected and shown on a wall."
        )
    return [rows[key] for key in keys]
