"""What is read of sound files, held against openpyxl, Python's csv and ECMA-376."""

import csv
import datetime
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook
from openpyxl.styles.numbers import BUILTIN_FORMATS

from exhibit_core.exchange.reading.cells import Unreadable
from exhibit_core.exchange.reading.look import open_list, rows_below
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

WORDS = st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=20).filter(
    lambda text: "_x" not in text and not text.startswith("=")
)
CELLS = (
    st.none()
    | WORDS
    | st.integers(-(10**12), 10**12)
    | st.floats(-1e9, 1e9, allow_nan=False).map(lambda n: round(n, 6))
    | st.booleans()
    | st.dates(datetime.date(1900, 3, 1), datetime.date(2100, 1, 1))
)


def rows_of(data: bytes, sheet: str = "Objects") -> list[list]:
    source = open_list(io.BytesIO(data), size=len(data))
    return [list(row.cells) for row in rows_below(source, sheet=sheet, header_row=0)]


def as_openpyxl_reads(data: bytes) -> list[list]:
    rows = []
    book = load_workbook(io.BytesIO(data), read_only=True, data_only=True)
    for values in book.worksheets[0].iter_rows(values_only=True):
        cells = [v.date() if isinstance(v, datetime.datetime) else v for v in values]
        while cells and cells[-1] in (None, ""):
            cells.pop()
        if cells:
            rows.append(cells)
    return rows


@given(st.lists(st.lists(CELLS, min_size=1, max_size=6), min_size=1, max_size=6))
def test_cells_agree_with_openpyxl(rows):
    inline = xlsx(*rows)
    shared = with_shared_texts(inline)
    assert rows_of(inline) == as_openpyxl_reads(inline)
    assert rows_of(shared) == as_openpyxl_reads(shared)


def sheet_of(cells: str, **parts: bytes) -> bytes:
    xml = f'<worksheet xmlns="{SPACE}"><sheetData><row r="1">{cells}</row></sheetData></worksheet>'
    return with_parts(xlsx(["x"]), **{SHEET: xml.encode(), **parts})


@pytest.mark.parametrize(
    ("xml", "cell"),
    [
        ('<c r="A1"><f>1+1</f><v>2</v></c>', 2),
        ('<c r="A1" t="str"><f>A2</f><v>vane</v></c>', "vane"),
        ('<c r="A1" t="b"><v>1</v></c>', True),
        ('<c r="A1" t="d"><v>1987-03-04</v></c>', datetime.date(1987, 3, 4)),
        ('<c r="A1"><v>1.5E+2</v></c>', 150),
        ('<c r="A1" t="inlineStr"><is><t>a_x000D_b_x005F_c</t></is></c>', "a\rb_c"),
        ('<c r="A1" t="inlineStr"><is><r><t>ba</t></r><r><t>ro</t></r></is></c>', "baro"),
        ('<c r="A1" t="inlineStr"><is><t>雲</t><rPh sb="0" eb="1"><t>x</t></rPh></is></c>', "雲"),
        ("<c><v>7</v></c>", 7),
    ],
)
def test_cell_as_ecma_376_writes_it(xml, cell):
    assert rows_of(sheet_of(xml)) == [[cell]]


@pytest.mark.parametrize(
    ("xml", "text", "why"),
    [
        ('<c r="A1"><f>1+1</f></c>', "formula", "never computed"),
        ('<c r="A1"><f>1+1</f><v></v></c>', "formula", "never computed"),
        ('<c r="A1" t="e"><v>#N/A</v></c>', "#N/A", "an error of the spreadsheet"),
        ('<c r="A1"><v>1,5</v></c>', "1,5", "stored as a number but is none"),
        ('<c r="A1" t="d"><v>soon</v></c>', "soon", "stored as a date but is none"),
    ],
)
def test_cell_that_cannot_be_read(xml, text, why):
    [[cell]] = rows_of(sheet_of(xml))
    assert isinstance(cell, Unreadable)
    assert cell.text == text
    assert why in cell.why


def test_formula_whose_result_is_empty():
    assert rows_of(sheet_of('<c r="A1" t="str"><f>""</f><v></v></c><c r="B1"><v>1</v></c>')) == [
        [None, 1]
    ]


def test_formula_of_openpyxl_is_not_evaluated():
    [[cell]] = rows_of(xlsx(['=HYPERLINK("http://hang.example","x")']))
    assert isinstance(cell, Unreadable)


def test_sheet_of_the_strict_form():
    strict = b"http://purl.oclc.org/ooxml/spreadsheetml/main"
    data = xlsx(["Vane", 3])
    sheet = part(data, SHEET).replace(SPACE.encode(), strict)
    assert rows_of(with_parts(data, **{SHEET: sheet})) == [["Vane", 3]]


def test_sheet_with_prefixed_names():
    xml = (
        f'<x:worksheet xmlns:x="{SPACE}"><x:sheetData><x:row><x:c><x:v>3</x:v></x:c></x:row>'
        "</x:sheetData></x:worksheet>"
    )
    assert rows_of(with_parts(xlsx(["x"]), **{SHEET: xml.encode()})) == [[3]]


