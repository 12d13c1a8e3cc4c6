"""Tables of judgements with their sources: read from TOML, checked, and open to a museum's own.

One file holds one table. Ours lie in `conservation/data/NAME.toml`:

    table = "light_limits"          # the file's name without .toml
    title = "Limits of light by class"
    source = "cie_157"              # optional: the source of rows that name none

    [sources.cie_157]
    body = "CIE"                    # required
    title = "Control of damage to museum objects by optical radiation"   # required
    year = 2004                     # required; undated = true where the document bears none;
                                    # not needed where status is computed, a habit or a choice
    edition = "CIE 157:2004"        # required: shown with every result
    place = "section 3"             # table or section
    status = "from memory"          # required: one of STATUSES
    read_at = "example.org/page"    # optional: where the figure was read if not in the document
    note = "check your edition"     # optional

    [columns]                       # only in our files: what a row may hold
    class = { kind = "choice", choices = ["R0", "R1"], means = "class of responsivity" }
    max_lux = { kind = "number", unit = "lx", least = 0, most = 200000, optional = true,
                means = "…" }       # on one line in a real file

    [[rows]]
    id = "r1"                       # every row: unique, how an own table replaces it
    class = "R1"
    max_lux = 200
    # any row may also have: source, and status, place, read_at, note that override its source's

Kinds of column: `text`, `number`, `whole`, `yes_no`, `choice` (with `choices`), `texts` (a list of
text). Numbers are finite, `least` and `most` are inclusive; `optional = true` allows absence.

A museum's file has `table`, `[sources.…]` and `[[rows]]` of the same columns. Its rows replace ours
of the same `id` and otherwise come before ours; `leave_out = ["id", …]` removes rows of ours and
`replace = true` removes all. Its rows may use its own sources or ours.

    from conservation.tables import OURS, Tables
    row = OURS["light_limits"].one(class_="R1")       # a trailing _ is dropped
    row.number("max_lux"), row.source.cite()
    tables = Tables.with_own(["house_light.toml"])    # raises TableError with sentences

Functions that judge take `tables: Tables = OURS` and put `row.source` into their result.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from importlib.resources import files
from pathlib import Path

from conservation.ranges import ConservationError
from conservation.table_reading import Column, Draft, Fault, Source, TableError, Value, read_draft

__all__ = [
    "OURS",
    "Column",
    "Fault",
    "Row",
    "Source",
    "Table",
    "TableError",
    "Tables",
    "UnknownRowError",
    "table_names",
]


class UnknownRowError(ConservationError):
    """No row, or no table, answers to what was asked; the text names what is known."""


@dataclass(frozen=True)
class Row:
    """One judgement: its values, its source, and the file and line where it stands.

    `note` is the row's own; `source.note` is the row's where it has one, else its source's.
    """

    table: str
    id: str
    values: Mapping[str, Value]
    source: Source
    file: str
    line: int
    note: str = ""

    def number(self, column: str) -> float:
        """Return a number; raises UnknownRowError where the row has none."""
        value = self.number_or_none(column)
        if value is None:
            raise UnknownRowError(f"Row {self.id} of table {self.table} gives no {column}.")
        return value

    def number_or_none(self, column: str) -> float | None:
        """Return a number, or None where the row has none."""
        value = self.values.get(column)
        return float(value) if isinstance(value, int | float) else None

    def text(self, column: str) -> str:
        """Return a text, empty where the row has none."""
        value = self.values.get(column, "")
        return value if isinstance(value, str) else str(value)

    def texts(self, column: str) -> tuple[str, ...]:
        """Return a list of texts, empty where the row has none."""
        value = self.values.get(column, ())
        return value if isinstance(value, tuple) else (str(value),)

    def yes(self, column: str) -> bool:
        """Return whether a yes_no column says true; absence is no."""
        return self.values.get(column) is True


@dataclass(frozen=True)
class Table:
    """A table of judgements; rows keep the order of their file, a museum's own come first."""

    name: str
    title: str
    rows: tuple[Row, ...]
    files: tuple[str, ...]
    columns: tuple[Column, ...] = ()

    def __iter__(self) -> Iterator[Row]:
        return iter(self.rows)

    def where(self, **values: Value) -> tuple[Row, ...]:
        """Return the rows whose columns have these values; for a list column, that hold it."""
        wanted = {key.removesuffix("_"): value for key, value in values.items()}
        return tuple(row for row in self.rows if _matches(row, wanted))

    def one(self, **values: Value) -> Row:
        """Return the first row where the columns have these values, or raise UnknownRowError."""
        found = self.where(**values)
        if found:
            return found[0]
        asked = " and ".join(f"{key.removesuffix('_')} {value}" for key, value in values.items())
        first, *others = values or {"id": ""}
        rows = self.where(**{key: values[key] for key in others}) or self.rows
        key = first.removesuffix("_")
        known = ", ".join(dict.fromkeys(str(_value(row, key)) for row in rows))
        raise UnknownRowError(f"Table {self.name} has no row with {asked}; known {key}: {known}.")

    def by_id(self, name: str) -> Row:
        """Return the row of this id, or raise UnknownRowError."""
        return self.one(id=name)


