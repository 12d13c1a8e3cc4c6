"""Every change to the records of objects' sizes: added and withdrawn, never edited."""

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
from exhibit_core.register.models import Measurement, MuseumObject
from exhibit_core.web.errors import RefusedError


def add_measurement(*, obj: MuseumObject, values: Mapping[str, Any], by: User) -> Measurement:
    """Record one act of measuring, or one statement of size; raises ValidationError."""
    return add_measurements(obj=obj, each=[values], by=by)[0]


@transaction.atomic
def add_measurements(
    *,
    obj: MuseumObject,
    each: Sequence[Mapping[str, Any]],
    by: User,
    batch: uuid.UUID | None = None,
) -> list[Measurement]:
    """Record what was measured or stated at once; all can be taken back at once."""
    batch = batch or history.new_batch()
    rows = [Measurement(object=obj, recorded_by=by, **values) for values in each]
    for row in rows:
        row.full_clean()
        row.save()
        _record("add", row, by=by, pair=(None, row.pk), batch=batch)
    return rows


@transaction.atomic
def withdraw_measurement(
    *, measurement: Measurement, by: User, batch: uuid.UUID | None = None
) -> Measurement:
    """Take a record out of use; it stays in the object's history of sizes."""
    row = _fresh(measurement.pk)
    if row.withdrawn:
        raise RefusedError("This record was withdrawn already.")
    _set_withdrawn(row, withdrawn=True)
    _record("withdraw", row, by=by, pair=(row.pk, None), batch=batch)
    return row


@undoes("register.add_measurement")
def undo_add(*, entries: Sequence[Entry], by: User) -> None:
    """Withdraw the records again."""
    _need_measure(by)
    for entry in entries:
        withdraw_measurement(measurement=_fresh(entry.changes["measurement"][1]), by=by)


@undoes("register.withdraw_measurement")
def undo_withdraw(*, entries: Sequence[Entry], by: User) -> None:
    """Bring withdrawn records back into use."""
    _need_measure(by)
    for entry in entries:
        row = _fresh(entry.changes["measurement"][0])
        if not row.withdrawn:
            raise RefusedError("This record is in use again already.")
        _set_withdrawn(row, withdrawn=False)
        _record("restore", row, by=by, pair=(None, row.pk))


def _need_measure(by: User) -> None:
    if not can(by, Right.MEASURE):
        raise RefusedError(f"Your role does not let you {Right.MEASURE.label}.")


def _fresh(pk: int) -> Measurement:
    row = Measurement.objects.select_for_update().filter(pk=pk).first()
    if row is None:
        raise RefusedError("This record of a size is gone.")
    return row


def _set_withdrawn(row: Measurement, *, withdrawn: bool) -> None:
    row.withdrawn = withdrawn
    row.full_clean()
    row.save(update_fields=["withdrawn"])


_WORDS = {"add": "Recorded", "withdraw": "Withdrew", "restore": "Brought back"}


def _record(
    act: str,
    row: Measurement,
    *,
    by: User,
    pair: tuple[int | None, int | None],
    batch: uuid.UUID | None = None,
) -> None:
    history.record(
        by=by,
        action=f"register.{act}_measurement",
        target=row.object,
        sentence=f"{_WORDS[act]} the size of {row.object.number}, {row}: {_in_words(row)}",
        changes={"measurement": pair},
        batch=batch,
    )


def _in_words(row: Measurement) -> str:
    lengths = {
        "height": row.height_mm,
        "width": row.width_mm,
        "depth": row.depth_mm,
        "diameter": row.diameter_mm,
    }
    said = [f"{name} {value} mm" for name, value in lengths.items() if value]
    return ", ".join([*said, f"weight {row.mass_g} g"] if row.mass_g else said)
