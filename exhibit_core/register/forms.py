"""Forms of the register."""

from typing import Any

from django import forms
from django.utils import timezone

from exhibit_core.accounts.models import User
from exhibit_core.register.access import editable_fields
from exhibit_core.register.dates import years
from exhibit_core.register.dimensions import LONGEST_TEXT
from exhibit_core.register.models import (
    LARGEST_G,
    LARGEST_MM,
    Hazard,
    Lender,
    Measurement,
    MuseumObject,
)
from exhibit_core.register.money import MINOR_UNITS, plain
from exhibit_core.register.numbers import normal_number
from exhibit_core.register.queries import ANY, NONE, ORDERS, Narrowing, lenders, object_types
from exhibit_core.register.sizes import BestSize
from exhibit_core.web.fields import LengthField, WeightField
from exhibit_core.web.quantities import MM

GROUPS = {
    "Identity": ("number", "title", "object_type", "maker", "place"),
    "Date": ("date_text", "year_from", "year_to"),
    "Making": ("materials", "technique", "inscriptions", "features"),
    "Words": ("description", "credit_line"),
    "Owner": ("lender",),
    "Value": ("value", "currency"),
    "Hazards and permits": ("hazards", "hazard_note", "restricted_materials"),
    "Limits": ("max_lux",),
}
FIELDS = [name for names in GROUPS.values() for name in names]
ALL = ("", "all")


class NarrowForm(forms.Form):
    """What to see of the register; every field may stay empty."""

    words = forms.CharField(
        required=False, label="Search", widget=forms.TextInput(attrs={"type": "search"})
    )
    object_type = forms.ChoiceField(required=False, label="Type")
    lender = forms.ChoiceField(required=False)
    hazard = forms.ChoiceField(required=False)
    no_size = forms.BooleanField(required=False, label="No size known")
    sort = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        names = [(str(pk), name) for pk, name in lenders().values_list("pk", "name")]
        self.fields["object_type"].choices = [ALL, *((word, word) for word in object_types())]
        self.fields["lender"].choices = [ALL, (NONE, "own collection"), *names]
        self.fields["hazard"].choices = [
            ALL,
            (ANY, "any hazard"),
            (NONE, "no hazard"),
            *Hazard.choices,
        ]

    def clean_sort(self) -> str:
        sort = self.cleaned_data["sort"]
        return sort if sort.removeprefix("-") in ORDERS else "number"

    def asked(self) -> Narrowing:
        """Return what was asked in the fields that are valid."""
        names = Narrowing.__dataclass_fields__
        return Narrowing(**{n: v for n, v in self.cleaned_data.items() if n in names})


