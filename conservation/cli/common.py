"""What all commands share: their options, reading JSON and CSV, printing JSON or a table."""

from __future__ import annotations

import argparse
import csv
import datetime
import io
import json
import math
import sys
import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields, is_dataclass
from pathlib import Path
from typing import Any, TypeAlias

from conservation.ranges import ConservationError
from conservation.tables import OURS, Tables

LARGEST_BYTES = 10_000_000
MOST_ROWS = 200_000
Commands: TypeAlias = "argparse._SubParsersAction[argparse.ArgumentParser]"


class InputError(ConservationError):
    """A file or an option cannot be used; the text says which, where and what to do."""


@dataclass(frozen=True)
class Grid:
    """A table for reading: a title, column heads, rows of anything that prints."""

    title: str
    heads: tuple[str, ...]
    rows: Sequence[Sequence[object]]


@dataclass(frozen=True)
class Answer:
    """What a command found; `exit_code` 1 says that what was asked is not kept."""

    data: object
    grids: tuple[Grid, ...] = ()
    notes: tuple[str, ...] = ()
    exit_code: int = 0


def new_command(
    commands: Commands, name: str, doc: str | None, *, options: bool = True
) -> argparse.ArgumentParser:
    """Return the parser of a command, with --table and --own; its help is the module's text.

    A command with actions of its own passes `options=False` for itself, and makes each action by
    this function from `parser.add_subparsers(dest="action", required=True, metavar="ACTION")`.
    """
    text = textwrap.dedent(doc or "").strip()
    parser = commands.add_parser(
        name,
        description=text,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
        help=text.partition("\n")[0].replace("%", "%%"),
    )
    if not options:
        return parser
    parser.add_argument("--table", action="store_true", help="print a table instead of JSON")
    parser.add_argument(
        "--own",
        action="append",
        default=[],
        metavar="FILE",
        help="lay a table of the museum's own (TOML) over ours; may be given several times",
    )
    return parser


def tables_of(given: argparse.Namespace) -> Tables:
    """Return our tables with those of --own laid over them; raises TableError."""
    return Tables.with_own(given.own) if given.own else OURS


def example_of(doc: str | None) -> list[str]:
    """Return the commands of a module's text: what follows each `$ `, continued by backslashes."""
    text = textwrap.dedent(doc or "").replace("\\\n", " ")
    lines = (line.strip() for line in text.splitlines())
    return [" ".join(line[2:].split()) for line in lines if line.startswith("$ ")]


def read_text(path: str) -> str:
    """Return the text of a file in UTF-8, or of standard input for `-`; raises InputError."""
    try:
        if path == "-":
            raw = sys.stdin.buffer.read(LARGEST_BYTES + 1)
        else:
            with Path(path).open("rb") as stream:
                raw = stream.read(LARGEST_BYTES + 1)
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or str(error)
        raise InputError(f"{path} cannot be opened: {why}.") from error
    if len(raw) > LARGEST_BYTES:
        raise InputError(f"{path} is larger than {LARGEST_BYTES:,} bytes; give it in parts.")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise InputError(f"{path}, line {line}: this is not text in UTF-8.") from error


def read_json(path: str) -> Any:
    """Return the object or list of a JSON file; raises InputError."""

    def constant(word: str) -> Any:
        raise InputError(f"{path} holds {word}, which is no number of JSON; leave the value out.")

    text = read_text(path)
    try:
        data = json.loads(text, parse_constant=constant)
    except json.JSONDecodeError as error:
        where = f"line {error.lineno}, column {error.colno}"
        raise InputError(f"{path}, {where}: this is not JSON ({error.msg}).") from error
    except RecursionError as error:
        raise InputError(f"{path} is nested too deeply.") from error
    except InputError:
        raise
    except ValueError as error:
        raise InputError(f"{path} holds a number too long to be read.") from error
    if not isinstance(data, dict | list):
        raise InputError(f"{path} must hold a JSON object or list, not {data!r:.40}.")
    return data


@dataclass(frozen=True)
class CsvRow:
    """One row of a CSV file: its cells by column, and the file and line for sentences."""

    cells: dict[str, str]
    file: str
    line: int

    def text(self, column: str) -> str:
        """Return a cell without spaces around it, empty where there is none."""
        return self.cells.get(column, "").strip()

    def number(self, column: str, default: float | None = None) -> float:
        """Return a cell as a finite number; an empty cell gives the default if there is one."""
        text = self.text(column)
        if not text and default is not None:
            return default
        try:
            number = float(text)
        except ValueError:
            number = math.nan
        if not math.isfinite(number):
            raise self.wrong(column, "give a number, with a point for decimals")
        return number

    def wrong(self, column: str, what: str) -> InputError:
        """Return the error that says which cell is wrong, and what to do."""
        shown = self.text(column)[:40]
        return InputError(f"{self.file}, line {self.line}: {column} is {shown!r}: {what}.")


