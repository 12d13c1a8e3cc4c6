"""Narrowing and ordering the list, and what stands in its cells."""

import pytest

from exhibit_core.exhibitions import queries
from exhibit_core.exhibitions.columns import COLUMNS, in_order, table_rows
from exhibit_core.exhibitions.queries import Narrowing
from exhibit_core.web import units
from exhibit_core.web.scale import scale_for
from tests.factories import (
    ExhibitionFactory,
    ListEntryFactory,
    MeasurementFactory,
    MuseumObjectFactory,
    SectionFactory,
    WallFactory,
)


@pytest.fixture
def exhibition(db):
    return ExhibitionFactory()


def listed(exhibition, **details):
    entry = {n: details.pop(n) for n in ("stage", "section", "shown_on") if n in details}
    return ListEntryFactory(exhibition=exhibition, object=MuseumObjectFactory(**details), **entry)


@pytest.mark.parametrize(
    "asked",
    [
        Narrowing(words="etude"),
        Narrowing(stage="reserve"),
        Narrowing(section="none"),
        Narrowing(shown_on="none"),
        Narrowing(object_type="kite"),
        Narrowing(hazard="mercury"),
        Narrowing(hazard="any"),
        Narrowing(no_size=True),
        Narrowing(max_lux=50),
    ],
)
def test_narrowed_keeps_only_what_is_asked(exhibition, asked):
    wanted = listed(
        exhibition,
        title="Étude of clouds",
        object_type="kite",
        hazards=["mercury"],
        max_lux=50,
        stage="reserve",
        shown_on="",
    )
    section = SectionFactory(exhibition=exhibition)
    other = listed(exhibition, title="Vane", max_lux=200, section=section)
    MeasurementFactory(object=other.object)
    listed(ExhibitionFactory(), title="Étude elsewhere", stage="reserve")
    assert list(queries.narrowed(exhibition, asked)) == [wanted]


def test_ordered_by_number_is_natural(exhibition):
    for number in ("2001.45.10", "2001.45.3"):
        listed(exhibition, number=number)
    rows = exhibition.entries.select_related("object")
    numbers = [entry.object.number for entry in queries.ordered(rows, "number")]
    assert numbers == ["2001.45.3", "2001.45.10"]
    backwards = [entry.object.number for entry in queries.ordered(rows, "-number")]
    assert backwards == ["2001.45.10", "2001.45.3"]


def test_value_column_only_for_those_who_see_money(make_person):
    assert COLUMNS["value"] in in_order(make_person("registrar"), ["value"])
    assert COLUMNS["value"] not in in_order(make_person("curator"), ["value"])


def test_rows_say_size_weight_and_their_basis(exhibition):
    entry = listed(exhibition)
    MeasurementFactory(object=entry.object)
    bare = listed(exhibition)
    columns = [COLUMNS["size"], COLUMNS["weight"]]
    rows, _ = table_rows(queries.entries_shown([entry.pk, bare.pk]), columns, "cm")
    said = [[(c.words or c.missing, c.basis) for _, c in row.cells] for row in rows]
    assert said == [
        [("40.0 × 30.0 × 3.0", "framed, measured"), ("2.5", "framed, measured")],
        [("no size known", ""), ("not weighed", "")],
    ]


def test_section_balance_counts_metres_of_selected_wall_objects(exhibition):
    section = SectionFactory(exhibition=exhibition)
    for stage, shown_on in (("selected", "wall"), ("selected", "case"), ("reserve", "wall")):
        entry = listed(exhibition, section=section, stage=stage, shown_on=shown_on)
        MeasurementFactory(object=entry.object, width_mm=300)
    listed(exhibition, section=section, stage="selected", shown_on="wall")
    [balance] = queries.section_balance(exhibition)
    assert (balance.total, balance.wall_objects, balance.width_mm, balance.without_size) == (
        4,
        2,
        300,
        1,
    )


@pytest.mark.parametrize(("width_mm", "too_long"), [(12_000, False), (12_001, True)])
def test_fit_sets_widths_against_the_venues_walls(exhibition, width_mm, too_long):
    WallFactory(room__venue=exhibition.venue, length_mm=12_000)
    WallFactory(length_mm=99_000)
    MeasurementFactory(object=listed(exhibition).object, width_mm=width_mm)
    listed(exhibition)
    fit = queries.fit(exhibition, queries.section_balance(exhibition))
    assert (fit.wall_objects, fit.without_size, fit.asked_mm, fit.there_mm, fit.too_long) == (
        2,
        1,
        width_mm,
        12_000,
        too_long,
    )


def test_entries_shown_query_count_is_equal_at_1_and_30_rows(exhibition, django_assert_num_queries):
    keys = [listed(exhibition).pk for _ in range(30)]
    for shown in (keys[:1], keys):
        with django_assert_num_queries(4):
            table_rows(queries.entries_shown(shown), list(COLUMNS.values()), "cm")


def test_scale_fits_the_largest_and_keeps_proportions():
    scale = scale_for([(1500, 400), (150, 100)])
    assert scale.px(1500) == 150
    assert scale.px(150) == 15
    assert (scale.rule_mm, scale.rule_px) == (1000, 100)


def test_scale_without_sizes_is_none():
    assert scale_for([]) is None


@pytest.mark.parametrize(
    # 1 in = 25.4 mm exactly: international yard and pound agreement, 1959.
    ("length_mm", "unit", "words"),
    [(254, "in", "10.0"), (1118, "in", "44.0"), (762, "cm", "76.2")],
)
def test_length_in_the_readers_unit(length_mm, unit, words):
    assert units.length(length_mm, unit) == words
