"""Tell what was changed: fields by their names, money only to those who may see it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db import models
from django.urls import reverse

from exhibit_core.accounts.access import can
from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Right
from exhibit_core.history.models import Entry
from exhibit_core.history.queries import history_of
from exhibit_core.register import money
from exhibit_core.register.access import editable_fields
from exhibit_core.register.actions import MEASUREMENTS
from exhibit_core.register.models import Hazard, Lender, MuseumObject

LATEST = 50
_RIGHTS = {
    "register.create_object": Right.EDIT_REGISTER,
    "register.create_lender": Right.EDIT_MONEY,
    "register.add_measurement": Right.MEASURE,
    "register.withdraw_measurement": Right.MEASURE,
    "register.update_lender": Right.EDIT_MONEY,
}


# Undo takes away the page itself, so it leads to the list.
_LISTS = {
    "register.create_object": "register:index",
    "register.create_lender": "register:lenders",
}


@dataclass(frozen=True)
class Line:
    """An entry of history as one person may read it; `back_to` is where its undo leads, if set."""

    entry: Entry
    changes: Mapping[str, tuple[str, str]]
    undoable: bool
    back_to: str = ""

    def __getattr__(self, name: str) -> Any:
        return getattr(self.entry, name)


def lines(target: MuseumObject | Lender, user: User) -> list[Line]:
    """Return the latest entries, the newest first, without those that tell of money alone."""
    entries = list(history_of(target)[:LATEST])
    may_see = can(user, Right.SEE_MONEY)
    names = _lender_names(entries)
    return [
        Line(
            entry,
            _in_words(target, {**entry.changes, **(entry.private if may_see else {})}, names),
            _undoable(entry, user),
            reverse(_LISTS[entry.action]) if entry.action in _LISTS else "",
        )
        for entry in entries
        if may_see or entry.changes or not entry.private
    ]


def _undoable(entry: Entry, user: User) -> bool:
    if entry.undone:
        return False
    if entry.action == "register.update_object":
        fields = [name for name in {**entry.changes, **entry.private} if name != MEASUREMENTS]
        measured = MEASUREMENTS in entry.changes
        return editable_fields(user, fields) == fields and (
            not measured or can(user, Right.MEASURE)
        )
    return entry.action in _RIGHTS and can(user, _RIGHTS[entry.action])


def _lender_names(entries: Iterable[Entry]) -> dict[int, str]:
    keys = {key for entry in entries for key in entry.changes.get("lender", ()) if key}
    return dict(Lender.objects.filter(pk__in=keys).values_list("pk", "name")) if keys else {}


def _in_words(
    target: models.Model, pairs: Mapping[str, list[Any]], names: Mapping[int, str]
) -> dict[str, tuple[str, str]]:
    fields = {field.name: field for field in target._meta.concrete_fields}
    return {
        str(fields[name].verbose_name): tuple(_word(name, value, names) for value in pair)
        for name, pair in pairs.items()
        if name in fields
    }


def _word(name: str, value: Any, names: Mapping[int, str]) -> str:
    if value in (None, "", []):
        return "nothing"
    if name == "lender":
        return names.get(value, "a lender since removed")
    if name == "hazards":
        return ", ".join(str(Hazard(code).label) for code in value)
    if name == "value":
        return money.show(Decimal(value), "")
    return str(value)
