"""Find the row of headings of a list, and name its columns."""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from openpyxl.utils.cell import range_boundaries

from exhibit_core.exchange.reading.cells import MOST_COLUMNS, Row, letter, text_of
from exhibit_core.web.errors import RefusedError

LOOKED_THROUGH = 30
SAMPLE_ROWS = 200
SAMPLES = 3
LONGEST_SAMPLE = 80
LONGEST_NAME = 200
MOST_NAMED = 5


@dataclass(frozen=True)
class Column:
    """A column of a list: its place from 0, its heading made distinct, and some of its values."""

    place: int
    name: str
    samples: tuple[str, ...]

    @property
    def letter(self) -> str:
        return letter(self.place)


@dataclass(frozen=True)
class Head:
    row: int
    columns: list[Column]
    notes: list[str]


def find_head(
    rows: Sequence[Row], *, is_known: Callable[[str], bool], wanted_row: int | None = None
) -> Head:
    """Return the headings and what to know of them; `wanted_row` is where a person saw them.

    Raises RefusedError when no row looks like headings.
    """
    head = _chosen(rows, wanted_row) if wanted_row else _most_likely(rows, is_known)
    below = [row for row in rows if row.number > head.number]
    notes = []
    if head is not rows[0] and not wanted_row:
        notes.append(f"The headings were found in row {head.number}; what is above is not read.")
    columns, said = _columns(head, below)
    return Head(head.number, columns, notes + said)


def check_merged(merged: Sequence[str], head: Head) -> list[str]:
    """Refuse merged headings by name; say which other cells are merged."""
    if across := [ref for ref in merged if _rows_of(ref)[0] <= head.row <= _rows_of(ref)[1]]:
        raise RefusedError(
            f"Headings are merged: {_some(across)}. Split them, so that each column has a heading "
            "of its own in one row."
        )
    if below := [ref for ref in merged if _rows_of(ref)[0] > head.row]:
        return [f"Merged cells hold a value only in the first of them: {_some(below)}."]
    return []


def _chosen(rows: Sequence[Row], number: int) -> Row:
    if found := next((row for row in rows if row.number == number), None):
        return found
    raise RefusedError(
        f"Row {number} is empty, or too far down: give the number of the row of headings."
    )


def _most_likely(rows: Sequence[Row], is_known: Callable[[str], bool]) -> Row:
    first = rows[:LOOKED_THROUGH]
    known = [sum(is_known(cell) for cell in row.cells if isinstance(cell, str)) for row in first]
    if known and max(known) >= 2:
        return first[known.index(max(known))]
    widest = max((_filled(row) for row in first), default=0)
    for row in first:
        if _looks_like_headings(row) and _filled(row) * 2 >= widest:
            return row
    raise RefusedError(
        f"No row of headings was found in the first {LOOKED_THROUGH} rows: put one above the "
        "objects, with a heading such as “Object number” or “Title” over each column."
    )


def _filled(row: Row) -> int:
    return sum(cell is not None for cell in row.cells)


def _looks_like_headings(row: Row) -> bool:
    cells = [cell for cell in row.cells if cell is not None]
    texts = [cell for cell in cells if isinstance(cell, str)]
    with_digits = sum(any(char.isdigit() for char in text) for text in texts)
    return len(texts) == len(cells) >= 2 and with_digits * 2 < len(texts)


def _columns(head: Row, below: Sequence[Row]) -> tuple[list[Column], list[str]]:
    sample = below[:SAMPLE_ROWS]
    width = max((len(row.cells) for row in [head, *sample]), default=0)
    used: Counter[str] = Counter()
    columns, repeated, nameless = [], [], []
    for place in range(min(width, MOST_COLUMNS)):
        heading = _heading(head.cells[place]) if place < len(head.cells) else ""
        samples = _samples(sample, place)
        if not heading and not samples:
            continue
        if not heading:
            nameless.append(letter(place))
        name = _distinct(heading or f"column {letter(place)}", used)
        if heading and name != heading:
            repeated.append(f"{letter(place)} is now “{name}”")
        columns.append(Column(place, name, samples))
    notes = []
    if repeated:
        notes.append(f"Headings that stand there twice were made distinct: {_some(repeated)}.")
    if nameless:
        notes.append(f"Columns with values but no heading: {_some(nameless)}.")
    return columns, notes


def _heading(cell: Any) -> str:
    return " ".join(text_of(cell).split())[:LONGEST_NAME]


def _distinct(heading: str, used: Counter[str]) -> str:
    used[heading.casefold()] += 1
    name, count = heading, used[heading.casefold()]
    while count > 1:
        name = f"{heading} ({count})"
        if not used[name.casefold()]:
            used[name.casefold()] += 1
            return name
        count += 1
    return name


def _samples(rows: Sequence[Row], place: int) -> tuple[str, ...]:
    found: dict[str, None] = {}
    for row in rows:
        text = text_of(row.cells[place]) if place < len(row.cells) else ""
        if text := " ".join(text.split())[:LONGEST_SAMPLE]:
            found[text] = None
        if len(found) == SAMPLES:
            break
    return tuple(found)


def _rows_of(ref: str) -> tuple[int, int]:
    try:
        _, first, _, last = range_boundaries(ref)
    except (TypeError, ValueError):
        return (0, 0)
    return (first or 1, last or 1)


def _some(names: Sequence[str]) -> str:
    more = len(names) - MOST_NAMED
    return ", ".join(names[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