def _value(row: Row, column: str) -> Value | None:
    return row.id if column == "id" else row.values.get(column)


def _matches(row: Row, wanted: Mapping[str, Value]) -> bool:
    for column, value in wanted.items():
        has = _value(row, column)
        if has != value and not (isinstance(has, tuple) and value in has):
            return False
    return True


@dataclass(frozen=True)
class Tables:
    """All tables, ours with a museum's own laid over them; read when first asked for."""

    own: Mapping[str, tuple[Draft, ...]] = field(default_factory=dict)
    _laid: dict[str, Table] = field(default_factory=dict, init=False, repr=False, compare=False)

    @classmethod
    def with_own(cls, paths: Sequence[str | Path]) -> Tables:
        """Return our tables with a museum's files laid over them, the later file winning.

        Raises TableError with every fault found: file, line, field and what to do.
        """
        own: dict[str, tuple[Draft, ...]] = {}
        faults: list[Fault] = []
        for path in paths:
            try:
                draft = read_draft(Path(path), ours=_ours)
            except TableError as error:
                faults += error.faults
            else:
                own[draft.name] = (*own.get(draft.name, ()), draft)
        if faults:
            raise TableError(faults)
        return cls(own)

    def __getitem__(self, name: str) -> Table:
        """Return a table by name, or raise UnknownRowError naming those that exist."""
        if name not in self._laid:
            ours = _ours(name)
            if ours is None:
                known = ", ".join(table_names())
                raise UnknownRowError(f"There is no table {name!r:.60}; known: {known}.")
            self._laid[name] = _lay_over(ours, self.own.get(name, ()))
        return self._laid[name]


OURS = Tables()


def table_names() -> tuple[str, ...]:
    """Return the names of the tables of this package, in alphabetical order; nothing is raised.

    Source: the files in `data/`.

    >>> "light_limits" in table_names()
    True
    """
    folder = files("conservation") / "data"
    names = (item.name for item in folder.iterdir() if item.name.endswith(".toml"))
    return tuple(sorted(name.removesuffix(".toml") for name in names))


@cache
def _ours(name: str) -> Draft | None:
    if name not in table_names():
        return None
    return read_draft(Path(str(files("conservation") / "data" / f"{name}.toml")), ours=None)


def _lay_over(ours: Draft, own: tuple[Draft, ...]) -> Table:
    rows, sources = _rows(ours, ours.sources), dict(ours.sources)
    for draft in own:
        sources |= draft.sources
        laid = _rows(draft, sources)
        gone = set(draft.leave_out) | {row.id for row in laid}
        kept = () if draft.replace else tuple(row for row in rows if row.id not in gone)
        rows = laid + kept
    read = tuple(draft.file for draft in (ours, *own))
    return Table(ours.name, ours.title, rows, read, tuple(ours.columns.values()))


def _rows(draft: Draft, sources: Mapping[str, Source]) -> tuple[Row, ...]:
    return tuple(
        Row(
            draft.name,
            row.id,
            row.values,
            replace(sources[row.source], **row.overrides),
            draft.file,
            row.line,
            row.overrides.get("note", ""),
        )
        for row in draft.rows
    )
