"""Write history: actions call this inside their transaction."""

import uuid
from collections.abc import Collection, Iterable, Mapping
from typing import Any

from django.db import models

from exhibit_core.history.models import Entry

Changes = Mapping[str, tuple[Any, Any]]


def target_type(target: models.Model | type[models.Model]) -> str:
    return target._meta.label_lower


def new_batch() -> uuid.UUID:
    return uuid.uuid4()


def entry(
    *,
    by: models.Model | None,
    action: str,
    target: models.Model,
    sentence: str,
    changes: Changes | None = None,
    private_fields: Collection[str] = (),
    batch: uuid.UUID | None = None,
) -> Entry:
    """Build an entry without saving it, for actions that write many at once."""
    changes = changes or {}
    return Entry(
        by=by,
        batch=batch or new_batch(),
        action=action,
        sentence=sentence[:300],
        target_type=target_type(target),
        target_id=target.pk,
        changes={name: list(pair) for name, pair in changes.items() if name not in private_fields},
        private={name: list(pair) for name, pair in changes.items() if name in private_fields},
    )


def record(**details: Any) -> Entry:
    """Save one entry; takes what `entry` takes."""
    row = entry(**details)
    row.save()
    return row


def record_many(entries: Iterable[Entry]) -> None:
    Entry.objects.bulk_create(entries, batch_size=500)


def changed(instance: models.Model, values: Mapping[str, Any]) -> dict[str, tuple[Any, Any]]:
    """Return what would change, field by field, as (old, new) in plain JSON values."""
    found = {}
    for name, new in values.items():
        field = instance._meta.get_field(name)
        old = plain(field, getattr(instance, name))
        new = plain(field, new)
        if old != new:
            found[name] = (old, new)
    return found


def plain(field: models.Field, value: Any) -> Any:
    """Return a field's value as history stores it: keys for rows, text for decimals and dates."""
    if isinstance(value, models.Model):
        return value.pk
    if value is None or isinstance(field, models.JSONField | models.ForeignKey):
        return value
    value = field.to_python(value)
    return value if isinstance(value, bool | int | float | str) else str(value)
