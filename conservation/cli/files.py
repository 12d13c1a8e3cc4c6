"""Read what a command is given: JSON, CSV with a head line, or JSON whose lists are CSV files."""

from __future__ import annotations

import csv
import io
import json
import math
import sys
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from conservation.cli.common import InputError

LARGEST_BYTES = 10_000_000
MOST_ROWS = 200_000
# What is text even where it looks like a number.
WORDS = ("id", "set", "name", "piece", "photometry", "pollutant", "batch", "what")


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
    return json_of(read_text(path), path)


def json_of(text: str, path: str) -> Any:
    """Return the object or list that a text holds; `path` is for sentences; raises InputError."""

    def constant(word: str) -> Any:
        raise InputError(f"{path} holds {word}, which is no number of JSON; leave the value out.")

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
    """One row: its cells by column, its file and place there, and whether 1,5 is one number."""

    cells: dict[str, str]
    file: str
    where: str
    decimal_comma: bool = False

    def text(self, column: str) -> str:
        """Return a cell without spaces around it, empty where there is none."""
        return self.cells.get(column, "").strip()

    def number(self, column: str, default: float | None = None) -> float:
        """Return a cell as a finite number; an empty cell gives the default if there is one."""
        text = self.text(column)
        if not text and default is not None:
            return default
        number = _number(text, self.decimal_comma)
        if number is None:
            raise self.wrong(column, "give a number, with a point for decimals")
        return number

    def wrong(self, column: str, what: str) -> InputError:
        """Return the error that says which cell is wrong, and what to do."""
        shown = self.text(column)[:40]
        return InputError(f"{self.file}, {self.where}: {column} is {shown!r}: {what}.")


def read_rows(
    path: str, required: Iterable[str], optional: Iterable[str] | None = ()
) -> list[CsvRow]:
    """Return the rows of a CSV file with a head line, or of a JSON list; raises InputError.

    Columns are separated by commas, semicolons or tabs, by the head line; numbers may have decimal
    commas where no comma separates columns. Columns outside `required` and `optional` are refused;
    `optional=None` lets any pass.
    """
    text = read_text(path)
    if "\0" in text:
        raise InputError(f"{path} holds bytes of no text; export it as CSV.")
    names, found = (listed if text.lstrip()[:1] == "[" else _separated)(path, text)
    _check_heads(path, names, list(required), None if optional is None else set(optional))
    if not found:
        raise InputError(f"{path} has no rows below its head.")
    return found


def _separated(path: str, text: str) -> tuple[list[str], list[CsvRow]]:
    head = text.partition("\n")[0]
    mark = max(",;\t", key=head.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark)
    try:
        names = [name.strip() for name in next(reader, [])]
        rows: list[CsvRow] = []
        for cells in reader:
            if not any(cell.strip() for cell in cells):
                continue
            where = f"line {reader.line_num}"
            if len(cells) != len(names):
                words = f"{len(cells)} cells where the head has {len(names)}"
                raise InputError(f"{path}, {where}: {words}.")
            if len(rows) == MOST_ROWS:
                raise InputError(f"{path} has more than {MOST_ROWS:,} rows; give it in parts.")
            rows.append(CsvRow(dict(zip(names, cells, strict=True)), path, where, mark != ","))
    except csv.Error as error:
        raise InputError(f"{path}, line {reader.line_num}: this is not CSV ({error}).") from error
    return names, rows


def listed(path: str, text: str) -> tuple[list[str], list[CsvRow]]:
    """Return the columns and rows of a JSON list of objects; raises InputError."""
    data = json_of(text, path)
    if not isinstance(data, list):
        raise InputError(f"{path} must be a JSON list of objects.")
    if not data:
        raise InputError(f"{path} has no rows.")
    if len(data) > MOST_ROWS:
        raise InputError(f"{path} has more than {MOST_ROWS:,} rows; give it in parts.")
    names: dict[str, None] = {}
    rows = []
    for number, row in enumerate(data, 1):
        where = f"row {number}"
        if not isinstance(row, dict):
            raise InputError(f"{path}, {where}: give a JSON object of columns.")
        for name, value in row.items():
            if isinstance(value, bool | dict | list):
                raise InputError(f"{path}, {where}: {name} must be a number or text.")
        names |= dict.fromkeys(row)
        cells = {name: "" if value is None else str(value) for name, value in row.items()}
        rows.append(CsvRow(cells, path, where))
    return list(names), rows


def _number(text: str, decimal_comma: bool) -> float | None:
    """Return a finite number, or None."""
    if decimal_comma and "." not in text:
        text = text.replace(",", ".", 1)
    try:
        number = float(text)
    except ValueError:
        return None
    return number if math.isfinite(number) else None


def read_with_lists(path: str, lists: Mapping[str, Collection[str]]) -> Any:
    """Return a JSON object in which a list of objects may stand in a CSV file of its own.

    `lists` names such lists, each with its columns that hold several words, divided by "|". Paths
    count from the file's folder. A head like `test.batch` or `budgets.0.lux_hours` goes inward; an
    empty cell is left out; a cell that is no number, true or false is text. Raises InputError.
    """
    data = read_json(path)
    if not isinstance(data, dict):
        return data
    folder = Path() if path == "-" else Path(path).parent
    for key, several in lists.items():
        if isinstance(data.get(key), str):
            rows = read_rows(str(folder / data[key]), (), None)
            data[key] = [_inward(row, several) for row in rows]
    return data


def _inward(row: CsvRow, several: Collection[str]) -> Any:
    made: dict[str, Any] = {}
    for head in row.cells:
        text = row.text(head)
        if not text:
            continue
        *outer, last = head.split(".")
        at = made
        for part in outer:
            at = at.setdefault(part, {})
            if not isinstance(at, dict):
                raise row.wrong(head, f"{part} has a column of its own: drop one of them")
        at[last] = _cell(row, text, last, several)
    return _lists(made)


def _cell(row: CsvRow, text: str, name: str, several: Collection[str]) -> Any:
    if name in several:
        return [part.strip() for part in text.split("|") if part.strip()]
    if name in WORDS:
        return text
    if text in ("true", "false"):
        return text == "true"
    number = _number(text, row.decimal_comma)
    if number is None:
        return text
    return int(number) if number.is_integer() and "." not in text and "," not in text else number


def _lists(value: Any) -> Any:
    """Turn objects whose keys are 0, 1, 2 … into lists."""
    if not isinstance(value, dict):
        return value
    inner = {key: _lists(item) for key, item in value.items()}
    if inner and set(inner) == {str(number) for number in range(len(inner))}:
        return [inner[str(number)] for number in range(len(inner))]
    return inner


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
