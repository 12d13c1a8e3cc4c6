"""Take back an act: apps register how each of their actions is undone."""

import uuid
from collections.abc import Callable
from typing import Any

from django.db import transaction

from exhibit_core.history.models import Entry
from exhibit_core.web.errors import RefusedError

Undoer = Callable[..., None]
_undoers: dict[str, Undoer] = {}


def undoes(action: str) -> Callable[[Undoer], Undoer]:
    """Register `function(*, entries, by)` as the way back for entries of this action.

    It gets all entries of the act at once, checks the person's right, and raises RefusedError
    when something was changed since.
    """

    def register(function: Undoer) -> Undoer:
        _undoers[action] = function
        return function

    return register


def can_undo(entry: Entry) -> bool:
    return entry.action in _undoers and not entry.undone


@transaction.atomic
def undo_batch(*, batch: uuid.UUID, by: Any) -> list[Entry]:
    """Undo every entry of one act, or nothing.

    Raises RefusedError when there is nothing left to undo or a row was changed since.
    """
    entries = list(Entry.objects.select_for_update().filter(batch=batch, undone=False))
    by_action: dict[str, list[Entry]] = {}
    for entry in entries:
        if entry.action in _undoers:
            by_action.setdefault(entry.action, []).append(entry)
    if not by_action:
        raise RefusedError("There is nothing to undo: it was undone already.")
    for action, rows in by_action.items():
        _undoers[action](entries=rows, by=by)
    Entry.objects.filter(batch=batch).update(undone=True)
    return entries
