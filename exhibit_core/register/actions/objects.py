"""Every change to the register's objects."""

import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from django.db import models, transaction

from exhibit_core.accounts.access import can
from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Right
from exhibit_core.history import record as history
from exhibit_core.history.models import Entry
from exhibit_core.history.undo import undoes
from exhibit_core.register.access import PRIVATE_FIELDS, editable_fields
from exhibit_core.register.actions.checks import AT_ONCE, check_measurements, check_objects
from exhibit_core.register.models import Measurement, MuseumObject, Picture
from exhibit_core.web.errors import RefusedError, StaleError

MEASUREMENT_FIELDS = (
    "state",
    "part",
    "basis",
    "height_mm",
    "width_mm",
    "depth_mm",
    "diameter_mm",
    "mass_g",
)
MEASUREMENTS = "measurements"


@dataclass
class ObjectChange:
    """New values for one object, new or known, and measurements to add to it."""

    obj: MuseumObject
    values: Mapping[str, Any]
    measurements: Sequence[Measurement] = field(default_factory=list)


@transaction.atomic
def save_objects(
    *, changes: Sequence[ObjectChange], by: User, batch: uuid.UUID | None = None, words: str = ""
) -> list[MuseumObject]:
    """Create and change any number of objects; one history entry for each that changed.

    Raises ValidationError of the first object that is not valid; then nothing is saved.
    """
    batch = batch or history.new_batch()
    created: list[MuseumObject] = []
    updated: list[tuple[MuseumObject, history.Changes]] = []
    for change in changes:
        found = history.changed(change.obj, change.values)
        if not found and not change.measurements and change.obj.pk:
            continue
        for name, value in change.values.items():
            setattr(change.obj, name, value)
        change.obj.derive()
        if change.obj.pk:
            updated.append((change.obj, found))
        else:
            created.append(change.obj)
    check_objects([*((obj, ()) for obj in created), *updated])
    _write(created, [obj for obj, _ in updated])
    added = _add_measurements(changes, by)
    entries = [
        _entry(obj, "register.create_object", f"Added {obj.number}", {}, by, batch, words)
        for obj in created
    ]
    entries += [
        _entry(
            obj,
            "register.update_object",
            f"Changed {obj.number}",
            {**found, MEASUREMENTS: ([], added[obj.pk])} if obj.pk in added else found,
            by,
            batch,
            words,
        )
        for obj, found in updated
    ]
    history.record_many(entries)
    return [change.obj for change in changes]


def _write(created: list[MuseumObject], updated: list[MuseumObject]) -> None:
    MuseumObject.objects.bulk_create(created, batch_size=500)
    for obj in updated:
        obj.version += 1
    if len(updated) == 1:
        updated[0].save()
    elif updated:
        # An insert that falls back to an update: many times faster than an update by cases.
        kept = {"id", "created_at"}
        columns = [c.name for c in MuseumObject._meta.concrete_fields if c.name not in kept]
        MuseumObject.objects.bulk_create(
            updated,
            batch_size=500,
            update_conflicts=True,
            unique_fields=["id"],
            update_fields=columns,
        )


def _add_measurements(changes: Sequence[ObjectChange], by: User) -> dict[int, list[int]]:
    """Save the records of size and return their keys by object."""
    rows = []
    for change in changes:
        for measurement in change.measurements:
            measurement.object = change.obj
            measurement.recorded_by = by
            rows.append(measurement)
    check_measurements(rows)
    keys: dict[int, list[int]] = {}
    for row in Measurement.objects.bulk_create(rows, batch_size=500):
        keys.setdefault(row.object_id, []).append(row.pk)
    return keys


def _entry(
    obj: MuseumObject,
    action: str,
    sentence: str,
    changes: history.Changes,
    by: User,
    batch: uuid.UUID,
    words: str,
) -> Entry:
    return history.entry(
        by=by,
        action=action,
        target=obj,
        sentence=f"{sentence} {words}".strip(),
        changes=changes,
        private_fields=PRIVATE_FIELDS,
        batch=batch,
    )


def create_object(
    *, values: Mapping[str, Any], by: User, batch: uuid.UUID | None = None
) -> MuseumObject:
    return save_objects(changes=[ObjectChange(MuseumObject(), values)], by=by, batch=batch)[0]


