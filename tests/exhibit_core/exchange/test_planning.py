"""What a preview says of each row, and that it writes nothing."""

from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from exhibit_core.exhibitions.models import ListEntry
from exhibit_core.history.models import Entry
from exhibit_core.register.models import Lender, Measurement, MuseumObject
from tests.exhibit_core.exchange.files import xlsx
from tests.exhibit_core.exchange.flow import csv, plans, preview
from tests.factories import (
    ExhibitionFactory,
    LenderFactory,
    ListEntryFactory,
    MeasurementFactory,
    MuseumObjectFactory,
    SectionFactory,
)

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def registrar(make_person):
    return make_person("registrar")


def planned(*lines, by, **details):
    return plans(preview(csv(*lines), by=by, **details))


def told(plan):
    return [(change.field, change.old, change.new) for change in plan.changes]


def refusals(plan):
    return [(remark.address, remark.value, remark.sentence) for remark in plan.refusals]


def warnings(plan):
    return [(remark.address, remark.sentence) for remark in plan.warnings]


def test_new_object(registrar):
    [plan] = planned("Object number,Title,Maker", "2001.45.3,Vane,Pell & Co.", by=registrar)
    assert (plan.outcome, plan.key) == ("new", None)
    assert told(plan) == [("title", "", "Vane"), ("maker", "", "Pell & Co.")]


def test_changed_object_field_by_field(registrar):
    lender = LenderFactory(name="Hexwater Town Archive")
    obj = MuseumObjectFactory(
        number="2001.45.3", title="Vane", maker="Pell", hazards=["lead"], lender=lender
    )
    [plan] = planned(
        "Object number;Title;Maker;Hazards;Lender",
        "2001.45.3;Vane;Harrowick;lead, mercury;own collection",
        by=registrar,
    )
    assert (plan.outcome, plan.key) == ("changed", obj.pk)
    assert told(plan) == [
        ("maker", "Pell", "Harrowick"),
        ("hazards", "lead", "lead, mercury"),
        ("lender", "Hexwater Town Archive", ""),
    ]


def test_unchanged_object(registrar):
    MuseumObjectFactory(number="2001.45.3", title="Vane  of\tgilt", max_lux=50, year_from=1765)
    [plan] = planned(
        "Object number,Title,Lux,Earliest year,Maker",
        "2001.45.3,Vane of gilt,50,1765,",
        by=registrar,
    )
    assert (plan.outcome, told(plan)) == ("unchanged", [])


def test_refused_row_names_cell_value_and_expectation(registrar):
    [plan] = planned(
        "Object number,Title,Lux,Earliest year", "2001.45.3,Vane,bright,long ago", by=registrar
    )
    assert plan.outcome == "refused"
    assert refusals(plan) == [
        ("C2", "bright", "expected: a light limit in lux, a whole number from 1 to 200,000"),
        (
            "D2",
            "long ago",
            "expected: a year, as in 1765, a whole number from -30000 to 30,000",
        ),
    ]
    assert plan.cells == ["2001.45.3", "Vane", "bright", "long ago"]


def test_number_that_stands_twice_names_both_cells(registrar):
    first, second = planned(
        "Object number,Title", "2001.45.3,Vane", " 2001.45.3 ,Kite", by=registrar
    )
    assert first.outcome == "new"
    assert refusals(second) == [
        ("A3", " 2001.45.3 ", "expected: each number once; A2 holds the same")
    ]


def test_row_without_number(registrar):
    [plan] = planned("Object number,Title", ",Total", by=registrar)
    assert refusals(plan) == [
        ("A2", "", "expected: the object's number, as in 2001.45.3; the cell is empty")
    ]


def test_row_with_nothing_in_the_matched_columns_is_passed_over(registrar):
    found = planned("Object number,Title,Shelf", ",,B7", "1,Vane,", by=registrar)
    assert [(plan.row, plan.outcome) for plan in found] == [(3, "new")]


def test_new_object_without_title(registrar):
    [plan] = planned("Object number,Title,Maker", "1,,Pell", by=registrar)
    assert refusals(plan) == [("B2", "", "expected: a title, since the object is new")]


@pytest.mark.parametrize("mark", ["-", "–", "n/a", "N/A", " k. A. "])
def test_mark_for_nothing_is_an_empty_cell(registrar, mark):
    MuseumObjectFactory(number="2001.45.3", title="Vane", max_lux=50)
    [plan] = planned(
        "Object number;Title;Maker;Light limit (lx)",
        f"2001.45.3;Vane;Harrowick;{mark}",
        by=registrar,
    )
    assert (plan.outcome, refusals(plan)) == ("changed", [])
    assert told(plan) == [("maker", "", "Harrowick")]
    assert warnings(plan) == [("D2", "Read as an empty cell.")]


