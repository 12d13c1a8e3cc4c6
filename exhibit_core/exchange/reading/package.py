"""The parts of an XLSX package (ECMA-376) that say where its sheets, texts and dates are."""

import datetime
import posixpath
import re
import zipfile
from dataclasses import dataclass, field
from typing import Any, BinaryIO
from xml.etree.ElementTree import Element

from defusedxml.ElementTree import fromstring
from openpyxl.styles.numbers import BUILTIN_FORMATS, is_date_format, is_timedelta_format
from openpyxl.utils.datetime import CALENDAR_MAC_1904, CALENDAR_WINDOWS_1900

from exhibit_core.web.errors import RefusedError

LARGEST_SMALL_PART = 20_000_000
_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")


@dataclass(frozen=True)
class Sheet:
    name: str
    part: str = ""
    hidden: bool = False


@dataclass(frozen=True)
class Package:
    """A workbook's sheets, and which of its cell styles show a number as a date or a duration."""

    sheets: list[Sheet]
    strings_part: str
    epoch: datetime.datetime
    dates: frozenset[int] = field(default_factory=frozenset)
    durations: frozenset[int] = field(default_factory=frozenset)


def read_package(archive: zipfile.ZipFile) -> Package:
    main = _targets(archive, "_rels/.rels", "", "/officeDocument")
    workbook_part = next(iter(main.values()), "xl/workbook.xml")
    folder, name = posixpath.split(workbook_part)
    relations = f"{folder}/_rels/{name}.rels"
    workbook = _tree(archive, workbook_part)
    worksheets = _targets(archive, relations, folder, "/worksheet")
    sheets = [
        Sheet(row.get("name", ""), worksheets[key], row.get("state", "visible") != "visible")
        for row in workbook.iterfind("{*}sheets/{*}sheet")
        if (key := _relation(row)) in worksheets
    ]
    if not sheets:
        raise RefusedError("The workbook holds no sheet with cells.")
    strings = _targets(archive, relations, folder, "/sharedStrings")
    styles = _targets(archive, relations, folder, "/styles")
    properties = workbook.find("{*}workbookPr")
    old = properties is not None and properties.get("date1904") in {"1", "true"}
    dates, durations = _date_styles(archive, next(iter(styles.values()), ""))
    return Package(
        sheets=sheets,
        strings_part=next(iter(strings.values()), ""),
        epoch=CALENDAR_MAC_1904 if old else CALENDAR_WINDOWS_1900,
        dates=dates,
        durations=durations,
    )


def unescaped(text: str) -> str:
    """Return text with its _xHHHH_ escapes of characters resolved (ECMA-376 22.9.2.19)."""
    if "_x" not in text:
        return text
    return _ESCAPED.sub(lambda match: chr(int(match[1], 16)), text)


def _tree(archive: zipfile.ZipFile, part: str) -> Element:
    if archive.getinfo(part).file_size > LARGEST_SMALL_PART:
        raise RefusedError(f"The workbook's part {part} is far larger than it ever needs to be.")
    return fromstring(archive.read(part), forbid_dtd=True)


def _targets(archive: zipfile.ZipFile, part: str, folder: str, kind: str) -> dict[str, str]:
    """Return the parts of one kind that a relationship part names, by relationship id."""
    if part not in archive.namelist():
        return {}
    found: dict[str, str] = {}
    for row in _tree(archive, part):
        target = row.get("Target", "")
        if row.get("Type", "").endswith(kind) and row.get("TargetMode") != "External":
            path = posixpath.normpath(posixpath.join("/", folder, target)).lstrip("/")
            found[row.get("Id", "")] = path
    return found


def _relation(row: Element) -> str:
    return next((value for name, value in row.items() if name.endswith("}id")), "")


def _date_styles(archive: zipfile.ZipFile, part: str) -> tuple[frozenset[int], frozenset[int]]:
    if not part or part not in archive.namelist():
        return frozenset(), frozenset()
    tree = _tree(archive, part)
    own = {
        row.get("numFmtId"): row.get("formatCode", "")
        for row in tree.iterfind("{*}numFmts/{*}numFmt")
    }
    dates, durations = set(), set()
    for place, row in enumerate(tree.iterfind("{*}cellXfs/{*}xf")):
        key = row.get("numFmtId", "0")
        code: Any = own.get(key) or BUILTIN_FORMATS.get(int(key) if key.isdecimal() else 0, "")
        if is_timedelta_format(code):
            durations.add(place)
        elif is_date_format(code) or (key.isdecimal() and _local_date(int(key))):
            dates.add(place)
    return frozenset(dates), frozenset(durations)


def _local_date(key: int) -> bool:
    """Tell the built-in date formats of East Asian languages (ECMA-376 18.8.30)."""
    return 27 <= key <= 36 or 50 <= key <= 58


def opened(file: BinaryIO) -> zipfile.ZipFile:
    file.seek(0)
    return zipfile.ZipFile(file)
