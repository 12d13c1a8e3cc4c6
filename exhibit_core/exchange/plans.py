"""What a list will do, row by row: new, changed, unchanged or refused, and why."""

import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, BinaryIO, NamedTuple

from exhibit_core.exchange.fields import FIELDS
from exhibit_core.exchange.sizes import Size
from exhibit_core.register.access import PRIVATE_FIELDS

_written = json.JSONEncoder(ensure_ascii=False, check_circular=False).encode
OUTCOMES = ("new", "changed", "unchanged", "refused")


class Change(NamedTuple):
    """A field with its value before and after, in words."""

    field: str
    old: str
    new: str

    @property
    def label(self) -> str:
        return FIELDS[self.field].label


class Remark(NamedTuple):
    """A sentence about a cell; `value` is what stands there."""

    address: str
    field: str
    value: str
    sentence: str


@dataclass
class RowPlan:
    """One row: what it does, in words; `values`, `sizes` and `entry` do it and are not kept."""

    row: int
    number: str = ""
    title: str = ""
    outcome: str = "unchanged"
    key: int | None = None
    changes: list[Change] = field(default_factory=list)
    refusals: list[Remark] = field(default_factory=list)
    warnings: list[Remark] = field(default_factory=list)
    cells: list[str] = field(default_factory=list)
    values: dict[str, Any] = field(default_factory=dict)
    sizes: list[Size] = field(default_factory=list)
    entry: dict[str, Any] | None = None
    entry_key: int | None = None

    @property
    def is_refused(self) -> bool:
        return self.outcome == "refused"

    def line(self) -> bytes:
        """Return the row as one line of a plan, led by the letter of its outcome."""
        kept = [self.row, self.number, self.title, self.key, self.changes, self.refusals]
        return f"{self.outcome[0]}{_written([*kept, self.warnings, self.cells])}\n".encode()


_OUTCOME_BY_LETTER = {outcome[0].encode(): outcome for outcome in OUTCOMES}


def from_line(line: bytes) -> RowPlan:
    row, number, title, key, changes, refusals, warnings, cells = json.loads(line[1:])
    return RowPlan(
        row=row,
        number=number,
        title=title,
        outcome=_OUTCOME_BY_LETTER[line[:1]],
        key=key,
        changes=[Change(*change) for change in changes],
        refusals=[Remark(*remark) for remark in refusals],
        warnings=[Remark(*remark) for remark in warnings],
        cells=cells,
    )


def lines_of(file: BinaryIO, *, outcome: str = "", remarked: bool = False) -> Iterator[bytes]:
    """Yield the lines of a plan that have an outcome, or that warn of something."""
    letter = outcome[:1].encode()
    for line in file:
        if line.startswith(letter) and (not remarked or from_line(line).warnings):
            yield line


def without_money(plan: RowPlan) -> RowPlan:
    """Take out what only those may read who see money values."""
    plan.changes = [change for change in plan.changes if change.field not in PRIVATE_FIELDS]
    plan.refusals = [_hidden(remark) for remark in plan.refusals]
    plan.warnings = [_hidden(remark) for remark in plan.warnings]
    return plan


def _hidden(remark: Remark) -> Remark:
    if remark.field not in PRIVATE_FIELDS:
        return remark
    return remark._replace(value="", sentence="hidden from your role")
