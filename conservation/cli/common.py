"""What all commands share: their options, and printing JSON or a table."""

from __future__ import annotations

import argparse
import datetime
import json
import math
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass, fields, is_dataclass
from typing import Any, TypeAlias

from conservation.ranges import ConservationError
from conservation.tables import OURS, Tables

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
