"""Read the large parts of a workbook as a stream: the texts its cells share, and sheets."""

import datetime
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any
from xml.parsers import expat

from openpyxl.utils.datetime import from_excel, from_ISO8601

from exhibit_core.exchange.reading.cells import MOST_COLUMNS, Row, Unreadable, column_of
from exhibit_core.exchange.reading.content import declares_entities
from exhibit_core.exchange.reading.package import Package, unescaped
from exhibit_core.web.errors import RefusedError

BLOCK = 1 << 16
_NAMESPACES = (
    "http://schemas.openxmlformats.org/spreadsheetml/2006/main",
    "http://purl.oclc.org/ooxml/spreadsheetml/main",
)
_ROW, _CELL, _VALUE, _FORMULA, _TEXT, _SOUND, _MERGED, _ITEM = range(8)
_KNOWN = {"row": _ROW, "c": _CELL, "v": _VALUE, "f": _FORMULA, "t": _TEXT}
_KNOWN |= {"rPh": _SOUND, "mergeCell": _MERGED, "si": _ITEM}
_CODES = {f"{space}}}{name}": code for space in _NAMESPACES for name, code in _KNOWN.items()}
_UNCOMPUTED = "is a formula that was never computed: open and save it in a spreadsheet program"


@dataclass
class Scan:
    """What can be told of a sheet without reading its values."""

    rows: int = 0
    hidden_rows: int = 0
    merged: list[str] = field(default_factory=list)


def _parser() -> expat.XMLParserType:
    parser = expat.ParserCreate(namespace_separator="}")
    parser.buffer_text = True
    parser.StartDoctypeDeclHandler = _refuse
    parser.EntityDeclHandler = _refuse
    return parser


def _refuse(*_details: object) -> None:
    raise declares_entities()


def scan(archive: zipfile.ZipFile, part: str) -> Scan:
    """Count the rows that hold values, and name merged cells."""
    found = Scan()
    counted = True

    def start(name: str, attributes: dict[str, str]) -> None:
        nonlocal counted
        code = _CODES.get(name)
        if code == _ROW:
            counted = False
            found.hidden_rows += attributes.get("hidden") in {"1", "true"}
        elif not counted and code in (_VALUE, _TEXT):
            counted = True
            found.rows += 1
        elif code == _MERGED:
            found.merged.append(attributes.get("ref", ""))

    parser = _parser()
    parser.StartElementHandler = start
    with archive.open(part) as stream:
        parser.ParseFile(stream)
    return found


def shared_strings(archive: zipfile.ZipFile, part: str) -> list[str]:
    """Return the texts that cells refer to by number, without their formats and readings."""
    texts: list[str] = []
    if not part:
        return texts
    pieces: list[str] = []
    reading = sounding = False

    def start(name: str, _attributes: dict[str, str]) -> None:
        nonlocal reading, sounding
        code = _CODES.get(name)
        if code == _TEXT:
            reading = not sounding
        elif code == _ITEM:
            pieces.clear()
        elif code == _SOUND:
            sounding = True

    def end(name: str) -> None:
        nonlocal reading, sounding
        code = _CODES.get(name)
        if code == _TEXT:
            reading = False
        elif code == _ITEM:
            texts.append(unescaped("".join(pieces)))
        elif code == _SOUND:
            sounding = False

    def data(text: str) -> None:
        if reading:
            pieces.append(text)

    parser = _parser()
    parser.StartElementHandler, parser.EndElementHandler = start, end
    parser.CharacterDataHandler = data
    with archive.open(part) as stream:
        parser.ParseFile(stream)
    return texts


def rows(
    archive: zipfile.ZipFile, part: str, package: Package, strings: list[str]
) -> Iterator[Row]:
    """Yield a sheet's rows that hold anything, in the order of the file."""
    reader = _RowReader(package, strings)
    parser = _parser()
    parser.StartElementHandler, parser.EndElementHandler = reader.start, reader.end
    parser.CharacterDataHandler = reader.data
    with archive.open(part) as stream:
        while block := stream.read(BLOCK):
            parser.Parse(block)
            yield from reader.rows
            reader.rows.clear()
        parser.Parse(b"", True)
        yield from reader.rows


