"""The form of a hang: walls, arrangement, heights, gaps and labels."""

from collections.abc import Iterator
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.forms import BoundField
from django.forms.boundfield import BoundWidget

from exhibit_core.hangs.kinds import FACTS, ONLY_FOR, Facts, counts
from exhibit_core.hangs.models import (
    FEWEST_ROWS,
    HIGHEST_DATUM_MM,
    LOWEST_DATUM_MM,
    MOST_ROWS,
    Hang,
)
from exhibit_core.hangs.queries import datums_of, walls_there
from exhibit_core.spaces.models import Wall
from exhibit_core.web.fields import LengthField

LONGEST_MM = 500_000
_GROUPS = (
    ("What hangs where", ("title", "walls", "sections")),
    ("Arrangement", ("kind", "rows", "row_gap_mm", "keep_order")),
    ("Height", ("align", "datum_mm", "lowest_edge_mm", "highest_edge_mm")),
    ("Gaps", ("ends", "min_gap_mm", "max_gap_mm", "section_gap_mm")),
    ("Labels", ("label_side", "label_width_mm", "label_height_mm", "label_gap_mm")),
)
_LENGTHS = (
    "datum_mm",
    "lowest_edge_mm",
    "highest_edge_mm",
    "row_gap_mm",
    "min_gap_mm",
    "max_gap_mm",
    "section_gap_mm",
)
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
            "lowest_edge_mm": "No object's lower edge hangs below it, so that all can be seen; in "
            "rows and tight groups no label either. Empty means no limit.",
            "highest_edge_mm": "No object's top edge hangs above it, so that all can be reached. "
            "Empty means no limit.",
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
        self._own_datums(list(walls.queryset))
        for name, kinds in ONLY_FOR.items():
            self.fields[name].counts_for = " ".join(kinds)
        self.initial["version"] = self.instance.version

    def _own_datums(self, walls: list[Wall]) -> None:
        """Ask for each wall whether it has a datum of its own."""
        known = datums_of(self.instance) if self.instance.pk else {}
        self._datum_names = {wall.pk: f"datum_{wall.pk}_mm" for wall in walls}
        for wall in walls:
            self.fields[self._datum_names[wall.pk]] = LengthField(
                unit="mm",
                least=LOWEST_DATUM_MM,
                most=HIGHEST_DATUM_MM,
                required=False,
                label=f"Datum on {wall}",
                initial=known.get(str(wall.pk)),
            )

    def wall_datums(self) -> list[BoundField]:
        """Return the fields of walls that may have a datum of their own."""
        return [self[name] for name in self._datum_names.values()]

    def has_wall_datums(self) -> bool:
        """True when a wall has a datum of its own or one that cannot be."""
        return any(field.value() or field.errors for field in self.wall_datums())

    def datums(self) -> dict[int, int | None]:
        """Return the datum of each chosen wall in mm; None for the hang's own."""
        return {
            wall.pk: self.cleaned_data[self._datum_names[wall.pk]]
            for wall in self.cleaned_data["walls"]
        }

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


class ScaleForm(forms.Form):
    """The scale of an elevation, as in ?scale=20; none means chosen by the program."""

    scale = forms.IntegerField(required=False, min_value=1, max_value=1000)
    wall = forms.IntegerField(required=False, min_value=1)
