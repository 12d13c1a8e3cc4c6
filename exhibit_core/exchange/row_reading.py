"""Read the cells of a row as values of fields, and keep what is to be said of them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from exhibit_core.accounts.access import can
from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Right
from exhibit_core.exchange import readers
from exhibit_core.exchange.fields import FIELDS, Field, may_bring_in
from exhibit_core.exchange.models import ObjectList
from exhibit_core.exchange.plans import Remark, RowPlan
from exhibit_core.exchange.reading.cells import Row, Unreadable, address, text_of
from exhibit_core.exhibitions.models import Section
from exhibit_core.register.text import fold
from exhibit_core.web.errors import RefusedError

LONGEST_SHOWN = 300
LONGEST_LENDER = 200
_CLEARED: Mapping[str, Any] = {
    "year_from": None,
    "year_to": None,
    "lender": None,
    "value": None,
    "hazards": [],
    "max_lux": None,
    "section": None,
    "position": 0,
}
_NEVER_CLEARED = {"number", "title", "currency", "stage"}


@dataclass(frozen=True)
class LenderNamed:
    """A lender of the register, or without a key one that is still to be added."""

    key: int | None
    name: str


@dataclass(frozen=True)
class Column:
    """A column that is brought in: its place, its field, and how its cells are read."""

    place: int
    field: Field
    read: readers.Reader
    reading: readers.Reading

    @property
    def name(self) -> str:
        return self.field.name


@dataclass
class ReadRow:
    """One row as values of fields; refusals and warnings go to its plan."""

    row: Row
    columns: Mapping[str, Column]
    plan: RowPlan
    values: dict[str, Any] = field(default_factory=dict)

    def cell(self, name: str) -> Any:
        column = self.columns.get(name)
        place = column.place if column else len(self.row.cells)
        return self.row.cells[place] if place < len(self.row.cells) else None

    def address(self, name: str) -> str:
        """Return the cell of a field, or the object number's where the list has no such column."""
        column = self.columns.get(name) or self.columns["number"]
        return address(column.place, self.row.number)

    def refuse(self, name: str, expected: str) -> None:
        self.plan.refusals.append(self._remark(name, f"expected: {expected}"))

    def warn(self, name: str, sentence: str) -> None:
        self.plan.warnings.append(self._remark(name, sentence))

    def _remark(self, name: str, sentence: str) -> Remark:
        shown = text_of(self.cell(name))[:LONGEST_SHOWN]
        return Remark(self.address(name), name, shown, sentence)


NOTHING = frozenset(("-", "–", "—", "--", "n/a", "n.a.", "n. a.", "k.a.", "k. a."))
"""What people write into a cell to say that there is nothing to say."""


class RowReader:
    """Read rows by the list's matching; raises RefusedError where the role may not."""

    def __init__(
        self,
        object_list: ObjectList,
        *,
        by: User,
        lenders: Mapping[int, str],
        sections: Iterable[Section],
    ) -> None:
        self._empties_clear = object_list.empties_clear
        self._lenders = {fold(name): LenderNamed(pk, name) for pk, name in lenders.items()}
        self._may_add_lenders = can(by, Right.EDIT_MONEY)
        self._sections = list(sections)
        columns = [self._column(place, match, by) for place, match in object_list.matched.items()]
        # An amount comes last: how it is written depends on its currency.
        columns.sort(key=lambda column: (column.name == "value", column.place))
        self.columns = {column.name: column for column in columns}
        self._currency = self.columns["value"].reading.unit if "value" in self.columns else ""
        if "number" not in self.columns:
            raise RefusedError("No column is matched to the object number: match one first.")

    def read(self, row: Row) -> ReadRow | None:
        """Return a row's values; None where the columns that are brought in are all empty."""
        found = ReadRow(row, self.columns, RowPlan(row.number))
        values, cells, width = found.values, row.cells, len(row.cells)
        empty: list[Column] = []
        for name, column in self.columns.items():
            cell = cells[column.place] if column.place < width else None
            if cell is None:
                empty.append(column)
                continue
            if isinstance(cell, str) and name != "lender" and cell.strip().casefold() in NOTHING:
                found.warn(name, "Read as an empty cell.")
                empty.append(column)
                continue
            if isinstance(cell, Unreadable):
                found.refuse(name, f"a value; the cell {cell.why}")
                continue
            if name == "value":
                column.reading.unit = values.get("currency") or self._currency
            try:
                values[name] = column.read(cell, column.reading)
            except readers.CellRefusedError as refusal:
                found.refuse(name, str(refusal))
            if column.reading.said:
                for sentence in column.reading.said:
                    found.warn(name, sentence)
                column.reading.said.clear()
        if len(empty) == len(self.columns):
            return None
        if self._empties_clear:
            values |= _cleared(empty)
        found.plan.number = values.get("number") or ""
        found.plan.title = (values.get("title") or "")[:100]
        return found

    def _column(self, place: int, match: Mapping[str, Any], by: User) -> Column:
        field = FIELDS[match["field"]]
        if not may_bring_in(by, field):
            raise RefusedError(f"{field.label}: your role does not let you {field.right.label}.")
        return Column(place, field, self._reader(field), readers.Reading(match.get("unit", "")))

    def _reader(self, field: Field) -> readers.Reader:
        if field.name == "lender":
            return self._lender
        if field.name == "section":
            numbers = ", ".join(section.number for section in self._sections)
            return readers.row_named(
                _sections_by_word(self._sections),
                "a section's number or title",
                f"The exhibition has {numbers or 'no sections yet'}.",
            )
        if field.reader is None:
            raise LookupError(f"The field {field.name} has no reader.")
        return field.reader

    def _lender(self, cell: Any, reading: readers.Reading) -> LenderNamed | None:
        name = readers.plain_text(cell)
        word = readers.fold(name)
        if word in {"own collection", "own", "-", "none", ""}:
            return None
        if found := self._lenders.get(word):
            return found
        if not self._may_add_lenders:
            raise readers.CellRefusedError(
                "a lender that the register knows; ask a registrar to add this one first"
            )
        if len(name) > LONGEST_LENDER:
            raise readers.CellRefusedError(f"a name of at most {LONGEST_LENDER} characters")
        reading.say("The register does not know this lender: it will be added.")
        # Said once: the next row that names it finds it here.
        return self._lenders.setdefault(word, LenderNamed(None, name))


def _cleared(columns: Iterable[Column]) -> dict[str, Any]:
    return {
        column.name: _CLEARED.get(column.name, "")
        for column in columns
        if column.field.target != "size" and column.name not in _NEVER_CLEARED
    }


def _sections_by_word(sections: Iterable[Section]) -> dict[str, Section]:
    found: dict[str, Section] = {}
    for section in sections:
        for word in (section.number, section.title, str(section), f"section {section.number}"):
            found.setdefault(fold(word), section)
    return found