class _RowReader:
    """Gather cells while expat walks through a sheet."""

    def __init__(self, package: Package, strings: list[str]) -> None:
        self.rows: list[Row] = []
        self._package = package
        self._strings = strings
        self._columns: dict[str, int] = {}
        self._number = 0
        self._cells: dict[int, Any] = {}
        self._column = -1
        self._kind = ""
        self._style = ""
        self._formula = self._reading = self._sounding = False
        self._pieces: list[str] = []

    def start(self, name: str, attributes: dict[str, str]) -> None:
        code = _CODES.get(name)
        if code == _CELL:
            place = attributes.get("r")
            self._column = self._place(place) if place else self._column + 1
            self._kind = attributes.get("t", "n")
            self._style = attributes.get("s", "")
            self._formula = False
            self._pieces = []
        elif code == _VALUE:
            self._reading = True
        elif code == _TEXT:
            self._reading = not self._sounding
        elif code == _ROW:
            number = attributes.get("r", "")
            self._number = int(number) if number.isdecimal() else self._number + 1
            self._cells = {}
            self._column = -1
        elif code == _FORMULA:
            self._formula = True
        elif code == _SOUND:
            self._sounding = True

    def end(self, name: str) -> None:
        code = _CODES.get(name)
        if code in (_VALUE, _TEXT):
            self._reading = False
        elif code == _CELL:
            if self._pieces or self._formula:
                self._keep(self._value("".join(self._pieces)))
        elif code == _ROW:
            if self._cells:
                size = max(self._cells) + 1
                self.rows.append(Row(self._number, [self._cells.get(n) for n in range(size)]))
        elif code == _SOUND:
            self._sounding = False

    def data(self, text: str) -> None:
        if self._reading:
            self._pieces.append(text)

    def _place(self, place: str) -> int:
        letters = place.rstrip("0123456789")
        if (column := self._columns.get(letters)) is None:
            column = self._columns[letters] = column_of(letters.upper())
        return column

    def _keep(self, value: Any) -> None:
        if value is None:
            return
        if not 0 <= self._column < MOST_COLUMNS:
            raise RefusedError(
                f"Row {self._number} has a value beyond the {MOST_COLUMNS} columns that are read: "
                "take out columns that do not describe objects."
            )
        self._cells[self._column] = value

    def _value(self, text: str) -> Any:
        kind = self._kind
        if kind == "s":
            return self._shared(text)
        if kind in {"inlineStr", "str"}:
            return unescaped(text) or None
        if not text:
            return Unreadable("formula", _UNCOMPUTED) if self._formula else None
        if kind == "n":
            return self._number_of(text)
        if kind == "b":
            return text == "1"
        if kind == "d":
            return _date(from_ISO8601, text)
        return Unreadable(text, "is an error of the spreadsheet: put the value itself there")

    def _shared(self, text: str) -> str | None:
        try:
            return self._strings[int(text)] or None if text.isdecimal() else None
        except IndexError as error:
            raise EOFError("a cell refers to a text that is not there") from error

    def _number_of(self, text: str) -> Any:
        try:
            number = float(text)
        except ValueError:
            return Unreadable(text, "is stored as a number but is none")
        style = int(self._style) if self._style.isdecimal() else -1
        if style in self._package.dates:
            return _date(lambda n: from_excel(n, self._package.epoch), number)
        if style in self._package.durations:
            return _date(lambda n: from_excel(n, self._package.epoch, timedelta=True), number)
        return int(number) if number.is_integer() and abs(number) < 1e15 else number


def _date(read: Any, value: Any) -> Any:
    try:
        found = read(value)
    except (ValueError, OverflowError, TypeError):
        return Unreadable(str(value), "is stored as a date but is none")
    if isinstance(found, datetime.datetime) and found.time() == datetime.time():
        return found.date()
    return found