def test_number_that_differs_only_in_its_writing(registrar):
    MuseumObjectFactory(number="2001.45.3")
    [plan] = planned("Object number,Title", "2001-45-03,Vane", by=registrar)
    assert plan.outcome == "new"
    assert warnings(plan) == [
        ("A2", "The register has 2001.45.3, which differs only in its writing.")
    ]


def test_number_stored_as_a_number(registrar):
    data = xlsx(["Object number", "Title"], [2001.45, "Vane"])
    [plan] = plans(preview(data, by=registrar, name="list.xlsx"))
    assert plan.number == "2001.45"
    assert [address for address, _ in warnings(plan)] == ["A2"]


def test_error_of_a_spreadsheet_is_refused(registrar):
    data = xlsx(["Object number", "Title", "Maker"], ["1", "Vane", "=B2"])
    [plan] = plans(preview(data, by=registrar, name="list.xlsx"))
    assert refusals(plan) == [
        (
            "C2",
            "formula",
            "expected: a value; the cell is a formula that was never computed: open and save it "
            "in a spreadsheet program",
        )
    ]


def test_years_follow_from_the_date(registrar):
    MuseumObjectFactory(number="2", date_text="1801", year_from=1800, year_to=1802)
    new, same = planned("Object number,Title,Date", "1,Vane,1765", "2,,1801", by=registrar)
    assert told(new) == [
        ("title", "", "Vane"),
        ("date_text", "", "1765"),
        ("year_from", "", "1765"),
        ("year_to", "", "1765"),
    ]
    assert same.outcome == "unchanged"


def test_date_that_cannot_be_read_is_said(registrar):
    [plan] = planned("Object number,Title,Date", "1,Vane,long ago", by=registrar)
    assert plan.outcome == "new"
    assert "cannot be read as years" in warnings(plan)[0][1]


def test_years_in_the_wrong_order(registrar):
    MuseumObjectFactory(number="1", year_from=1800, year_to=1802)
    [plan] = planned("Object number,Latest year", "1,1790", by=registrar)
    assert refusals(plan) == [
        ("B2", "1790", "expected: an earliest year that is not after the latest: 1800 and 1790")
    ]


@pytest.mark.parametrize(
    ("headings", "cells", "changes"),
    [
        ("Value;Currency", "1.250;EUR", [("value", "", "1250"), ("currency", "", "EUR")]),
        ("Value (GBP)", "1250.5", [("value", "", "1250.5"), ("currency", "", "GBP")]),
        ("Value", "€ 1.250,00", [("value", "", "1250"), ("currency", "", "EUR")]),
    ],
)
def test_value_with_its_currency(registrar, headings, cells, changes):
    [plan] = planned(f"Object number;Title;{headings}", f"1;Vane;{cells}", by=registrar)
    assert told(plan)[1:] == changes


@pytest.mark.parametrize(
    ("headings", "cells", "words"),
    [
        ("Value", "1250", "The amount has no currency"),
        ("Value;Currency", "1250.555;EUR", "round it"),
        ("Value;Currency", "£1250;EUR", "GBP, as it stands with the amount"),
        ("Value;Currency", "1250.5;JPY", "no smaller unit"),
    ],
)
def test_value_that_its_currency_does_not_allow(registrar, headings, cells, words):
    [plan] = planned(f"Object number;Title;{headings}", f"1;Vane;{cells}", by=registrar)
    assert words in refusals(plan)[0][2]


def test_value_keeps_the_currency_it_had(registrar):
    MuseumObjectFactory(number="1", value=Decimal("100"), currency="CHF")
    [plan] = planned("Object number,Value", "1,120", by=registrar)
    assert told(plan) == [("value", "100", "120")]


def test_lender_that_is_not_known_will_be_added_by_a_registrar(registrar):
    LenderFactory(name="Étude Trust")
    known, new = planned(
        "Object number,Title,Lender", "1,Vane,etude trust", "2,Kite,New Lender", by=registrar
    )
    assert told(known)[1:] == [("lender", "", "Étude Trust")]
    assert warnings(known) == []
    assert warnings(new) == [("C3", "The register does not know this lender: it will be added.")]
    assert Lender.objects.count() == 1


def test_lender_that_is_not_known_is_refused_to_a_curator(make_person):
    [plan] = planned("Object number,Title,Lender", "1,Vane,New", by=make_person("curator"))
    assert refusals(plan)[0][:2] == ("C2", "New")
    assert "ask a registrar to add this one" in refusals(plan)[0][2]


def test_sizes_in_words_and_in_columns(registrar):
    [plan] = planned(
        "Object number;Title;Size as stated;Framed size;H (cm);W (cm);Weight;Measured as;Basis",
        "1;Vane;34 x 27 cm;40 x 33 x 4 cm;12.5;10;2.5;mounted;measured",
        by=registrar,
    )
    assert told(plan)[1:] == [
        ("size", "", "mounted, measured: height 340 mm, width 270 mm"),
        ("size_framed", "", "framed, measured: height 400 mm, width 330 mm, depth 40 mm"),
        (
            "height",
            "",
            "mounted, measured: height 125 mm, width 100 mm, weight 2500 g",
        ),
    ]


