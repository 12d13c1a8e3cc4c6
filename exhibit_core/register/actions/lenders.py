"""Every change to lenders."""

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
def create_lender(*, values: Mapping[str, Any], by: User) -> Lender:
    """Add a lender; raises ValidationError."""
    lender = Lender(**values)
    lender.full_clean()
    lender.save()
    history.record(
        by=by, action="register.create_lender", target=lender, sentence=f"Added {lender}"
    )
    return lender


@transaction.atomic
def update_lender(*, lender: Lender, values: Mapping[str, Any], version: int, by: User) -> Lender:
    """Change a lender that the person saw at `version`; raises StaleError when it moved on."""
    fresh = Lender.objects.select_for_update().get(pk=lender.pk)
    if fresh.version != version:
        raise StaleError(
            f"{fresh} was changed by someone else while you edited it.",
            theirs={name: getattr(fresh, name) for name in values},
            version=fresh.version,
        )
    return _change(fresh, values, by=by, words="Changed")


@undoes("register.update_lender")
def undo_update(*, entries: Sequence[Entry], by: User) -> None:
    """Put the old values back where nobody changed them since."""
    if not can(by, Right.EDIT_MONEY):
        raise RefusedError(f"Your role does not let you {Right.EDIT_MONEY.label}.")
    for entry in entries:
        lender = Lender.objects.select_for_update().get(pk=entry.target_id)
        values = old_values(lender, {**entry.changes, **entry.private})
        _change(lender, values, by=by, words="Changed back")


def _change(lender: Lender, values: Mapping[str, Any], *, by: User, words: str) -> Lender:
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
    )
    return lender


def _find_by_new_name(lender: Lender) -> None:
    """A search for a lender's name finds what they lend, so the name stands in its search text."""
    objects = list(lender.lent_objects.all())
    for obj in objects:
        obj.lender = lender
        obj.derive()
    MuseumObject.objects.bulk_update(objects, ["search_text"], batch_size=500)
