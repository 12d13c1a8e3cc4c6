"""Wrong and hostile files get a sentence that says what is wrong and what to do."""

import io
import zipfile
from xml.sax.saxutils import escape

import pytest
from openpyxl import Workbook

from exhibit_core.exchange.reading.look import look_into
from exhibit_core.web.errors import RefusedError
from tests.exhibit_core.exchange.files import (
    SHEET,
    SPACE,
    look,
    part,
    saved,
    with_parts,
    with_shared_texts,
    xlsx,
)

GOOD = [["Number", "Title"], ["1", "Vane"]]


def refusal(data: bytes, **details) -> str:
    with pytest.raises(RefusedError) as caught:
        look(data, **details)
    return str(caught.value)


def archive(**parts: bytes) -> bytes:
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as out:
        for name, content in parts.items():
            out.writestr(name.replace("__", "/"), content)
    return file.getvalue()


def bomb(inflated: int) -> bytes:
    """Return a workbook whose sheet inflates to so many bytes of blanks."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(xlsx(*GOOD))) as old, zipfile.ZipFile(out, "w", 8) as new:
        for name in old.namelist():
            if name != SHEET:
                new.writestr(name, old.read(name))
        with new.open(SHEET, "w", force_zip64=True) as sheet:
            for _ in range(inflated // 1_000_000):
                sheet.write(b" " * 1_000_000)
    return out.getvalue()


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "The file is empty"),
        (b"%PDF-1.7 object list", "This is a PDF"),
        (b"\x89PNG\r\n\x1a\n", "This is a picture"),
        (b"\xff\xd8\xff\xe0\0\x10JFIF", "This is a picture"),
        (b"{\\rtf1 list}", "This is a text document"),
        (b"\x1f\x8b\x08\0", "This is a compressed file"),
        (b"<html><table><tr><td>Number</td></tr></table>", "This is a web page or XML"),
        (b"\xef\xbb\xbf<?xml version='1.0'?><Workbook/>", "This is a web page or XML"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600, "This is an old .xls workbook"),
        (
            b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + "EncryptedPackage".encode("utf-16-le"),
            "protected with a password",
        ),
        (archive(mimetype=b"spreadsheet"), "This is not a workbook but another archive"),
        (archive(**{"[Content_Types].xml": b"", "word__document.xml": b""}), "not a workbook"),
        (archive(**{"[Content_Types].xml": b"", "xl__workbook.bin": b""}), "binary workbook"),
        (b"PK\x03\x04 and then nothing of use", "The workbook is damaged"),
        (b"Number,Title\n1,V\0ane\n", "The file is no text: it holds the character number 0"),
        (b"Number,Title\n\x01\x02\x03,x\n", "The file is no text"),
        (b"Number,Title\n1,\x81\x8d\n", "are not cp1252"),
        ("Number,Title\n1,Vane\n".encode("utf-16-le"), "The file is no text"),
        ("\ufeffNumber,Title\n1,V".encode("utf-16-le") + b"\x00\xd8", "are not utf-16"),
        (b'Number,Title\n1,"a vane\n2,"b" vane\n', "Row 2 cannot be read: a quotation mark"),
        (b"Number,Title\n", "There are no objects below the headings in row 1"),
        (b"12,13\n14,15\n", "No row of headings was found"),
    ],
)
def test_file_of_wrong_kind(data, words):
    assert words in refusal(data)


def test_file_above_the_limit_is_not_read(settings):
    settings.IMPORT_MAX_BYTES = 30 * 1024 * 1024

    class Untouchable(io.BytesIO):
        def read(self, *_):
            raise AssertionError("a file above the limit was read")

    with pytest.raises(RefusedError, match="The file has 200 MB; at most 30 MB are read"):
        look_into(Untouchable(), size=200 * 1024 * 1024, is_known=bool)


def test_bomb_of_one_part():
    data = bomb(120_000_000)
    assert len(data) < 200_000
    assert "would unpack to 120 MB" in refusal(data)


def test_bomb_of_many_parts():
    data = with_parts(xlsx(*GOOD), **{f"xl__media__{n}": b"\0" * 9_000_000 for n in range(60)})
    assert "would unpack to 540 MB" in refusal(data)


def test_bomb_that_lies_about_its_size():
    """A part that declares less than it holds is read no further than it declares."""
    honest = bomb(12_000_000)
    lying = honest.replace((12_000_000).to_bytes(4, "little"), (9_000).to_bytes(4, "little"))
    assert lying != honest
    assert "The workbook is damaged" in refusal(lying)


def test_archive_with_too_many_parts():
    data = archive(**{"[Content_Types].xml": b""}, **{f"xl__{n}": b"" for n in range(2_001)})
    assert "The workbook has 2002 parts; at most 2000 are read." in refusal(data)


def test_archive_that_is_encrypted():
    data = bytearray(xlsx(*GOOD))
    place = data.find(b"PK\x01\x02")
    data[place + 8] |= 1
    assert "The workbook is encrypted" in refusal(bytes(data))


LAUGHS = b"""<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;">]>"""


