"""Every change to lenders."""

import uuid
from collections.abc import Mapping, Sequence
from typing import Any

from django.db import transaction

from exhibit_core.accounts.access import can
from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Right
from exhibit_core.history import record as history
from exhibit_core.history.models import Entry
from exhibit_core.history.undo import undoes
from exhibit_core.register.actions.objects import old_values
from exhibit_core.register.models import Lender, MuseumObject
from exhibit_core.web.errors import RefusedError, StaleError

PRIVATE_FIELDS = frozenset({"address", "email", "phone"})


@transaction.atomic
def create_lender(*, values: Mapping[str, Any], by: User, batch: uuid.UUID | None = None) -> Lender:
    """Add a lender; raises ValidationError."""
    lender = Lender(**values)
    lender.full_clean()
    lender.save()
    history.record(
        by=by,
        action="register.create_lender",
        target=lender,
        sentence=f"Added {lender}",
        batch=batch,
    )
    return lender


@transaction.atomic
def update_lender(
    *,
    lender: Lender,
    values: Mapping[str, Any],
    version: int,
    by: User,
    batch: uuid.UUID | None = None,
) -> Lender:
    """Change a lender that the person saw at `version`; raises StaleError when it moved on."""
    fresh = Lender.objects.select_for_update().get(pk=lender.pk)
    if fresh.version != version:
        raise StaleError(
            f"{fresh} was changed by someone else while you edited it.",
            theirs={name: getattr(fresh, name) for name in values},
            version=fresh.version,
        )
    return _change(fresh, values, by=by, words="Changed", batch=batch)


@undoes("register.create_lender")
def undo_create(*, entries: Sequence[Entry], by: User) -> None:
    """Take a new lender out again where nobody changed it and nothing is lent by it."""
    for lender in _fresh(entries, by):
        if lender.version > 1:
            raise RefusedError(f"{lender} was changed since it was added.")
        if (lent := lender.lent_objects.first()) is not None:
            raise RefusedError(f"{lender} lends {lent.number}: give that another owner first.")
        history.record(
            by=by,
            action="register.remove_lender",
            target=lender,
            sentence=f"Took out {lender} again",
        )
        lender.delete()


@undoes("register.update_lender")
def undo_update(*, entries: Sequence[Entry], by: User) -> None:
    """Put the old values back where nobody changed them since."""
    for lender, entry in zip(_fresh(entries, by), entries, strict=True):
        values = old_values(lender, {**entry.changes, **entry.private})
        _change(lender, values, by=by, words="Changed back")


def _fresh(entries: Sequence[Entry], by: User) -> list[Lender]:
    """Return the lenders of entries to a person who may change them; they are locked."""
    if not can(by, Right.EDIT_MONEY):
        raise RefusedError(f"Your role does not let you {Right.EDIT_MONEY.label}.")
    found = Lender.objects.select_for_update().in_bulk([entry.target_id for entry in entries])
    if gone := next((entry for entry in entries if entry.target_id not in found), None):
        raise RefusedError(f"No longer in the register: {gone.sentence}.")
    return [found[entry.target_id] for entry in entries]


def _change(
    lender: Lender,
    values: Mapping[str, Any],
    *,
    by: User,
    words: str,
    batch: uuid.UUID | None = None,
) -> Lender:
    found = history.changed(lender, values)
    if not found:
        return lender
    for name, value in values.items():
        setattr(lender, name, value)
    lender.version += 1
    lender.full_clean()
    lender.save()
    if "name" in found:
        _find_by_new_name(lender)
    history.record(
        by=by,
        action="register.update_lender",
        target=lender,
        sentence=f"{words} {lender}",
        changes=found,
        private_fields=PRIVATE_FIELDS,
        batch=batch,
    )
    return lender


def _find_by_new_name(lender: Lender) -> None:
    """A search for a lender's name finds what they lend, so the name stands in its search text."""
    objects = list(lender.lent_objects.all())
    for obj in objects:
        obj.lender = lender
        obj.derive()
    MuseumObject.objects.bulk_update(objects, ["search_text"], batch_size=500)