def read_csv(
    path: str, required: Iterable[str], optional: Iterable[str] | None = ()
) -> list[CsvRow]:
    """Return the rows of a CSV file with a head line; raises InputError.

    Columns are separated by commas, semicolons or tabs, by the head line. Columns outside
    `required` and `optional` are refused; `optional=None` lets any pass.
    """
    text = read_text(path)
    if "\0" in text:
        raise InputError(f"{path} holds bytes of no text; export it as CSV.")
    head = text.partition("\n")[0]
    mark = max(",;\t", key=head.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark)
    try:
        names = [name.strip() for name in next(reader, [])]
        _check_heads(path, names, list(required), None if optional is None else set(optional))
        rows: list[CsvRow] = []
        for cells in reader:
            if not any(cell.strip() for cell in cells):
                continue
            if len(cells) != len(names):
                words = f"{len(cells)} cells where the head has {len(names)}"
                raise InputError(f"{path}, line {reader.line_num}: {words}.")
            if len(rows) == MOST_ROWS:
                raise InputError(f"{path} has more than {MOST_ROWS:,} rows; give it in parts.")
            pairs = dict(zip(names, cells, strict=True))
            rows.append(CsvRow(pairs, path, reader.line_num))
    except csv.Error as error:
        raise InputError(f"{path}, line {reader.line_num}: this is not CSV ({error}).") from error
    if not rows:
        raise InputError(f"{path} has no rows below its head.")
    return rows


def _check_heads(
    path: str, names: list[str], required: list[str], optional: set[str] | None
) -> None:
    missing = [name for name in required if name not in names]
    if missing:
        shown = ", ".join(names)[:80] or "nothing"
        raise InputError(f"{path} lacks the column {missing[0]}; its head has {shown}.")
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise InputError(f"{path} has the column {twice!r} twice.")
    if optional is None:
        return
    for name in names:
        if name not in required and name not in optional:
            known = ", ".join([*required, *sorted(optional)])
            raise InputError(f"{path} has the column {name!r}; known: {known}.")


def plain(value: object) -> Any:
    """Return a value as what JSON can hold: dataclasses as objects, numpy numbers as numbers."""
    if isinstance(value, str | bool | int | None):
        return value
    if isinstance(value, float):
        if not math.isfinite(value):
            raise InputError("A result is beyond what a number can hold; check the quantities.")
        return value
    if is_dataclass(value) and not isinstance(value, type):
        return {item.name: plain(getattr(value, item.name)) for item in fields(value)}
    if isinstance(value, dict):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple | set | frozenset):
        return [plain(item) for item in value]
    if isinstance(value, datetime.date | datetime.time):
        return value.isoformat()
    if hasattr(value, "tolist"):
        return plain(value.tolist())
    return str(value)


def show(answer: Answer, *, table: bool) -> str:
    """Return the text of an answer: JSON, or its grids with the notes below."""
    if not table or not answer.grids:
        return json.dumps(plain(answer.data), indent=1, ensure_ascii=False, allow_nan=False)
    parts = [_grid(grid) for grid in answer.grids]
    parts += ["\n".join(answer.notes)] if answer.notes else []
    return "\n\n".join(parts)


def _grid(grid: Grid) -> str:
    cells = [[_cell(value) for value in row] for row in grid.rows]
    widths = [max(map(len, column)) for column in zip(grid.heads, *cells, strict=True)]
    right = [
        bool(grid.rows) and all(isinstance(row[n], int | float | None) for row in grid.rows)
        for n in range(len(widths))
    ]

    def line(row: Sequence[str]) -> str:
        padded = (
            cell.rjust(width) if to_right else cell.ljust(width)
            for cell, width, to_right in zip(row, widths, right, strict=True)
        )
        return "  ".join(padded).rstrip()

    rule = ["-" * width for width in widths]
    return "\n".join([grid.title, line(grid.heads), line(rule), *map(line, cells)])


def _cell(value: object) -> str:
    if value is None:
        return "-"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:,.4g}" if abs(value) < 1000 else f"{value:,.0f}"
    if isinstance(value, int):
        return f"{value:,}"
    return str(value)
