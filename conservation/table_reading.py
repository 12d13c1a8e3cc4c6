"""Read one table from TOML and say of every fault which file, line and field, and what to do."""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from conservation.ranges import ConservationError
from conservation.toml_lines import Lines

Value = str | int | float | bool | tuple[str, ...]

LARGEST_BYTES = 1_000_000
MOST_FAULTS = 20
STATUSES = (
    "read",
    "from memory",
    "computed",
    "common practice",
    "design choice",
    "house rule",
)
WITHOUT_YEAR = ("computed", "common practice", "design choice")
KINDS = ("text", "number", "whole", "yes_no", "choice", "texts")
OVERRIDES = ("status", "place", "read_at", "note")


@dataclass(frozen=True)
class Fault:
    """What is wrong with one field of a file; `line` is 0 where no line can be named."""

    file: str
    line: int
    field: str
    words: str

    def __str__(self) -> str:
        at = f", line {self.line}" if self.line else ""
        return f"{self.file}{at}: {self.words}"


class TableError(ConservationError):
    """A table cannot be used; `faults` holds every fault found, `str` one sentence a line."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults)
        shown = [str(fault) for fault in self.faults[:MOST_FAULTS]]
        if len(self.faults) > MOST_FAULTS:
            shown.append(f"And {len(self.faults) - MOST_FAULTS} more faults.")
        super().__init__("\n".join(shown))


@dataclass(frozen=True)
class Source:
    """Where a figure comes from; every judgement carries one."""

    key: str
    body: str
    title: str
    year: int | None
    edition: str
    status: str
    place: str = ""
    read_at: str = ""
    note: str = ""

    def cite(self) -> str:
        """Return one line: edition, place, and how we know, with `from memory` where so."""
        parts = [self.edition, self.place]
        parts += [] if self.status in ("read", "computed") else [_ADMITTED[self.status]]
        return ", ".join(part for part in parts if part)


_ADMITTED = {
    "from memory": "from memory: check your edition",
    "common practice": "common practice, no source",
    "design choice": "a choice of this program",
    "house rule": "house rule",
}


@dataclass(frozen=True)
class Column:
    """What one column may hold."""

    name: str
    kind: str
    unit: str = ""
    least: float = -math.inf
    most: float = math.inf
    choices: tuple[str, ...] = ()
    optional: bool = False
    means: str = ""


@dataclass(frozen=True)
class DraftRow:
    """A row as read: values checked, source still a key."""

    id: str
    values: Mapping[str, Value]
    source: str
    overrides: dict[str, Any]
    line: int


@dataclass(frozen=True)
class Draft:
    """One file as read and checked."""

    file: str
    name: str
    title: str
    columns: Mapping[str, Column]
    sources: Mapping[str, Source]
    rows: tuple[DraftRow, ...]
    leave_out: tuple[str, ...] = ()
    replace: bool = False


Find = Callable[[str], "Draft | None"]


def read_draft(path: Path, ours: Find | None) -> Draft:
    """Return the checked table of a file; `ours` finds our table of a name, None reads ours.

    Raises TableError with every fault found: file, line, field. Source: the file's own.

    >>> from importlib.resources import files
    >>> draft = read_draft(Path(str(files("conservation") / "data" / "fading.toml")), None)
    >>> draft.name
    'fading'
    """
    data, text = _load(path)
    return _Reading(str(path) if ours else path.name, Lines(text), data, ours).draft()


def _load(path: Path) -> tuple[dict[str, Any], str]:
    def refuse(words: str, line: int = 0) -> TableError:
        return TableError([Fault(str(path), line, "", words)])

    try:
        with path.open("rb") as stream:
            raw = stream.read(LARGEST_BYTES + 1)
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or str(error)
        raise refuse(f"the file cannot be opened ({why}).") from error
    if len(raw) > LARGEST_BYTES:
        raise refuse(f"the file is larger than {LARGEST_BYTES:,} bytes; a table is far smaller.")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise refuse("the file is not text in UTF-8; save it as UTF-8.", line) from error
    try:
        return tomllib.loads(text), text
    except RecursionError as error:
        raise refuse("the file is nested too deeply to be a table.") from error
    except ValueError as error:
        found = re.search(r"\(at line (\d+), column \d+\)", str(error))
        line = int(found[1]) if found else text.count("\n") + 1
        words = re.sub(r"\s*\(at [^)]*\)$", "", str(error))
        raise refuse(f"the file is not TOML from here on: {words}.", line) from error


@dataclass
class _Reading:
    file: str
    lines: Lines
    data: dict[str, Any]
    ours: Find | None
    faults: list[Fault] = field(default_factory=list)

    def fault(self, line: int, name: str, words: str) -> None:
        self.faults.append(Fault(self.file, line, name, words))

    def draft(self) -> Draft:
        name = self.text(self.data, "table", 0, "the file", required=True)
        title = self.text(self.data, "title", 0, "the file", required=self.ours is None)
        base = self.ours(name) if self.ours else None
        if self.ours and base is None and not self.faults:
            self.fault(self.lines.of("table"), "table", f"there is no table named {name!r}.")
        if self.faults:
            raise TableError(self.faults)
        known = {"table", "title", "source", "sources", "rows"}
        self.unknown(self.data, known | ({"columns"} if base is None else {"leave_out", "replace"}))
        columns = base.columns if base else self.columns()
        sources = self.sources()
        rows = self.rows(columns, sources, base)
        leave_out = self.leave_out(base)
        replace = self.data.get("replace", False)
        if not isinstance(replace, bool):
            self.fault(self.lines.of("replace"), "replace", "replace must be true or false.")
        if self.faults:
            raise TableError(self.faults)
        return Draft(self.file, name, title, columns, sources, rows, leave_out, replace)

    def unknown(self, data: dict[str, Any], known: set[str]) -> None:
        for key in data.keys() - known:
            words = f"{key} is not a field here; known: {', '.join(sorted(known))}."
            self.fault(self.lines.of(key), key, words)

    def text(self, data: dict[str, Any], key: str, line: int, where: str, *, required: bool) -> str:
        value = data.get(key, "")
        if not isinstance(value, str):
            at = self.lines.within(line, key)
            self.fault(at, key, f"{key} of {where} is {value!r}: give text in quotes.")
            return ""
        if required and not value.strip():
            self.fault(self.lines.within(line, key), key, f'{where} needs {key} = "…".')
        return value

    def leave_out(self, base: Draft | None) -> tuple[str, ...]:
        value = self.data.get("leave_out", [])
        known = {row.id for row in base.rows} if base else set()
        line = self.lines.of("leave_out")
        if not isinstance(value, list) or not all(isinstance(item, str) for item in value):
            self.fault(line, "leave_out", "leave_out must be a list of ids in quotes.")
            return ()
        for item in value:
            if item not in known:
                self.fault(line, "leave_out", f"leave_out names {item!r}, which is no row of ours.")
        return tuple(value)

    def section(self, key: str) -> dict[str, dict[str, Any]]:
        value = self.data.get(key, {})
        if not isinstance(value, dict) or not all(isinstance(v, dict) for v in value.values()):
            self.fault(self.lines.of(key), key, f"{key} must be sections such as [{key}.name].")
            return {}
        return value

    def columns(self) -> dict[str, Column]:
        found: dict[str, Column] = {}
        for name, given in self.section("columns").items():
            line = self.lines.of(name)
            try:
                column = Column(name=name, **{**given, "choices": tuple(given.get("choices", ()))})
            except TypeError:
                self.fault(line, name, f"column {name} has a field that no column has.")
                continue
            if column.kind not in KINDS:
                self.fault(line, name, f"column {name}: kind is one of {', '.join(KINDS)}.")
            if not column.means:
                self.fault(line, name, f'column {name} needs means = "…".')
            found[name] = column
        return found

    def sources(self) -> dict[str, Source]:
        found: dict[str, Source] = {}
        fields = ("body", "title", "edition", "status", "place", "read_at", "note")
        for key, given in self.section("sources").items():
            line, where = self.lines.header(f"sources.{key}"), f"source {key}"
            for name in given.keys() - {*fields, "year", "undated"}:
                at = self.lines.within(line, name)
                self.fault(at, name, f"{name} is not a field of a source.")
            texts = {
                name: self.text(given, name, line, where, required=name in fields[:4])
                for name in fields
            }
            year = given.get("year")
            self.status(texts["status"], line, where)
            whole = isinstance(year, int) and not isinstance(year, bool) and 1700 <= year <= 2200
            excused = texts["status"] in WITHOUT_YEAR or given.get("undated") is True
            if not whole and not (year is None and excused):
                at = self.lines.within(line, "year")
                words = f"{where} needs year, such as 2004, or undated = true if it bears none."
                self.fault(at, "year", words)
            found[key] = Source(key=key, year=year if whole else None, **texts)
        return found

    def status(self, value: str, line: int, where: str) -> None:
        if value and value not in STATUSES:
            words = f"status of {where} is {value!r}: use one of {', '.join(STATUSES)}."
            self.fault(self.lines.within(line, "status"), "status", words)

    def rows(
        self, columns: Mapping[str, Column], sources: Mapping[str, Source], base: Draft | None
    ) -> tuple[DraftRow, ...]:
        given = self.data.get("rows", [])
        if not isinstance(given, list) or not all(isinstance(row, dict) for row in given):
            self.fault(self.lines.of("rows"), "rows", "rows must be sections headed [[rows]].")
            return ()
        if not given and not self.data.get("leave_out"):
            self.fault(0, "rows", "the file has no [[rows]].")
        known = sources.keys() | (base.sources.keys() if base else set())
        seen: dict[str, int] = {}
        rows = []
        for number, row in enumerate(given):
            line = self.lines.row(number)
            name = self.text(row, "id", line, f"row {number + 1}", required=True)
            if name in seen:
                self.fault(line, "id", f"row {name!r} stands already on line {seen[name]}.")
            seen[name] = line
            rows.append(self.row(row, name, line, columns, known))
        return tuple(rows)

    def row(
        self,
        row: dict[str, Any],
        name: str,
        line: int,
        columns: Mapping[str, Column],
        known: set[str],
    ) -> DraftRow:
        where = f"row {name}"
        for key in row.keys() - columns.keys() - {"id", "source", *OVERRIDES}:
            words = f"{where} has {key}, which is no column; known: {', '.join(columns)}."
            self.fault(self.lines.within(line, key), key, words)
        default = self.data.get("source", "")
        source = self.text({"source": default, **row}, "source", line, where, required=True)
        if source and source not in known:
            words = f"{where} names source {source!r}; known: {', '.join(sorted(known))}."
            self.fault(self.lines.within(line, "source"), "source", words)
        overrides = {
            k: self.text(row, k, line, where, required=True) for k in OVERRIDES if k in row
        }
        self.status(overrides.get("status", ""), line, where)
        values: dict[str, Value] = {}
        for column in columns.values():
            if column.name in row:
                self.value(row[column.name], column, line, where, values)
            elif not column.optional:
                self.fault(line, column.name, f"{where} needs {column.name} ({column.means}).")
        return DraftRow(name, values, source, overrides, line)

    def value(
        self, value: Any, column: Column, line: int, where: str, values: dict[str, Value]
    ) -> None:
        wanted = _wanted(value, column)
        if wanted:
            at, name = self.lines.within(line, column.name), column.name
            shown = repr(value) if len(repr(value)) < 60 else repr(value)[:57] + "…"
            self.fault(at, name, f"{name} of {where} is {shown}: {wanted}.")
            return
        values[column.name] = tuple(value) if isinstance(value, list) else value


def _wanted(value: Any, column: Column) -> str:
    """Return what should stand there instead, or nothing where the value is good."""
    if column.kind == "yes_no":
        return "" if isinstance(value, bool) else "write true or false"
    if column.kind == "choice":
        return "" if value in column.choices else f"use one of {', '.join(column.choices)}"
    if column.kind == "text":
        return "" if isinstance(value, str) and value.strip() else "give text in quotes"
    if column.kind == "texts":
        good = isinstance(value, list) and all(isinstance(v, str) and v.strip() for v in value)
        return "" if good else "give a list of texts in quotes"
    number = isinstance(value, int if column.kind == "whole" else int | float)
    unit = f" {column.unit}" if column.unit else ""
    if not number or isinstance(value, bool) or not math.isfinite(value):
        return f"give a {'whole ' if column.kind == 'whole' else ''}number{unit and ' in' + unit}"
    if not column.least <= value <= column.most:
        return f"give a number from {column.least:g} to {column.most:g}{unit}"
    return ""
