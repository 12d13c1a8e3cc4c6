"""What is taken away: readable by others, harmless, and back in without a change."""

import csv
import datetime
import io
from decimal import Decimal

import pytest
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl import load_workbook

from exhibit_core.exchange.exporting.files import csv_lines, xlsx_file
from exhibit_core.exchange.readers import plain_text, tidy
from exhibit_core.exchange.reading.look import open_list, rows_below
from exhibit_core.web.errors import RefusedError
from tests.exhibit_core.exchange.flow import plans, preview
from tests.factories import (
    ExhibitionFactory,
    LenderFactory,
    ListEntryFactory,
    MeasurementFactory,
    MuseumObjectFactory,
    SectionFactory,
)

FORMULA = '=HYPERLINK("http://hang.example","click")'
TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=30)


def body(answer) -> bytes:
    return b"".join(answer.streaming_content)


def as_csv(data: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def as_xlsx(data: bytes) -> list[dict[str, object]]:
    book = load_workbook(io.BytesIO(data), read_only=True)
    head, *rows = book.worksheets[0].iter_rows(values_only=True)
    return [dict(zip(head, row, strict=False)) for row in rows]


@pytest.fixture
def exhibition(db):
    """An exhibition whose list tries every column, and an object beside it."""
    exhibition = ExhibitionFactory()
    section = SectionFactory(exhibition=exhibition, number="2", title="Wind")
    vane = MuseumObjectFactory(
        number="2001.45.10",
        title=FORMULA,
        maker="-unknown-",
        date_text="about 1765",
        year_from=1760,
        year_to=1770,
        inscriptions="First line\nsecond “line”; third, and 'so on'",
        description="'=kept as it is\n_x000D_ too",
        lender=LenderFactory(name="Étude Trust; Hexwater"),
        value=Decimal("12500.5"),
        currency="EUR",
        hazards=["mercury", "other"],
        hazard_note="@ the base",
        max_lux=50,
    )
    MeasurementFactory(object=vane, state="bare", basis="stated", height_mm=390, mass_g=2400)
    MeasurementFactory(object=vane, state="framed", basis="measured", height_mm=400, mass_g=None)
    MeasurementFactory(object=vane, state="crated", height_mm=900, width_mm=900, mass_g=9000)
    flag = MuseumObjectFactory(number="2001.45.3", title="#N/A", value=Decimal("9999999999.99"))
    flag.currency = "JPY"
    flag.value = Decimal("123456789012")
    flag.save()
    MeasurementFactory(
        object=flag, state="bare", height_mm=None, width_mm=None, diameter_mm=120, mass_g=None
    )
    weighed = MuseumObjectFactory(number="0012", title="Weight only")
    MeasurementFactory(object=weighed, height_mm=None, width_mm=None, depth_mm=None, mass_g=70)
    ListEntryFactory(
        exhibition=exhibition,
        object=vane,
        section=section,
        stage="withdrawn",
        reason="too frail",
        position=3,
        note="+ see file",
    )
    ListEntryFactory(exhibition=exhibition, object=flag, stage="reserve", shown_on="")
    return exhibition


@pytest.mark.parametrize("ending", ["xlsx", "csv"])
@pytest.mark.parametrize("empties_clear", [False, True])
@pytest.mark.django_db(transaction=True)
def test_own_export_comes_back_without_a_change(
    sign_in, make_person, exhibition, ending, empties_clear
):
    client = sign_in("registrar")
    registrar = make_person("registrar")
    for address, target in (
        (reverse(f"exchange:register_{ending}"), None),
        (reverse(f"exchange:list_{ending}", args=[exhibition.pk]), exhibition),
    ):
        data = body(client.get(address))
        shown = preview(
            data,
            by=registrar,
            exhibition=target,
            name=f"list.{ending}",
            empties_clear=empties_clear,
        )
        assert [
            column for column in shown.columns if not shown.matching[str(column["place"])]["field"]
        ] == []
        assert [(p.number, p.outcome, p.changes, p.refusals) for p in plans(shown)] == [
            (p.number, "unchanged", [], []) for p in plans(shown)
        ]
        assert shown.rows == (2 if target else 3)


@pytest.mark.django_db
def test_register_is_read_by_others(sign_in, exhibition):
    client = sign_in("head")
    answer = client.get(reverse("exchange:register_csv"))
    assert answer["Content-Type"] == "text/csv; charset=utf-8"
    assert answer["Content-Disposition"] == 'attachment; filename="register.csv"'
    text = as_csv(body(answer))
    book = as_xlsx(body(client.get(reverse("exchange:register_xlsx"))))
    assert [row["Object number"] for row in text] == ["0012", "2001.45.3", "2001.45.10"]
    assert [row["Object number"] for row in book] == ["0012", "2001.45.3", "2001.45.10"]
    vane, in_book = text[2], book[2]
    assert vane["Title"] == in_book["Title"] == f"'{FORMULA}"
    assert vane["Inscriptions"] == "First line\nsecond “line”; third, and 'so on'"
    assert (vane["Height (mm)"], vane["Weight (g)"]) == ("400", "2400")
    assert (vane["Measured as"], vane["Stated or measured"]) == ("framed", "measured")
    assert (vane["Insurance value"], in_book["Insurance value"]) == ("12500.5", 12500.5)
    assert in_book["Light limit (lx)"] == 50
    assert book[1]["Title"] == "#N/A"
    assert text[1]["Diameter (mm)"] == "120"


@pytest.mark.django_db
def test_list_is_in_the_order_of_the_story(sign_in, exhibition):
    rows = as_csv(
        body(sign_in("technician").get(reverse("exchange:list_csv", args=[exhibition.pk])))
    )
    assert [row["Object number"] for row in rows] == ["2001.45.10", "2001.45.3"]
    assert [row["Stage"] for row in rows] == ["withdrawn", "reserve"]
    assert rows[0]["Section"] == "2 Wind"
    assert rows[0]["Note"] == "'+ see file"


@pytest.mark.parametrize("name", ["register_csv", "register_xlsx", "list_csv", "list_xlsx"])
@pytest.mark.parametrize(
    ("role", "sees"),
    [
        ("curator", False),
        ("registrar", True),
        ("conservator", False),
        ("designer", False),
        ("graphic_designer", False),
        ("technician", False),
        ("head", True),
        ("administrator", True),
    ],
)
@pytest.mark.django_db
def test_money_goes_only_to_those_who_may_see_it(sign_in, exhibition, role, sees, name):
    arguments = [exhibition.pk] if name.startswith("list") else []
    data = body(sign_in(role).get(reverse(f"exchange:{name}", args=arguments)))
    [first, *_] = as_csv(data) if name.endswith("csv") else as_xlsx(data)
    assert ("Insurance value" in first, "Currency" in first) == (sees, sees)


@pytest.mark.parametrize("name", ["register_csv", "register_xlsx", "list_csv", "list_xlsx"])
@pytest.mark.django_db
def test_outsider_takes_nothing_away(sign_in, exhibition, name):
    arguments = [exhibition.pk] if name.startswith("list") else []
    assert sign_in().get(reverse(f"exchange:{name}", args=arguments)).status_code == 404


@pytest.mark.django_db
def test_queries_are_the_same_for_1_and_30_objects(sign_in, django_assert_num_queries):
    client = sign_in("head")
    exhibition = ExhibitionFactory()
    for more in (1, 29):
        for _ in range(more):
            entry = ListEntryFactory(exhibition=exhibition, object__lender=LenderFactory())
            MeasurementFactory(object=entry.object)
        with django_assert_num_queries(5):
            register = body(client.get(reverse("exchange:register_csv")))
        with django_assert_num_queries(8):
            listed = body(client.get(reverse("exchange:list_csv", args=[exhibition.pk])))
    assert len(as_csv(register)) == len(as_csv(listed)) == 30


@given(st.lists(st.lists(TEXTS, min_size=2, max_size=2), min_size=1, max_size=5))
@settings(suppress_health_check=[HealthCheck.too_slow], deadline=None)
def test_texts_survive_the_way_out_and_in(rows):
    """Python's csv and openpyxl read no cell that begins as a formula; we read what was written."""
    headings = ["Object number", "Title"]
    text = "".join(csv_lines(headings, rows)).encode()
    with xlsx_file("Objects", headings, rows) as file:
        book = file.read()
    for cells in [*as_csv(text), *as_xlsx(book)]:
        assert [c for c in cells.values() if c and c[0] in "=+-@\t\r"] == []
    for data, sheet in ((text, ""), (book, "Objects")):
        read = rows_below(open_list(io.BytesIO(data), size=len(data)), sheet=sheet, header_row=1)
        found = {row.number: [plain_text(cell) for cell in row.cells] for row in read}
        for number, row in enumerate(rows, start=2):
            tidied = [tidy(value) for value in row]
            assert [*found.get(number, []), "", ""][:2] == tidied


def test_dates_and_numbers_stay_what_they_are():
    with xlsx_file(
        "Objects", ["a", "b", "c"], [[1, Decimal("2.5"), datetime.date(2027, 3, 6)]]
    ) as f:
        [row] = as_xlsx(f.read())
    assert (row["a"], row["b"], row["c"].date()) == (1, 2.5, datetime.date(2027, 3, 6))


def test_text_longer_than_a_cell_is_refused_by_name():
    with pytest.raises(RefusedError, match="Description of 1 is longer than a cell"):
        xlsx_file("Objects", ["Object number", "Description"], [["1", "x" * 32_768]])


@pytest.mark.django_db
def test_text_longer_than_a_cell_is_said_on_a_page(sign_in):
    MuseumObjectFactory(description="x" * 40_000)
    answer = sign_in("curator").get(reverse("exchange:register_xlsx"), follow=True)
    assert "take the list away as CSV" in answer.content.decode()