class ObjectForm(forms.ModelForm):
    """Those fields of an object that a person may change."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False)
    hazards = forms.MultipleChoiceField(
        choices=Hazard.choices, required=False, widget=forms.CheckboxSelectMultiple
    )
    currency = forms.ChoiceField(
        required=False,
        choices=[("", "none"), *((code, code) for code in sorted(MINOR_UNITS))],
        help_text="ISO 4217 code",
    )

    class Meta:
        model = MuseumObject
        fields = FIELDS
        help_texts = {
            "year_from": "Left empty, it is read from the date; before Christ with a minus.",
            "year_to": "Left empty, it is read from the date.",
            "lender": "Empty means the own collection.",
            "max_lux": "The brightest light it may hang in.",
        }
        widgets = {
            name: forms.Textarea(attrs={"rows": rows})
            for name, rows in {"inscriptions": 2, "features": 2, "description": 5}.items()
        }

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.editable = editable_fields(user, FIELDS)
        for name in set(FIELDS) - set(self.editable):
            del self.fields[name]
        if "lender" in self.fields:
            self.fields["lender"].queryset = Lender.objects.order_by("name")
            self.fields["lender"].empty_label = "own collection"
        self.initial["version"] = self.instance.version
        if self.instance.value is not None:
            self.initial["value"] = plain(self.instance.value, self.instance.currency)

    def clean_number(self) -> str:
        return normal_number(self.cleaned_data["number"])

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        if self._years_follow_date(data):
            read = years(data.get("date_text") or "")
            data["year_from"], data["year_to"] = read.earliest, read.latest
        if data.get("value") is None and data.get("currency"):
            data["currency"] = ""
        return data

    def _years_follow_date(self, data: dict[str, Any]) -> bool:
        """Years left empty are read from the date; those read from it before are read anew."""
        if not {"date_text", "year_from", "year_to"} <= data.keys():
            return False
        if data["year_from"] is None and data["year_to"] is None:
            return True
        old = self.instance
        before = years(old.date_text)
        return (
            data["date_text"] != old.date_text
            and (data["year_from"], data["year_to"]) == (old.year_from, old.year_to)
            and (old.year_from, old.year_to) == (before.earliest, before.latest)
        )

    def groups(self) -> list[tuple[str, list[forms.BoundField]]]:
        """Return the fields under their headings."""
        found = [
            (title, [self[name] for name in names if name in self.fields])
            for title, names in GROUPS.items()
        ]
        return [(title, fields) for title, fields in found if fields]

    def values(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in self.editable}


class _RecordForm(forms.Form):
    """What every record of a size says: what was measured, how, by whom and when."""

    basis = forms.ChoiceField(choices=Measurement.Basis.choices, initial="measured")
    by_whom = forms.CharField(max_length=120, required=False, label="By whom")
    on = forms.DateField(
        required=False,
        label="Date",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )

    def common(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in ("basis", "by_whom", "on")}


class MeasureForm(_RecordForm):
    """One act of measuring, in the unit in which the person reads lengths."""

    state = forms.ChoiceField(choices=Measurement.State.choices, label="Measured as")
    part = forms.CharField(
        max_length=60,
        required=False,
        label="Which part",
        help_text="Only when a part was measured.",
    )
    LENGTHS = {
        "height_mm": "Height",
        "width_mm": "Width",
        "depth_mm": "Depth",
        "diameter_mm": "Diameter",
        "hang_point_mm": "Hanging point",
    }

    GROUPS = {
        "What was measured": ("state", "part", "basis"),
        "Size and weight": (*LENGTHS, "mass_g"),
        "By whom and when": ("by_whom", "on"),
    }

    def __init__(self, *args: Any, user: User, known: BestSize | None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["by_whom"].initial = str(user)
        self.fields["on"].initial = timezone.localdate()
        if known:
            self.fields["state"].initial = known.state
        for name, label in self.LENGTHS.items():
            self.fields[name] = LengthField(
                unit=user.unit,
                least=1,
                most=LARGEST_MM,
                required=False,
                label=f"{label} ({user.unit})",
            )
        self.fields[
            "hang_point_mm"
        ].help_text = "From the top edge down to where it bears on the hook, the wire taut."
        self.fields["hang_point_mm"].least = 0
        self.fields["mass_g"] = WeightField(
            least=1, most=LARGEST_G, required=False, label="Weight (kg)"
        )
        self.order_fields([name for names in self.GROUPS.values() for name in names])

    def groups(self) -> list[tuple[str, list[forms.BoundField]]]:
        """Return the fields under their headings."""
        return [(title, [self[name] for name in names]) for title, names in self.GROUPS.items()]

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        sizes = [data.get(name) for name in (*self.LENGTHS, "mass_g") if name != "hang_point_mm"]
        if not self.errors and not any(sizes):
            raise forms.ValidationError("Give at least one dimension or the weight.")
        return data

    def values(self) -> dict[str, Any]:
        return dict(self.cleaned_data)


class PictureForm(forms.Form):
    file = forms.FileField(
        label="Picture",
        help_text="JPEG, PNG, WebP or TIFF. Where it was taken is not kept.",
        widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png,image/webp,image/tiff"}),
    )
    caption = forms.CharField(
        max_length=300,
        required=False,
        label="What it shows",
        help_text="Read out to those who cannot see it, as in: seen from the front.",
    )


class LenderForm(forms.ModelForm):
    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    class Meta:
        model = Lender
        fields = ("name", "address", "email", "phone")
        widgets = {"address": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial["version"] = self.instance.version

    def values(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in self.Meta.fields}


class WrittenForm(_RecordForm):
    """Sizes as somebody wrote them down; `seen` holds the text whose reading was shown."""

    source_text = forms.CharField(
        label="As written",
        max_length=LONGEST_TEXT,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="Height × width × depth, as in: framed 82.2 x 117.8 x 4.5 cm, 6.4 kg",
    )
    unit = forms.ChoiceField(
        label="Unit where none is written", choices=[(code, code) for code in MM]
    )
    seen = forms.CharField(required=False, widget=forms.HiddenInput, strip=False)

    def __init__(self, *args: Any, user: User, lender: Lender | None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["unit"].initial = user.unit
        self.fields["by_whom"].initial = str(lender or "")
        self.fields["basis"].initial = Measurement.Basis.STATED
        self.order_fields(["source_text", "unit", "basis", "by_whom", "on", "seen"])


class ReadForm(forms.Form):
    """One element that was read from a text: what it is the size of, or that it is left out."""

    state = forms.ChoiceField(
        choices=[*Measurement.State.choices, ("", "leave it out")],
        required=False,
        label="Measured as",
    )