def test_dates_counted_from_1904():
    book = Workbook()
    book.epoch = datetime.datetime.fromisoformat("1904-01-01")
    book.active.title = "Objects"
    book.active.append([datetime.date(1987, 3, 4)])
    assert rows_of(saved(book)) == [[datetime.date(1987, 3, 4)]]


@pytest.mark.parametrize("key", [14, 15, 16, 17, 22])
def test_dates_in_a_built_in_format(key):
    """ECMA-376 Part 1, 18.8.30 lists the built-in formats; 1 January 2000 is day 36526."""
    book = Workbook()
    book.active.title = "Objects"
    book.active["A1"] = 36526
    book.active["A1"].number_format = BUILTIN_FORMATS[key]
    assert rows_of(saved(book)) == [[datetime.date(2000, 1, 1)]]


def test_headings_below_a_title_are_found():
    found = look(xlsx(["Our list", None], [None], ["Number", "Title"], ["1", "Vane"]))
    assert found.head.row == 3
    assert found.rows == 1
    assert "The headings were found in row 3; what is above is not read." in found.notes


def test_headings_that_no_one_knows():
    found = look(xlsx(["Kürzel", "Was"], ["1", "Vane"], ["2", "Kite"]))
    assert [column.name for column in found.head.columns] == ["Kürzel", "Was"]
    assert [column.samples for column in found.head.columns] == [("1", "2"), ("Vane", "Kite")]


def test_headings_where_a_person_says():
    found = look(xlsx(["Number", "Title"], ["Nr", "Was"], ["1", "Vane"]), header_row=2)
    assert [column.name for column in found.head.columns] == ["Nr", "Was"]


def test_headings_that_repeat_are_made_distinct():
    found = look(xlsx(["Number", "Title", "note", "Note", "Note (2)"], ["1", "Vane"]))
    names = [column.name for column in found.head.columns]
    assert len({name.casefold() for name in names}) == 5
    assert names[:4] == ["Number", "Title", "note", "Note (2)"]
    assert any("made distinct: D is now “Note (2)”" in note for note in found.notes)


def test_column_without_heading_is_named():
    found = look(xlsx(["Number", "Title", None, None], ["1", "Vane", None, "loose"]))
    assert [(c.letter, c.name) for c in found.head.columns][2:] == [("D", "column D")]
    assert "Columns with values but no heading: D." in found.notes


def test_merged_cells_below_the_headings_are_named():
    book = Workbook()
    for row in [["Number", "Title"], ["1", "Vane"], ["2", None]]:
        book.active.append(row)
    book.active.merge_cells("B2:B3")
    book.active.row_dimensions[3].hidden = True
    notes = look(saved(book)).notes
    assert "Merged cells hold a value only in the first of them: B2:B3." in notes
    assert "Rows that are hidden in the sheet are read too: 1." in notes


def test_sheets_to_choose_from():
    list_ = [["Number", "Title"], ["1", "Vane"]]
    data = xlsx(sheets={"Read me": [["Dear all"]], "List": list_, "Old": list_})
    found = look(data)
    assert [sheet.name for sheet in found.sheets] == ["Read me", "List", "Old"]
    assert found.sheet == "List"
    assert "Of several sheets “List” is read; not read: “Read me”, “Old”." in found.notes
    assert look(data, sheet="Old").sheet == "Old"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_text_in_an_encoding(encoding):
    data = "Number;Title\n1;Hygromètre à cheveux – Œuvre\n".encode(encoding)
    assert rows_of(data, "")[1] == ["1", "Hygromètre à cheveux – Œuvre"]
    said = [note for note in look(data).notes if "Windows-1252" in note]
    assert len(said) == (encoding == "cp1252")


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_text_with_a_delimiter(delimiter):
    lines = [["Number", "Title", "Size"], ["1", "Vane, gilt; large", "1,5"], ["2", 'a "kite"', ""]]
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter).writerows(lines)
    assert rows_of(out.getvalue().encode(), "") == [lines[0], lines[1], ["2", 'a "kite"']]


def test_text_that_names_its_delimiter():
    assert rows_of(b"sep=;\r\nNumber;Title\r\n1;a,b\r\n", "") == [["Number", "Title"], ["1", "a,b"]]


@given(
    st.lists(
        st.lists(
            st.text(st.characters(exclude_categories=["Cs", "Cc"])), min_size=3, max_size=3
        ).filter(any),
        min_size=1,
        max_size=5,
    )
)
def test_text_quoted_as_rfc_4180_says(rows):
    out = io.StringIO()
    csv.writer(out, quoting=csv.QUOTE_ALL).writerows([["Number", "Title\nand more", "Note"], *rows])
    read = rows_of(out.getvalue().encode("utf-8-sig"), "")[1:]
    assert [[cell or "" for cell in cells] for cells in read] == [_trimmed(row) for row in rows]


def _trimmed(cells: list[str]) -> list[str]:
    while cells and not cells[-1]:
        cells = cells[:-1]
    return cells


def test_rows_of_text_are_counted_as_spreadsheets_do():
    data = b'Number,Title\n\n1,"two\nlines"\n\n2,Kite\n'
    source = open_list(io.BytesIO(data), size=len(data))
    assert [row.number for row in source.rows(source.sheets[0])] == [1, 3, 5]
