"""Look into a file that came in: its sheets, its headings, and how many rows it has."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import islice, takewhile
from typing import BinaryIO

from exhibit_core.exchange.reading.cells import MOST_ROWS, Row
from exhibit_core.exchange.reading.content import kind_of
from exhibit_core.exchange.reading.delimited import DelimitedText
from exhibit_core.exchange.reading.headings import (
    LOOKED_THROUGH,
    SAMPLE_ROWS,
    Head,
    check_merged,
    find_head,
)
from exhibit_core.exchange.reading.package import Sheet
from exhibit_core.exchange.reading.workbook import Workbook
from exhibit_core.web.errors import RefusedError

IsKnown = Callable[[str], bool]


@dataclass(frozen=True)
class Look:
    """What a person decides on: which sheet, and what its columns are."""

    kind: str
    sheets: list[Sheet]
    sheet: str
    head: Head
    rows: int
    notes: list[str]


def open_list(file: BinaryIO, *, size: int) -> Workbook | DelimitedText:
    """Raise RefusedError with a sentence unless the file is an object list that is safe to read."""
    return Workbook(file) if kind_of(file, size=size) == "xlsx" else DelimitedText(file)


def look_into(
    file: BinaryIO,
    *,
    size: int,
    is_known: IsKnown,
    sheet: str | None = None,
    header_row: int | None = None,
) -> Look:
    """Read enough of a list to match its columns; without a sheet's name take the likeliest."""
    source = open_list(file, size=size)
    chosen, head = _sheet_with_head(source, is_known, sheet, header_row)
    scan = source.scan(chosen)
    above = sum(1 for _ in takewhile(lambda row: row.number <= head.row, source.rows(chosen)))
    if (count := scan.rows - above) > MOST_ROWS:
        raise RefusedError(
            f"The list has {count:,} rows; at most {MOST_ROWS:,} are read at once: send parts."
        )
    if count < 1:
        raise RefusedError(f"There are no objects below the headings in row {head.row}.")
    notes = [*source.notes, *_unread(source, chosen), *head.notes, *check_merged(scan.merged, head)]
    if scan.hidden_rows:
        notes.append(f"Rows that are hidden in the sheet are read too: {scan.hidden_rows}.")
    return Look(source.kind, source.sheets, chosen.name, head, count, notes)


def rows_below(source: Workbook | DelimitedText, *, sheet: str, header_row: int) -> Iterator[Row]:
    """Yield the rows below the headings; raise RefusedError if the sheet is not there."""
    for row in source.rows(_sheet_named(source, sheet)):
        if row.number > header_row:
            yield row


def _sheet_named(source: Workbook | DelimitedText, name: str) -> Sheet:
    if found := next((sheet for sheet in source.sheets if sheet.name == name), None):
        return found
    raise RefusedError(f"The workbook has no sheet “{name}”: choose one that it has.")


def _sheet_with_head(
    source: Workbook | DelimitedText, is_known: IsKnown, name: str | None, header_row: int | None
) -> tuple[Sheet, Head]:
    if name is not None:
        sheet = _sheet_named(source, name)
        return sheet, _head(source, sheet, is_known, header_row)
    refusal = RefusedError("Every sheet of the workbook is hidden: show the one to be read.")
    for sheet in source.sheets:
        if not sheet.hidden:
            try:
                return sheet, _head(source, sheet, is_known, header_row)
            except RefusedError as error:
                refusal = error
    raise refusal


def _head(
    source: Workbook | DelimitedText, sheet: Sheet, is_known: IsKnown, header_row: int | None
) -> Head:
    sample = list(islice(source.rows(sheet), LOOKED_THROUGH + SAMPLE_ROWS))
    return find_head(sample, is_known=is_known, wanted_row=header_row)


def _unread(source: Workbook | DelimitedText, chosen: Sheet) -> list[str]:
    others = [sheet for sheet in source.sheets if sheet != chosen]
    if not others:
        return []
    names = ", ".join(f"“{sheet.name}”{' (hidden)' if sheet.hidden else ''}" for sheet in others)
    return [f"Of several sheets “{chosen.name}” is read; not read: {names}."]
