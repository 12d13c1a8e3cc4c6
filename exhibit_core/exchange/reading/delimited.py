"""Delimited text (RFC 4180 and its many relatives), read row by row."""

import codecs
import csv
import re
from collections import Counter
from collections.abc import Iterator
from io import TextIOWrapper
from typing import BinaryIO

from exhibit_core.exchange.reading.cells import MOST_COLUMNS, Row
from exhibit_core.exchange.reading.package import Sheet
from exhibit_core.exchange.reading.sheet_xml import Scan
from exhibit_core.web.errors import RefusedError

DELIMITERS = {",": "comma", ";": "semicolon", "\t": "tab", "|": "vertical bar"}
_BOMS = {
    codecs.BOM_UTF8: "utf-8-sig",
    codecs.BOM_UTF16_LE: "utf-16",
    codecs.BOM_UTF16_BE: "utf-16",
}
_BLOCK = 1 << 18
_SAMPLE_ROWS = 50
_SAMPLE_CHARS = 200_000
_NO_TEXT = re.compile(rb"[\x00-\x08\x0e-\x1a\x1c-\x1f]")
_SEPARATOR_LINE = re.compile(r"sep=(.)\r?\n", re.IGNORECASE)
_UTF8_ADVICE = "save it as “CSV UTF-8” and send it again"


class DelimitedText:
    """Raises RefusedError with a sentence whenever the file is broken or no text."""

    kind = "csv"

    def __init__(self, file: BinaryIO) -> None:
        self._file = file
        self.notes: list[str] = []
        self._encoding = self._found_encoding()
        self._skipped, self._delimiter = self._found_delimiter()

    @property
    def sheets(self) -> list[Sheet]:
        return [Sheet("")]

    def scan(self, sheet: Sheet) -> Scan:
        return Scan(rows=sum(1 for _ in self.rows(sheet)))

    def rows(self, sheet: Sheet) -> Iterator[Row]:
        """Yield the rows that hold anything; blank ones count, as a spreadsheet counts them."""
        number = 0
        with _Text(self._file, self._encoding) as text:
            text.read(self._skipped)
            reader = csv.reader(text, delimiter=self._delimiter, strict=True)
            try:
                for number, texts in enumerate(reader, start=1):
                    cells = [cell or None for cell in texts]
                    if any(cells):
                        yield Row(number, _checked(cells, number))
            except csv.Error as error:
                raise RefusedError(
                    f"Row {number + 1} cannot be read: a quotation mark is not closed, or stands "
                    "unpaired inside a quoted cell. Write it twice there, or take it out."
                ) from error
            except UnicodeError as error:
                raise RefusedError(
                    f"The letters after row {number} are not {self._encoding}: {_UTF8_ADVICE}."
                ) from error

    def _found_encoding(self) -> str:
        self._file.seek(0)
        head = self._file.read(4)
        for mark, encoding in _BOMS.items():
            if head.startswith(mark):
                return encoding
        if self._is_utf8():
            return "utf-8"
        self.notes.append(
            "The file does not say how its letters are coded and is not UTF-8: it is read as "
            "Windows-1252. Check that letters with accents look right."
        )
        return "cp1252"

    def _is_utf8(self) -> bool:
        decoder = codecs.getincrementaldecoder("utf-8")()
        self._file.seek(0)
        utf8 = True
        while block := self._file.read(_BLOCK):
            if found := _NO_TEXT.search(block):
                byte = found.group()[0]
                raise RefusedError(
                    f"The file is no text: it holds the character number {byte}. If it is a "
                    f"list, {_UTF8_ADVICE}."
                )
            utf8 = utf8 and _decodes(decoder, block)
        return utf8 and _decodes(decoder, b"", final=True)

    def _found_delimiter(self) -> tuple[int, str]:
        """Return how many characters a line that names the delimiter takes, and the delimiter."""
        with _Text(self._file, self._encoding) as text:
            try:
                sample = text.read(_SAMPLE_CHARS)
            except UnicodeError as error:
                raise RefusedError(
                    f"The file's letters are not {self._encoding}: {_UTF8_ADVICE}."
                ) from error
        if "\0" in sample:
            raise RefusedError(
                f"The file holds characters with no meaning in text: {_UTF8_ADVICE}."
            )
        if named := _SEPARATOR_LINE.match(sample):
            return named.end(), named[1]
        best = max(DELIMITERS, key=lambda delimiter: _evenness(sample, delimiter))
        self.notes.append(f"Cells are taken to be separated by a {DELIMITERS[best]}.")
        return 0, best


class _Text:
    """Read bytes as text without closing them."""

    def __init__(self, file: BinaryIO, encoding: str) -> None:
        file.seek(0)
        self._wrapper = TextIOWrapper(file, encoding=encoding, newline="")

    def __enter__(self) -> TextIOWrapper:
        return self._wrapper

    def __exit__(self, *_error: object) -> None:
        self._wrapper.detach()


def _decodes(decoder: codecs.IncrementalDecoder, block: bytes, *, final: bool = False) -> bool:
    try:
        decoder.decode(block, final)
    except UnicodeDecodeError:
        return False
    return True


def _evenness(sample: str, delimiter: str) -> tuple[float, int]:
    """Rank a delimiter by how many rows have the commonest number of cells, and by that number."""
    lines = sample.splitlines(keepends=True)[: _SAMPLE_ROWS * 20]
    widths: Counter[int] = Counter()
    try:
        for cells in csv.reader(lines, delimiter=delimiter):
            widths[len(cells)] += bool(cells)
            if widths.total() >= _SAMPLE_ROWS:
                break
    except csv.Error:
        return (0.0, 0)
    several = Counter({width: count for width, count in widths.items() if width > 1})
    if not several:
        return (0.0, 0)
    width, count = several.most_common(1)[0]
    return (count / max(1, widths.total()), width)


def _checked(cells: list[str | None], number: int) -> list[str | None]:
    while cells and cells[-1] is None:
        cells.pop()
    if len(cells) > MOST_COLUMNS:
        raise RefusedError(
            f"Row {number} has {len(cells)} cells; at most {MOST_COLUMNS} columns are read."
        )
    return cells