def update_object(
    *,
    obj: MuseumObject,
    values: Mapping[str, Any],
    version: int,
    by: User,
    batch: uuid.UUID | None = None,
) -> MuseumObject:
    """Change an object that the person saw at `version`; raises StaleError when it moved on."""
    with transaction.atomic():
        fresh = MuseumObject.objects.select_for_update().get(pk=obj.pk)
        if fresh.version != version:
            raise StaleError(
                f"{fresh.number} was changed by someone else while you edited it.",
                theirs={name: getattr(fresh, name) for name in values},
                version=fresh.version,
            )
        return save_objects(changes=[ObjectChange(fresh, values)], by=by, batch=batch)[0]


@undoes("register.update_object")
def undo_update(*, entries: Sequence[Entry], by: User) -> None:
    """Put the old values back where nobody changed them since."""
    objects = _fresh(entries)
    batch = history.new_batch()
    changes, sizes = [], []
    for entry in entries:
        if (obj := objects.get(entry.target_id)) is None:
            raise RefusedError(f"No longer in the register: {entry.sentence}.")
        pairs = {**entry.changes, **entry.private}
        gone, came = pairs.pop(MEASUREMENTS, ([], []))
        _need_rights(by, obj, pairs, measured=bool(gone or came))
        if gone or came:
            sizes.append((obj, gone, came))
        if pairs:
            changes.append(ObjectChange(obj, old_values(obj, pairs)))
    save_objects(changes=changes, by=by, batch=batch, words="back")
    _swap_sizes(sizes, by, batch)


def _swap_sizes(
    sizes: Sequence[tuple[MuseumObject, list[int], list[int]]], by: User, batch: uuid.UUID
) -> None:
    """Take records out of use that came, and back into use that had gone."""
    for keys, withdrawn in (
        ([key for _, _, came in sizes for key in came], True),
        ([key for _, gone, _ in sizes for key in gone], False),
    ):
        for start in range(0, len(keys), AT_ONCE):
            rows = Measurement.objects.filter(pk__in=keys[start : start + AT_ONCE])
            rows.update(withdrawn=withdrawn)
    history.record_many(
        _entry(
            obj,
            "register.update_object",
            f"{'Withdrew' if came else 'Brought back'} sizes of {obj.number}",
            {MEASUREMENTS: (came, gone)},
            by,
            batch,
            "",
        )
        for obj, gone, came in sizes
    )


@undoes("register.create_object")
def undo_create(*, entries: Sequence[Entry], by: User) -> None:
    """Take new objects out again where nobody worked on them or listed them since."""
    if not can(by, Right.EDIT_REGISTER):
        raise RefusedError(f"Your role does not let you {Right.EDIT_REGISTER.label}.")
    objects = _fresh(entries)
    since = Entry.objects.filter(
        target_type=history.target_type(MuseumObject), target_id__in=objects
    ).exclude(batch__in={entry.batch for entry in entries})
    worked_on = {
        *(obj.pk for obj in objects.values() if obj.version > 1),
        *Picture.objects.filter(object__in=objects).values_list("object", flat=True),
        *since.values_list("target_id", flat=True),
    }
    if worked_on:
        raise RefusedError(f"{objects[min(worked_on)]} was worked on since it was added.")
    batch = history.new_batch()
    history.record_many(
        _entry(obj, "register.remove_object", f"Took out {obj}", {}, by, batch, "again")
        for obj in objects.values()
    )
    try:
        MuseumObject.objects.filter(pk__in=objects).delete()
    except models.ProtectedError as error:
        user = next(iter(error.protected_objects))
        raise RefusedError(
            f"It is in use: {user} is on a list. Take it off there first."
        ) from error


def _fresh(entries: Sequence[Entry]) -> dict[int, MuseumObject]:
    return MuseumObject.objects.select_for_update().in_bulk([e.target_id for e in entries])


def _need_rights(
    by: User, obj: MuseumObject, pairs: Mapping[str, list[Any]], *, measured: bool
) -> None:
    may_all = set(editable_fields(by, list(pairs))) == set(pairs)
    if not may_all or (measured and not can(by, Right.MEASURE)):
        raise RefusedError(f"Your role does not let you change {obj.number} back.")


def old_values(row: Any, pairs: Mapping[str, list[Any]]) -> dict[str, Any]:
    """Return the values before a change; raise RefusedError if one was changed again since."""
    values = {}
    for name, (old, new) in pairs.items():
        column = row._meta.get_field(name)
        now = history.plain(column, getattr(row, column.attname if column.is_relation else name))
        if now != new:
            raise RefusedError(
                f"{row} was changed again since: {column.verbose_name} is now "
                f"{now if now not in (None, '') else 'empty'}."
            )
        if column.is_relation:
            old = column.related_model.objects.filter(pk=old).first() if old else None
        values[name] = old
    return values
