"""Forms of venues, rooms, walls and what is on a wall; lengths may be typed with their unit."""

from typing import Any

from django import forms

from exhibit_core.spaces.models import (
    HIGHEST_WALL_MM,
    LONGEST_WALL_MM,
    BlockedArea,
    Fixing,
    LightZone,
    Room,
    Venue,
    Wall,
)
from exhibit_core.web.fields import LengthField

_BARE = "Bare numbers are millimetres; 36 m or 11 ft 6 in are read too."


class VenueForm(forms.ModelForm):
    class Meta:
        model = Venue
        fields = ("name", "address")
        widgets = {"address": forms.Textarea(attrs={"rows": 3})}


class RoomForm(forms.ModelForm):
    class Meta:
        model = Room
        fields = ("name",)


class WallForm(forms.ModelForm):
    length_mm = LengthField(label="Length", least=100, most=LONGEST_WALL_MM, help_text=_BARE)
    height_mm = LengthField(label="Height", least=100, most=HIGHEST_WALL_MM)

    class Meta:
        model = Wall
        fields = ("name", "length_mm", "height_mm")


class BlockedAreaForm(forms.ModelForm):
    x_mm = LengthField(label="From the left end", least=0)
    y_mm = LengthField(label="From the floor", least=0, initial=0)
    width_mm = LengthField(label="Width", least=1)
    height_mm = LengthField(label="Height", least=1)

    class Meta:
        model = BlockedArea
        fields = ("what", "x_mm", "y_mm", "width_mm", "height_mm")
        labels = {"what": "What is there"}
        help_texts = {"what": "As in door, hydrant, vent"}


class _StretchForm(forms.ModelForm):
    from_mm = LengthField(label="From", least=0, initial=0)
    to_mm = LengthField(label="To", least=1)


class LightZoneForm(_StretchForm):
    class Meta:
        model = LightZone
        fields = ("from_mm", "to_mm", "lux")
        labels = {"lux": "Light at most (lx)"}


class FixingForm(_StretchForm):
    class Meta:
        model = Fixing
        fields = ("from_mm", "to_mm", "max_kg_per_object", "max_kg_per_m")

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        limits = [values.get(name) for name in ("max_kg_per_object", "max_kg_per_m")]
        if not self.errors and limits == [None, None]:
            raise forms.ValidationError("Give at least one limit; without any there is none.")
        return values


PART_FORMS: dict[str, type[forms.ModelForm]] = {
    "blocked": BlockedAreaForm,
    "light": LightZoneForm,
    "fixing": FixingForm,
}
