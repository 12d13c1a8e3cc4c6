"""Rows as CSV (RFC 4180) and XLSX (ECMA-376) that open without running anything."""

import csv
import re
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from typing import IO, Any

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.cell.cell import ERROR_CODES, ILLEGAL_CHARACTERS_RE
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter

from exhibit_core.exchange.neutral import neutralised
from exhibit_core.exchange.reading.cells import LONGEST_CELL
from exhibit_core.web.errors import RefusedError

BYTE_ORDER_MARK = "\ufeff"
NARROWEST, WIDEST = 10, 40
_LOOKS_ESCAPED = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")


class _Echo:
    """Give back what is written, so that a row can be streamed."""

    def write(self, text: str) -> str:
        return text


def csv_lines(headings: Sequence[str], rows: Iterable[Sequence[Any]]) -> Iterator[str]:
    """Yield a CSV file line by line; it is UTF-8 and says so, as spreadsheet programs need."""
    writer = csv.writer(_Echo())
    yield BYTE_ORDER_MARK + writer.writerow(headings)
    for row in rows:
        yield writer.writerow([_safe(value) for value in row])


def xlsx_file(title: str, headings: Sequence[str], rows: Iterable[Sequence[Any]]) -> IO[bytes]:
    """Return a temporary file with a workbook of one sheet; raises RefusedError where none can."""
    book = Workbook(write_only=True)
    sheet = book.create_sheet(title)
    sheet.freeze_panes = "B2"
    for place, heading in enumerate(headings, start=1):
        width = min(WIDEST, max(NARROWEST, len(heading) + 3))
        sheet.column_dimensions[get_column_letter(place)].width = width
    sheet.append([_bold(sheet, heading) for heading in headings])
    try:
        for row in rows:
            sheet.append([_cell(sheet, value, row, headings) for value in row])
    except RefusedError:
        sheet.close()
        raise
    file = tempfile.TemporaryFile()  # noqa: SIM115 (the answer that sends it closes it)
    book.save(file)
    file.seek(0)
    return file


def _safe(value: Any) -> Any:
    return neutralised(_plain(value)) if isinstance(value, str) else value


def _bold(sheet: Any, heading: str) -> WriteOnlyCell:
    cell = WriteOnlyCell(sheet, _text(heading))
    cell.font = Font(bold=True)
    return cell


def _cell(sheet: Any, value: Any, row: Sequence[Any], headings: Sequence[str]) -> Any:
    if not isinstance(value, str):
        return value
    text = _text(value)
    if len(text) > LONGEST_CELL:
        raise RefusedError(
            f"{headings[list(row).index(value)]} of {row[0]} is longer than a cell of a workbook "
            f"can hold ({LONGEST_CELL:,} characters): take the list away as CSV."
        )
    if text not in ERROR_CODES:
        return text or None
    cell = WriteOnlyCell(sheet, text)
    cell.data_type = "s"
    return cell


def _text(value: str) -> str:
    """Return text as a workbook holds it: what would be read as an escape is escaped."""
    return neutralised(_LOOKS_ESCAPED.sub("_x005F_", _plain(value)))


def _plain(value: str) -> str:
    """Take out control characters, which neither a workbook nor a text file can hold."""
    return ILLEGAL_CHARACTERS_RE.sub("", value)
