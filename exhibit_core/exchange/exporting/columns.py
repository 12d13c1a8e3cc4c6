"""The columns of an export, headed so that they are recognised when the list comes back."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from exhibit_core.accounts.access import can
from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Right
from exhibit_core.exchange.fields import FIELDS, SEPARATE_SIZES
from exhibit_core.exchange.sizes import latest_lengths
from exhibit_core.exhibitions.models import ListEntry
from exhibit_core.register.access import PRIVATE_FIELDS
from exhibit_core.register.actions import MEASUREMENT_FIELDS
from exhibit_core.register.models import MuseumObject
from exhibit_core.register.sizes import best_size

_UNITS = {"height": "mm", "width": "mm", "depth": "mm", "diameter": "mm", "weight": "g"}
_LEFT_OUT = {"size", "size_measured", "size_framed"}
_EXACT_DIGITS = 15


@dataclass(frozen=True)
class Subject:
    """An object with the size that a hang would use and, in a list, its entry there."""

    obj: MuseumObject
    size: dict[str, Any]
    entry: ListEntry | None = None


@dataclass(frozen=True)
class ExportColumn:
    heading: str
    value: Callable[[Subject], Any]


def columns_for(user: User, *, with_list: bool) -> list[ExportColumn]:
    """Return the columns that a person may read."""
    names = [name for name in FIELDS if name not in _LEFT_OUT]
    if not can(user, Right.SEE_MONEY):
        names = [name for name in names if name not in PRIVATE_FIELDS]
    if not with_list:
        names = [name for name in names if FIELDS[name].target != "entry"]
    return [ExportColumn(_heading(name), _value(name)) for name in names]


def rows_of(columns: Iterable[ExportColumn], subjects: Iterable[Subject]) -> Iterator[list[Any]]:
    columns = list(columns)
    for subject in subjects:
        yield [column.value(subject) for column in columns]


def subject(obj: MuseumObject, entry: ListEntry | None = None) -> Subject:
    return Subject(obj, _size(obj), entry)


def _heading(name: str) -> str:
    label = FIELDS[name].label
    return f"{label} ({_UNITS[name]})" if name in _UNITS else label


def _value(name: str) -> Callable[[Subject], Any]:
    target = FIELDS[name].target
    if target == "size":
        return lambda subject: subject.size.get(name)
    if target == "entry":
        return _ENTRY.get(name) or (lambda subject: getattr(subject.entry, name))
    return _OBJECT.get(name) or (lambda subject: getattr(subject.obj, name))


def _size(obj: MuseumObject) -> dict[str, Any]:
    """Return the best known size by fields; where none is whole, the latest that is known."""
    live = sorted(obj.measurements.all(), key=lambda row: -row.pk)
    whole = [row for row in live if row.state in ("bare", "framed", "mounted")]
    if not whole:
        return {}
    best = best_size(live)
    state, basis = (best.state, best.basis) if best else (whole[0].state, whole[0].basis)
    records = [{name: getattr(row, name) for name in MEASUREMENT_FIELDS} for row in whole]
    lengths = latest_lengths(records, state=state, basis=basis, part="")
    mass_g = best.mass_g if best else next((row.mass_g for row in whole if row.mass_g), None)
    values = {**lengths, "mass_g": mass_g}
    return {
        "measured_as": state,
        "basis": basis,
        **{name: values[column] for name, column in SEPARATE_SIZES.items()},
    }


def _amount(subject: Subject) -> Decimal | str | None:
    amount = subject.obj.value
    if amount is None:
        return None
    plain = f"{amount.normalize():f}"
    exact = len(plain.replace(".", "")) <= _EXACT_DIGITS
    return Decimal(plain) if exact else plain


def _shown_on(subject: Subject) -> str:
    return subject.entry.get_shown_on_display() if subject.entry.shown_on else ""


_OBJECT: dict[str, Callable[[Subject], Any]] = {
    "lender": lambda subject: subject.obj.lender.name if subject.obj.lender else "",
    "hazards": lambda subject: "; ".join(subject.obj.hazard_words),
    "value": _amount,
}
_ENTRY: dict[str, Callable[[Subject], Any]] = {
    "stage": lambda subject: subject.entry.get_stage_display(),
    "section": lambda subject: str(subject.entry.section or ""),
    "position": lambda subject: subject.entry.position or None,
    "shown_on": _shown_on,
}
