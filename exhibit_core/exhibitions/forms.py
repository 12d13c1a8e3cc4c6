"""Forms of exhibitions, their sections and lists."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet

from exhibit_core.exhibitions.columns import Column
from exhibit_core.exhibitions.models import WEEKDAYS, Exhibition, ListEntry, Section
from exhibit_core.exhibitions.queries import (
    ANY,
    NONE,
    ORDERS,
    Narrowing,
    lenders_on_list,
    types_on_list,
)
from exhibit_core.register.models import Hazard, MuseumObject
from exhibit_core.register.queries import matching

Stage = ListEntry.Stage
LEAVE = ("", "leave unchanged")
LONGEST_KEY = 18
PER_PAGE = (50, 100, 200)
_DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
_HOUR = forms.TimeInput(attrs={"type": "time"}, format="%H:%M")


class ExhibitionForm(forms.ModelForm):
    """An exhibition at a known venue or at a new one."""

    new_venue = forms.CharField(
        max_length=200,
        required=False,
        label="or a new venue",
        help_text="A building, or a part of one. Leave empty when you chose a venue above.",
    )
    open_days = forms.TypedMultipleChoiceField(
        choices=list(enumerate(WEEKDAYS)),
        coerce=int,
        required=False,
        label="Open days",
        widget=forms.CheckboxSelectMultiple,
    )
    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    class Meta:
        model = Exhibition
        fields = (
            *("title", "subtitle", "venue", "opening", "closing"),
            *("open_days", "opens_at", "closes_at"),
        )
        widgets = {"opening": _DAY, "closing": _DAY, "opens_at": _HOUR, "closes_at": _HOUR}

    field_order = ("title", "subtitle", "venue", "new_venue", "opening", "closing")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["venue"].required = False
        self.fields["venue"].empty_label = "none yet"
        self.initial["version"] = self.instance.version

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        if not data.get("venue") and not data.get("new_venue"):
            self.add_error("venue", "Choose a venue, or write the name of a new one.")
        if data.get("venue") and data.get("new_venue"):
            self.add_error("new_venue", "You chose a venue above: leave this empty.")
        return data

    def values(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in self.Meta.fields}


class SectionForm(forms.ModelForm):
    class Meta:
        model = Section
        fields = ("number", "title", "key_message")
        widgets = {"key_message": forms.Textarea(attrs={"rows": 3})}
        help_texts = {"key_message": "What a visitor should take from it, in one or two sentences."}

    def clean_number(self) -> str:
        number = self.cleaned_data["number"]
        others = self.instance.exhibition.sections.exclude(pk=self.instance.pk)
        if others.filter(number=number).exists():
            raise ValidationError(f"There is a section {number} already: use another number.")
        return number


class SectionDeleteForm(forms.Form):
    move_to = forms.ModelChoiceField(
        Section.objects.none(),
        required=False,
        empty_label="no section",
        label="Move its objects to",
    )

    def __init__(self, *args: Any, section: Section, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["move_to"].queryset = section.exhibition.sections.exclude(pk=section.pk)


class NarrowForm(forms.Form):
    """What to see of a list; every field may stay empty."""

    words = forms.CharField(
        required=False, label="Search", widget=forms.TextInput(attrs={"type": "search"})
    )
    stage = forms.ChoiceField(required=False)
    section = forms.ChoiceField(required=False)
    shown_on = forms.ChoiceField(required=False, label="Shown on")
    lender = forms.ChoiceField(required=False)
    object_type = forms.ChoiceField(required=False, label="Type")
    hazard = forms.ChoiceField(required=False)
    max_lux = forms.IntegerField(
        required=False, min_value=1, max_value=200_000, label="Light limit up to (lx)"
    )
    no_size = forms.BooleanField(required=False, label="No size known")
    sort = forms.CharField(required=False, widget=forms.HiddenInput)
    per = forms.TypedChoiceField(
        required=False,
        coerce=int,
        empty_value=PER_PAGE[0],
        choices=[(n, str(n)) for n in PER_PAGE],
        label="Rows on a page",
    )

    def __init__(self, *args: Any, exhibition: Exhibition, **kwargs: Any) -> None:
        kwargs.setdefault("auto_id", "narrow_%s")
        super().__init__(*args, **kwargs)
        sections = [(str(row.pk), str(row)) for row in exhibition.sections.all()]
        lenders = [(str(pk), name) for pk, name in lenders_on_list(exhibition)]
        types = [(word, word) for word in types_on_list(exhibition)]
        shown = [(code or NONE, label) for code, label in ListEntry.ShownOn.choices]
        for name, choices in {
            "stage": Stage.choices,
            "section": [*sections, (NONE, "no section")],
            "shown_on": shown,
            "lender": [(NONE, "own collection"), *lenders],
            "object_type": types,
            "hazard": [(ANY, "any hazard"), (NONE, "no hazard"), *Hazard.choices],
        }.items():
            self.fields[name].choices = [("", "all"), *choices]

    def clean_sort(self) -> str:
        sort = self.cleaned_data["sort"]
        return sort if sort.removeprefix("-") in ORDERS else "story"

    def asked(self) -> Narrowing:
        """Return what was asked in the fields that are valid."""
        names = Narrowing.__dataclass_fields__
        return Narrowing(**{n: v for n, v in self.cleaned_data.items() if n in names})

    @property
    def narrowing_fields(self) -> list[forms.BoundField]:
        return [field for field in self.visible_fields() if field.name != "words"]

    def in_words(self) -> list[tuple[str, str]]:
        """Return each field that asks something, with what it asks."""
        found = []
        for name in Narrowing.__dataclass_fields__:
            if not (value := self.cleaned_data.get(name)):
                continue
            label = self[name].label
            said = dict(getattr(self.fields[name], "choices", ())).get(value, value)
            found.append((name, label if value is True else f"{label}: {said}"))
        return found

    @property
    def rows_on_a_page(self) -> int:
        return self.cleaned_data.get("per", PER_PAGE[0])


class EntryForm(forms.ModelForm):
    """One row of the list."""

    version = forms.IntegerField(widget=forms.HiddenInput)

    class Meta:
        model = ListEntry
        fields = ("stage", "reason", "section", "position", "shown_on", "note")
        help_texts = {"position": "Its place in the section; the others move along."}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("auto_id", "row_%s")
        super().__init__(*args, **kwargs)
        self.fields["section"].queryset = self.instance.exhibition.sections.all()
        self.fields["section"].empty_label = "no section"
        self.fields["position"].required = False
        if not self.is_bound:
            self.fields["stage"].widget.attrs["data-focus"] = True
        self.initial["version"] = self.instance.version

    def clean_position(self) -> int:
        position = self.cleaned_data["position"]
        return self.initial["position"] if position is None else position

    def values(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in self.Meta.fields}


class BulkForm(forms.Form):
    """The same change for many rows; a field left alone changes nothing."""

    stage = forms.ChoiceField(required=False, choices=[LEAVE, *Stage.choices])
    reason = forms.CharField(
        required=False,
        max_length=300,
        label="Reason for withdrawing",
        help_text="Needed when the stage is withdrawn.",
    )
    section = forms.ChoiceField(required=False)
    shown_on = forms.ChoiceField(
        required=False,
        label="Shown on",
        choices=[LEAVE, *((code or NONE, label) for code, label in ListEntry.ShownOn.choices)],
    )

    def __init__(self, *args: Any, exhibition: Exhibition, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._sections = {str(row.pk): row for row in exhibition.sections.all()}
        choices = [(pk, str(row)) for pk, row in self._sections.items()]
        self.fields["section"].choices = [LEAVE, (NONE, "no section"), *choices]

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        withdrawn = data.get("stage") == Stage.WITHDRAWN
        if withdrawn and not data.get("reason"):
            self.add_error("reason", "Say why they are withdrawn.")
        if not self.errors and not self.values():
            raise ValidationError("Nothing to change: choose a stage, a section or where shown.")
        return data

    def values(self) -> dict[str, Any]:
        data = self.cleaned_data
        values: dict[str, Any] = {}
        if data["stage"]:
            values["stage"] = data["stage"]
            withdrawn = data["stage"] == Stage.WITHDRAWN
            values["reason"] = data["reason"] if withdrawn else ""
        if data["section"]:
            values["section"] = self._sections.get(data["section"])
        if data["shown_on"]:
            values["shown_on"] = "" if data["shown_on"] == NONE else data["shown_on"]
        return values


class SearchForm(forms.Form):
    """What to look for in the register."""

    words = forms.CharField(
        required=False,
        label="Search the register",
        widget=forms.TextInput(attrs={"type": "search"}),
    )

    def narrow(self, objects: QuerySet[MuseumObject]) -> QuerySet[MuseumObject]:
        return matching(objects, self.cleaned_data.get("words", ""))


class RowsField(forms.ModelMultipleChoiceField):
    """Rows by their keys; a key that no database could hold is as unknown as any other."""

    def clean(self, value: Any) -> QuerySet:
        if any(len(str(key)) > LONGEST_KEY for key in value or ()):
            raise ValidationError(self.error_messages["invalid_pk_value"])
        return super().clean(value)


class AddForm(forms.Form):
    """Objects for the list, and how they begin there."""

    objects = RowsField(
        MuseumObject.objects.none(),
        error_messages={
            "required": "Choose at least one object: tick it in the first column.",
            "invalid_choice": "A chosen object is on the list already, or gone: choose again.",
            "invalid_pk_value": "A chosen object is not known: choose again.",
        },
    )
    stage = forms.ChoiceField(
        choices=[pair for pair in Stage.choices if pair[0] != Stage.WITHDRAWN],
        initial=Stage.LONG_LIST,
    )
    section = forms.ModelChoiceField(
        Section.objects.none(), required=False, empty_label="no section"
    )

    def __init__(
        self, *args: Any, exhibition: Exhibition, objects: QuerySet[MuseumObject], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.fields["objects"].queryset = objects
        self.fields["section"].queryset = exhibition.sections.all()

    def values_by_object(self) -> dict[int, dict[str, Any]]:
        values = {name: self.cleaned_data[name] for name in ("stage", "section")}
        return {obj.pk: values for obj in self.cleaned_data["objects"]}


class ColumnsForm(forms.Form):
    """A place for every column that is wanted; an empty place hides it."""

    def __init__(
        self, *args: Any, offered: list[Column], shown: list[Column], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        places = {column.name: place for place, column in enumerate(shown, start=1)}
        self._offered = offered
        for column in sorted(offered, key=lambda column: places.get(column.name, 99)):
            self.fields[f"show_{column.name}"] = forms.BooleanField(
                required=False,
                label=f"Show {column.label}",
                initial=column.name in places,
                disabled=column.name == "number",
            )
            self.fields[f"place_{column.name}"] = forms.IntegerField(
                required=False,
                min_value=1,
                max_value=99,
                label=f"Place of {column.label}",
                initial=places.get(column.name),
            )

    def pairs(self) -> list[tuple[str, forms.BoundField, forms.BoundField]]:
        labels = {column.name: column.label for column in self._offered}
        return [(labels[n], self[f"show_{n}"], self[f"place_{n}"]) for n in self._names()]

    def chosen(self) -> list[str]:
        """Return the names of the columns to show, by their place, then as they stood."""
        data = self.cleaned_data
        shown = [name for name in self._names() if data[f"show_{name}"] or name == "number"]
        return sorted(shown, key=self._wanted_place)

    def _wanted_place(self, name: str) -> tuple[int, int]:
        """Sort a column that was moved before one that stood at its new place, or after it."""
        stood = self[f"place_{name}"].initial or 99
        wanted = self.cleaned_data[f"place_{name}"] or 99
        return wanted, (wanted > stood) - (wanted < stood)

    def _names(self) -> list[str]:
        return [name.removeprefix("show_") for name in self.fields if name.startswith("show_")]
