"""Forms of lists that come in."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.db.models import QuerySet

from exhibit_core.accounts.access import can
from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Right
from exhibit_core.exchange.fields import FIELDS, STATES, Field, offered
from exhibit_core.exchange.matching import LEAVE_OUT, UNDECIDED, Guess, Match
from exhibit_core.exchange.models import ObjectList
from exhibit_core.exhibitions.models import Exhibition
from exhibit_core.register.models import Measurement

LEFT_OUT = "leave out"
CURRENCIES = ("EUR", "GBP", "USD", "CHF")
GROUPS = {"object": "The object", "size": "Its size", "entry": "On the exhibition's list"}


class UploadForm(forms.Form):
    file = forms.FileField(
        label="Object list",
        help_text="An .xlsx workbook or a .csv file with one row of headings.",
        widget=forms.FileInput(attrs={"accept": ".xlsx,.csv,.tsv,.txt"}),
        error_messages={"empty": "The file is empty: send one with headings and objects below."},
    )
    exhibition = forms.ModelChoiceField(
        queryset=Exhibition.objects.none(),
        required=False,
        empty_label="none: into the register only",
        help_text="Its objects then also go on this exhibition's list.",
    )

    def __init__(self, *args: Any, exhibitions: QuerySet[Exhibition], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["exhibition"].queryset = exhibitions


class SheetForm(forms.Form):
    """Which sheet of a workbook is read, and where its headings stand."""

    sheet = forms.ChoiceField()
    header_row = forms.IntegerField(label="Row of headings", min_value=1, max_value=200)

    def __init__(self, *args: Any, object_list: ObjectList, **kwargs: Any) -> None:
        initial = {"sheet": object_list.sheet, "header_row": object_list.header_row}
        super().__init__(*args, initial=initial, **kwargs)
        self.fields["sheet"].choices = [
            (sheet["name"], f"{sheet['name']} (hidden)" if sheet["hidden"] else sheet["name"])
            for sheet in object_list.sheets
        ]
        if len(object_list.sheets) < 2:
            del self.fields["sheet"]


class MatchForm(forms.Form):
    """What each column holds; a column's choice is a field with its unit, or to leave it out."""

    size_state = forms.ChoiceField(
        label="Sizes are",
        choices=[row for row in Measurement.State.choices if row[0] in STATES],
        help_text="Where the list does not say otherwise itself.",
    )
    size_basis = forms.ChoiceField(
        label="Sizes were",
        choices=Measurement.Basis.choices,
        help_text="Stated by a lender or a list, or measured by one of you.",
    )
    empties_clear = forms.BooleanField(
        required=False,
        label="Empty cells clear what is there",
        help_text="Otherwise they leave it alone. Numbers, titles, stages and sizes always stay.",
    )
    leave_out_rest = forms.BooleanField(
        required=False, label="Leave out every column that is still undecided"
    )

    def __init__(
        self,
        *args: Any,
        object_list: ObjectList,
        guesses: Sequence[Guess],
        user: User,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self._list = object_list
        self._guesses = guesses
        for name in ("size_state", "size_basis", "empties_clear"):
            self.initial[name] = getattr(object_list, name)
        if not can(user, Right.MEASURE):
            del self.fields["size_state"], self.fields["size_basis"]
        fields = offered(user, with_list=object_list.exhibition_id is not None)
        for column, guess in zip(object_list.columns, guesses, strict=True):
            self.fields[_name(column["place"])] = forms.ChoiceField(
                choices=_choices(fields, guess.match.unit), label=column["name"]
            )
            self.initial[_name(column["place"])] = _code(guess.match)

    def rows(self) -> list[tuple[dict[str, Any], forms.BoundField, str]]:
        """Return each column with its field of the form and what was refused of its guess."""
        return [
            (column, self[_name(column["place"])], guess.refusal)
            for column, guess in zip(self._list.columns, self._guesses, strict=True)
        ]

    def settings(self) -> list[forms.BoundField]:
        """Return the fields that concern no single column."""
        names = ("size_state", "size_basis", "empties_clear", "leave_out_rest")
        return [self[name] for name in names if name in self.fields]

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        rest = LEAVE_OUT if data.get("leave_out_rest") else UNDECIDED
        taken: dict[str, str] = {}
        for column in self._list.columns:
            name = _name(column["place"])
            match = _match(data.get(name) or UNDECIDED)
            if match.field == UNDECIDED:
                match = Match(rest)
            if match.field == UNDECIDED:
                self.add_error(name, "Choose what it holds, or leave it out.")
            elif match.field in taken:
                self.add_error(
                    name,
                    f"“{taken[match.field]}” holds the {FIELDS[match.field].label} already: leave "
                    "one of them out.",
                )
            elif match.field != LEAVE_OUT:
                taken[match.field] = column["name"]
            data[name] = _code(match)
        if not self.errors and "number" not in taken:
            self.add_error(
                None, "Say which column holds the object number: by it objects are recognised."
            )
        return data

    def values(self) -> dict[str, Any]:
        data = self.cleaned_data
        matching = {}
        for column in self._list.columns:
            match = _match(data[_name(column["place"])])
            matching[str(column["place"])] = {"field": match.field, "unit": match.unit}
        names = [n for n in ("size_state", "size_basis", "empties_clear") if n in self.fields]
        return {"matching": matching, **{name: data[name] for name in names}}


class ApplyForm(forms.Form):
    leave_out_refused = forms.BooleanField(required=False, label="Leave out the refused rows")


def _name(place: int) -> str:
    return f"column_{place}"


def _code(match: Match) -> str:
    if match.field == LEAVE_OUT:
        return LEFT_OUT
    return f"{match.field}|{match.unit}" if match.unit else match.field


def _match(code: str) -> Match:
    field, _, unit = code.partition("|")
    return Match(LEAVE_OUT if field == LEFT_OUT else field, unit)


def _choices(fields: Sequence[Field], unit: str) -> list[Any]:
    groups: dict[str, list[tuple[str, str]]] = {}
    for field in fields:
        groups.setdefault(GROUPS[field.target], []).extend(_options(field, unit))
    return [(UNDECIDED, "still undecided"), (LEFT_OUT, "leave it out"), *groups.items()]


def _options(field: Field, unit: str) -> list[tuple[str, str]]:
    if field.name == "value":
        codes = dict.fromkeys(["", *CURRENCIES, *([unit] if len(unit) == 3 else [])])
        return [
            (_code(Match("value", code)), f"{field.label} in {code}" if code else field.label)
            for code in codes
        ]
    if not field.units:
        return [(field.name, field.label)]
    return [(_code(Match(field.name, one)), f"{field.label} in {one}") for one in field.units]
