"""Every change to the register's objects."""

import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from django.db import transaction

from exhibit_core.accounts.models import User
from exhibit_core.history import record as history
from exhibit_core.history.models import Entry
from exhibit_core.history.undo import undoes
from exhibit_core.register.access import PRIVATE_FIELDS, editable_fields
from exhibit_core.register.models import Measurement, MuseumObject
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
            change.obj.full_clean(validate_unique="number" in found)
            change.obj.version += 1
            updated.append((change.obj, found))
        else:
            change.obj.full_clean()
            created.append(change.obj)
    _write(created, [obj for obj, _ in updated])
    _add_measurements(changes, by)
    entries = [
        _entry(obj, "register.create_object", f"Added {obj.number}", {}, by, batch, words)
        for obj in created
    ]
    entries += [
        _entry(obj, "register.update_object", f"Changed {obj.number}", found, by, batch, words)
        for obj, found in updated
    ]
    history.record_many(entries)
    return [change.obj for change in changes]


def _write(created: list[MuseumObject], updated: list[MuseumObject]) -> None:
    MuseumObject.objects.bulk_create(created, batch_size=500)
    columns = [
        column.name
        for column in MuseumObject._meta.concrete_fields
        if column.name not in {"id", "created_at"}
    ]
    if len(updated) == 1:
        updated[0].save()
    elif updated:
        MuseumObject.objects.bulk_update(updated, columns, batch_size=100)


def _add_measurements(changes: Sequence[ObjectChange], by: User) -> None:
    rows = []
    for change in changes:
        for measurement in change.measurements:
            measurement.object = change.obj
            measurement.recorded_by = by
            measurement.full_clean(validate_unique=False)
            rows.append(measurement)
    Measurement.objects.bulk_create(rows, batch_size=500)


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


def create_object(*, values: Mapping[str, Any], by: User) -> MuseumObject:
    return save_objects(changes=[ObjectChange(MuseumObject(), values)], by=by)[0]


def update_object(
    *, obj: MuseumObject, values: Mapping[str, Any], version: int, by: User
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
        return save_objects(changes=[ObjectChange(fresh, values)], by=by)[0]


@undoes("register.update_object")
def undo_update(*, entries: Sequence[Entry], by: User) -> None:
    """Put the old values back where nobody changed them since."""
    objects = MuseumObject.objects.select_for_update().in_bulk([e.target_id for e in entries])
    changes = []
    for entry in entries:
        obj = objects[entry.target_id]
        pairs = {**entry.changes, **entry.private}
        if set(editable_fields(by, list(pairs))) != set(pairs):
            raise RefusedError(f"Your role does not let you change {obj.number} back.")
        changes.append(ObjectChange(obj, old_values(obj, pairs)))
    save_objects(changes=changes, by=by, words="back")


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