@pytest.mark.parametrize("name", [SHEET, "xl/sharedStrings.xml", "xl/workbook.xml"])
def test_entities_in_a_workbook(name):
    data = with_shared_texts(xlsx(*GOOD))
    xml = part(data, name)
    body = xml[xml.index(b"?>") + 2 :] if xml.startswith(b"<?xml") else xml
    assert "declares a document type" in refusal(with_parts(data, **{name: LAUGHS + body}))


def test_sheet_that_ends_early():
    data = xlsx(*GOOD)
    assert "damaged" in refusal(with_parts(data, **{SHEET: part(data, SHEET)[:-40]}))


def test_shared_text_that_is_not_there():
    data = with_shared_texts(xlsx(*GOOD))
    broken = part(data, SHEET).replace(b"<v>3</v>", b"<v>99</v>")
    assert "damaged" in refusal(with_parts(data, **{SHEET: broken}))


def test_workbook_without_its_sheet():
    data = xlsx(*GOOD)
    gone = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(gone, "w") as new:
        for name in old.namelist():
            if name != SHEET:
                new.writestr(name, old.read(name))
    assert "damaged" in refusal(gone.getvalue())


def big_sheet(rows: int) -> bytes:
    cells = "".join(
        f'<row r="{n}"><c r="A{n}" t="inlineStr"><is><t>{escape(f"no {n}")}</t></is></c></row>'
        for n in range(2, rows + 2)
    )
    head = '<row r="1"><c t="inlineStr"><is><t>Number</t></is></c>'
    head += '<c t="inlineStr"><is><t>Title</t></is></c></row>'
    sheet = f'<worksheet xmlns="{SPACE}"><sheetData>{head}{cells}</sheetData></worksheet>'
    return with_parts(xlsx(*GOOD), **{SHEET: sheet.encode()})


def test_list_of_100_000_rows():
    assert look(big_sheet(100_000)).rows == 100_000


def test_list_of_100_001_rows():
    assert "The list has 100,001 rows; at most 100,000" in refusal(big_sheet(100_001))


def test_text_of_100_001_rows():
    lines = "\n".join(f"{n},Vane" for n in range(100_001))
    assert "The list has 100,001 rows" in refusal(f"Number,Title\n{lines}\n".encode())


def test_list_with_too_many_columns():
    row = ["x"] * 501
    assert "beyond the 500 columns" in refusal(xlsx(["Number", "Title"], row))
    text = "Number,Title\n" + ",".join(row) + "\n"
    assert "Row 2 has 501 cells; at most 500 columns are read." in refusal(text.encode())


def test_merged_headings_are_named():
    book = Workbook()
    for row in [["Number", "Size", None, "Title"], ["1", 10, 20, "Vane"]]:
        book.active.append(row)
    book.active.merge_cells("B1:C1")
    assert refusal(saved(book), is_known={"Number", "Title"}.__contains__) == (
        "Headings are merged: B1:C1. Split them, so that each column has a heading of its own in "
        "one row."
    )


def test_workbook_of_hidden_sheets():
    book = Workbook()
    book.active.append(["Shown"])
    book.create_sheet("Old").append(["Number", "Title"])
    book["Old"].sheet_state = "hidden"
    assert "No row of headings was found" in refusal(saved(book))


def test_sheet_that_does_not_exist():
    assert "has no sheet “Nowhere”" in refusal(xlsx(*GOOD), sheet="Nowhere")


def test_heading_row_that_is_empty():
    assert "Row 7 is empty" in refusal(xlsx(*GOOD), header_row=7)
