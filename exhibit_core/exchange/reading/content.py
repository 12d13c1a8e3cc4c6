"""Tell by its content what a file is, and refuse what is no object list or unsafe to open."""

import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from typing import BinaryIO, Literal
from xml.parsers.expat import ExpatError
from zlib import error as ZlibError  # noqa: N812

from defusedxml.common import DefusedXmlException
from django.conf import settings

from exhibit_core.web.errors import RefusedError

Kind = Literal["xlsx", "csv"]

MOST_PARTS = 2_000
MOST_INFLATED_BYTES = 500_000_000
MOST_PART_BYTES = {"xl/sharedStrings.xml": 100_000_000}
HIGHEST_RATIO = 200
RATIO_COUNTS_FROM_BYTES = 10_000_000

_OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_ZIP = (b"PK\x03\x04", b"PK\x05\x06")
_SAVE = "save it as .xlsx or .csv in your spreadsheet program and send that"
_OTHERS = {
    b"%PDF": "a PDF",
    b"\x89PNG": "a picture",
    b"\xff\xd8\xff": "a picture",
    b"GIF8": "a picture",
    b"{\\rtf": "a text document",
    b"\x1f\x8b": "a compressed file",
    b"7z\xbc\xaf": "a compressed file",
    b"Rar!": "a compressed file",
    b"SQLite format 3": "a database",
}


def kind_of(file: BinaryIO, *, size: int) -> Kind:
    """Return what the file holds; raise RefusedError for anything but XLSX and delimited text."""
    if size > settings.IMPORT_MAX_BYTES:
        raise too_large(size)
    file.seek(0)
    head = file.read(4096)
    if not head.strip():
        raise RefusedError("The file is empty: send one with a row of headings and objects below.")
    if head.startswith(_OLE):
        raise _old_or_encrypted(file)
    if head.startswith(_ZIP):
        _check_archive(file)
        return "xlsx"
    for start, words in _OTHERS.items():
        if head.startswith(start):
            raise RefusedError(f"This is {words}, not an object list: {_SAVE}.")
    if head.lstrip(b"\xef\xbb\xbf \r\n\t").lower().startswith((b"<!doctype", b"<html", b"<?xml")):
        raise RefusedError(f"This is a web page or XML, whatever its name says: {_SAVE}.")
    return "csv"


def too_large(size: int) -> RefusedError:
    most = settings.IMPORT_MAX_BYTES // 1_048_576
    return RefusedError(
        f"The file has {size / 1_048_576:.0f} MB; at most {most} MB are read. Take out pictures "
        "and sheets that hold no objects, or send it in parts."
    )


@contextmanager
def damage_in_words() -> Iterator[None]:
    """Turn every way in which a workbook can be broken or hostile into one sentence."""
    try:
        yield
    except DefusedXmlException as error:
        raise declares_entities() from error
    except (
        zipfile.BadZipFile,
        zipfile.LargeZipFile,
        ZlibError,
        ExpatError,
        SyntaxError,
        EOFError,
        KeyError,
        NotImplementedError,
        OSError,
        OverflowError,
        RuntimeError,
        UnicodeError,
    ) as error:
        raise RefusedError(
            "The workbook is damaged and cannot be read to its end: open it in your spreadsheet "
            "program, save it as .xlsx again and send that."
        ) from error


def declares_entities() -> RefusedError:
    return RefusedError(
        "The workbook declares a document type or entities, as no spreadsheet program does: it is "
        "not read."
    )


def _old_or_encrypted(file: BinaryIO) -> RefusedError:
    if _holds(file, "EncryptedPackage".encode("utf-16-le")):
        return RefusedError(
            "The workbook is protected with a password: take the password away, save it and send "
            "it again."
        )
    return RefusedError(f"This is an old .xls workbook or another old Office file: {_SAVE}.")


def _holds(file: BinaryIO, wanted: bytes) -> bool:
    file.seek(0)
    tail = b""
    while block := file.read(1 << 20):
        if wanted in tail + block:
            return True
        tail = block[-len(wanted) :]
    return False


def _check_archive(file: BinaryIO) -> None:
    """Refuse other archives, and those whose parts would inflate without measure.

    Python reads no more of a part than its declared size and then checks its sum, so that the
    declared sizes are what can be inflated.
    """
    file.seek(0)
    with damage_in_words(), zipfile.ZipFile(file) as archive:
        parts = archive.infolist()
    names = {part.filename for part in parts}
    if len(parts) > MOST_PARTS:
        raise RefusedError(f"The workbook has {len(parts)} parts; at most {MOST_PARTS} are read.")
    if "[Content_Types].xml" not in names or not any(n.startswith("xl/") for n in names):
        raise RefusedError(f"This is not a workbook but another archive or document: {_SAVE}.")
    if "xl/workbook.bin" in names:
        raise RefusedError(f"This is a binary workbook (.xlsb): {_SAVE}.")
    if any(part.flag_bits & 1 for part in parts):
        raise RefusedError("The workbook is encrypted: take the password away and send it again.")
    for part in parts:
        _check_part(part)
    if (inflated := sum(part.file_size for part in parts)) > MOST_INFLATED_BYTES:
        raise _inflates(inflated)


def _check_part(part: zipfile.ZipInfo) -> None:
    most = MOST_PART_BYTES.get(part.filename, MOST_INFLATED_BYTES)
    ratio = part.file_size / max(1, part.compress_size)
    if part.file_size > most or (
        part.file_size > RATIO_COUNTS_FROM_BYTES and ratio > HIGHEST_RATIO
    ):
        raise _inflates(part.file_size)


def _inflates(size: int) -> RefusedError:
    return RefusedError(
        f"The workbook would unpack to {size / 1_000_000:,.0f} MB, far more than an object list "
        "needs: it is not opened. Copy the rows with objects into a new workbook and send that."
    )