def test_size_that_is_known_already_is_no_change(registrar):
    obj = MuseumObjectFactory(number="1")
    MeasurementFactory(object=obj, height_mm=390, withdrawn=True)
    MeasurementFactory(object=obj, height_mm=400, width_mm=300, depth_mm=30, mass_g=None)
    MeasurementFactory(object=obj, height_mm=None, width_mm=None, depth_mm=None, mass_g=2500)
    lines = ["Object number,H (cm),W (cm),Weight (kg)", "1,40,30,2.5"]
    details = {"size_state": "framed", "size_basis": "measured", "by": registrar}
    assert planned(*lines, **details)[0].outcome == "unchanged"
    assert planned(lines[0], "1,39,30,2.5", **details)[0].outcome == "changed"
    assert planned(*lines, **details | {"size_basis": "stated"})[0].outcome == "changed"


def test_size_that_was_superseded_is_a_change(registrar):
    obj = MuseumObjectFactory(number="1")
    MeasurementFactory(object=obj, state="bare", basis="stated", height_mm=400)
    MeasurementFactory(object=obj, state="bare", basis="stated", height_mm=410)
    assert planned("Object number,H (mm)", "1,400", by=registrar)[0].outcome == "changed"
    assert planned("Object number,H (mm)", "1,410", by=registrar)[0].outcome == "unchanged"


def test_empty_cells_leave_alone_unless_told(registrar):
    obj = MuseumObjectFactory(
        number="1", title="Vane", maker="Pell", max_lux=50, value=Decimal(5), currency="EUR"
    )
    MeasurementFactory(object=obj)
    lines = ["Object number,Title,Maker,Lux,Value,H (cm)", "1,,,,,"]
    assert planned(*lines, by=registrar)[0].outcome == "unchanged"
    [plan] = planned(*lines, by=registrar, empties_clear=True)
    assert told(plan) == [
        ("maker", "Pell", ""),
        ("max_lux", "50", ""),
        ("value", "5", ""),
        ("currency", "EUR", ""),
    ]


def test_list_of_an_exhibition(registrar):
    exhibition = ExhibitionFactory()
    section = SectionFactory(exhibition=exhibition, number="2", title="Wind")
    known = MuseumObjectFactory(number="1", title="Vane")
    listed = ListEntryFactory(exhibition=exhibition, object__number="2", stage="long_list")
    MuseumObjectFactory(number="4", title="Flag")
    found = planned(
        "Object number,Title,Section,Stage,Reason,Show on,Note",
        "1,,wind,selected,,wall,hung high",
        "2,,2,withdrawn,too frail,,",
        "3,Kite,,,,,",
        "4,,9,withdrawn,,,",
        by=registrar,
        exhibition=exhibition,
    )
    assert [plan.outcome for plan in found] == ["changed", "changed", "new", "refused"]
    assert [plan.key for plan in found][:2] == [known.pk, listed.object_id]
    assert told(found[0]) == [
        ("stage", "not on the list", "on the list, selected"),
        ("section", "", str(section)),
        ("shown_on", "undecided", "wall"),
        ("note", "", "hung high"),
    ]
    assert ("stage", "long list", "withdrawn") in told(found[1])
    assert ("reason", "", "too frail") in told(found[1])
    assert told(found[2])[-1] == ("stage", "not on the list", "on the list, long list")
    assert refusals(found[3]) == [
        ("C5", "9", "expected: a section's number or title. The exhibition has 2."),
        ("D5", "withdrawn", "expected: a reason for withdrawing in a column of its own"),
    ]


def test_preview_writes_nothing_to_the_register(registrar):
    exhibition = ExhibitionFactory()
    obj = MuseumObjectFactory(number="1", title="Vane")
    models = (MuseumObject, Measurement, Lender, ListEntry)
    before = [list(model.objects.values()) for model in models]
    preview(
        csv("Object number,Title,Size,Lender", "1,Changed,30 x 20 cm,New", "2,New,,New"),
        by=registrar,
        exhibition=exhibition,
    )
    assert [list(model.objects.values()) for model in models] == before
    assert not Entry.objects.filter(target_type="register.museumobject", target_id=obj.pk).exists()


def test_queries_do_not_grow_with_the_rows_of_a_chunk(registrar):
    exhibition = ExhibitionFactory()
    counts = []
    for size in (1, 30):
        for n in range(size):
            entry = ListEntryFactory(exhibition=exhibition, object__number=f"{size}.{n}")
            MeasurementFactory(object=entry.object)
        lines = [f"{size}.{n},Changed,30 x 20 cm,New" for n in range(size)]
        data = csv("Object number,Title,Size,Lender", *lines, f"x{size},New,,")
        with CaptureQueriesContext(
            connection,
        ) as queries:
            preview(data, by=registrar, exhibition=exhibition)
        counts.append(len(queries))
    assert counts[0] == counts[1]
