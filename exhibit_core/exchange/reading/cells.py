"""Cells as a list holds them, and their addresses."""

import datetime
from dataclasses import dataclass
from typing import Any, NamedTuple

MOST_ROWS = 100_000
MOST_COLUMNS = 500
LONGEST_CELL = 32_767


@dataclass(frozen=True)
class Unreadable:
    """A cell whose value is not known, such as an error or a formula that was never computed."""

    text: str
    why: str


class Row(NamedTuple):
    """A row with its number in the sheet; empty cells are None, those after the last left out."""

    number: int
    cells: list[Any]

    @property
    def is_empty(self) -> bool:
        return all(cell is None for cell in self.cells)


def letter(column: int) -> str:
    """Return the letters of a column counted from 0: A, B, … Z, AA."""
    letters = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def column_of(letters: str) -> int:
    """Return the place of a column from 0, the opposite of `letter`."""
    place = 0
    for char in letters:
        place = place * 26 + ord(char) - 64
    return place - 1


def address(column: int, row: int) -> str:
    return f"{letter(column)}{row}"


def text_of(cell: Any) -> str:
    """Return a cell as its reader would write it: dates as ISO 8601, numbers to 15 digits."""
    if isinstance(cell, str):
        return cell
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "TRUE" if cell else "FALSE"
    if isinstance(cell, float):
        return f"{cell:.15g}"
    if isinstance(cell, Unreadable):
        return cell.text
    if isinstance(cell, datetime.datetime):
        return cell.isoformat(sep=" ", timespec="minutes")
    return str(cell)
