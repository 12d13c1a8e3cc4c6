"""Putting objects on the list, choosing its columns, and looking back at what was done."""

import pytest
from django.urls import reverse

from exhibit_core.exhibitions import actions
from exhibit_core.exhibitions.columns import FIRST_CHOICE
from exhibit_core.exhibitions.models import ColumnChoice
from exhibit_core.history.models import Entry
from tests.factories import (
    ExhibitionFactory,
    ListEntryFactory,
    MeasurementFactory,
    MuseumObjectFactory,
    SectionFactory,
)
from tests.pages import select, words

pytestmark = pytest.mark.django_db
HTMX = {"HTTP_HX_REQUEST": "true"}


@pytest.fixture
def exhibition():
    return ExhibitionFactory()


@pytest.fixture
def curator(sign_in):
    return sign_in("curator")


def address(name, exhibition, query=""):
    return reverse(f"exhibitions:{name}", args=[exhibition.pk]) + query


def numbers(answer):
    return [words(head) for head in select(answer, "tbody th[scope=row]")]


def test_add_shows_only_what_is_not_listed_and_matches(curator, exhibition):
    for number, title in (("1.1", "Étude"), ("1.2", "Vane"), ("1.3", "Étude II")):
        MuseumObjectFactory(number=number, title=title)
    listed = MuseumObjectFactory(number="1.4", title="Étude III")
    ListEntryFactory(exhibition=exhibition, object=listed)
    ListEntryFactory(object__number="1.5", object__title="Étude on another list")
    fragment = curator.get(address("add", exhibition, "?words=etude"), **HTMX)
    assert numbers(fragment) == ["1.1", "1.3", "1.5"]
    assert select(fragment, "h1") == []


def test_add_puts_the_ticked_on_the_list_and_offers_undo(curator, exhibition):
    section = SectionFactory(exhibition=exhibition)
    objects = [MuseumObjectFactory() for _ in range(3)]
    posted = {
        "objects": [obj.pk for obj in objects[:2]],
        "stage": "short_list",
        "section": section.pk,
    }
    answer = curator.post(address("add", exhibition), posted)
    rows = exhibition.entries.order_by("pk").values_list("object", "stage", "section")
    assert list(rows) == [(obj.pk, "short_list", section.pk) for obj in objects[:2]]
    [undo] = select(curator.get(answer["Location"]), "#messages form")
    curator.post(undo.get("action"))
    assert exhibition.entries.count() == 0


@pytest.mark.parametrize(
    ("choice", "sentence"),
    [
        (None, "Choose at least one object"),
        ("listed", "A chosen object is on the list already, or gone"),
        ("one", "A chosen object is not known"),
        ("9" * 40, "A chosen object is not known"),
    ],
)
def test_add_refused_says_why(curator, exhibition, choice, sentence):
    MuseumObjectFactory()
    if choice == "listed":
        choice = ListEntryFactory(exhibition=exhibition).object_id
    count = exhibition.entries.count()
    posted = {"stage": "long_list"} | ({"objects": [choice]} if choice else {})
    answer = curator.post(address("add", exhibition), posted)
    assert answer.status_code == 422
    assert sentence in words(select(answer, "[role=alert]")[0])
    assert exhibition.entries.count() == count


def test_add_ticks_the_whole_page_by_a_link(curator, exhibition):
    for _ in range(3):
        MuseumObjectFactory()
    page = curator.get(address("add", exhibition))
    assert select(page, "[name=objects][checked]") == []
    page = curator.get(select(page, "#select")[0].get("href"))
    assert len(select(page, "[name=objects][checked]")) == 3


def test_add_query_count_is_equal_at_1_and_30_rows(curator, exhibition, django_assert_num_queries):
    for more in (1, 29):
        for _ in range(more):
            MeasurementFactory()
        with django_assert_num_queries(8):
            page = curator.get(address("add", exhibition))
    assert len(numbers(page)) == 30


def test_columns_stand_in_the_chosen_order(curator, exhibition):
    ListEntryFactory(exhibition=exhibition)
    posted = {"show_title": "on", "place_title": 2, "show_lender": "on", "place_lender": 1}
    curator.post(address("columns", exhibition), {**posted, "place_number": 3})
    assert ColumnChoice.objects.get().columns == ["lender", "title", "number"]
    heads = [words(head) for head in select(curator.get(address("list", exhibition)), "thead th")]
    assert heads == ["Select", "Lender", "Title", "Object number", "Change"]


@pytest.mark.parametrize(
    ("column", "place", "order"),
    [
        ("weight", 2, ["picture", "weight", "number", "title"]),
        ("picture", 3, ["number", "title", "picture", "object_type"]),
        ("note", 1, ["note", "picture", "number", "title"]),
    ],
)
def test_columns_moved_takes_the_place_and_the_others_move_along(
    curator, exhibition, column, place, order
):
    posted = {f"show_{name}": "on" for name in [*FIRST_CHOICE, column]}
    posted |= {f"place_{name}": n for n, name in enumerate(FIRST_CHOICE, start=1)}
    curator.post(address("columns", exhibition), {**posted, f"place_{column}": place})
    assert ColumnChoice.objects.get().columns[:4] == order


def test_columns_place_that_is_no_number(curator, exhibition):
    answer = curator.post(address("columns", exhibition), {"place_title": "first"})
    assert answer.status_code == 422
    assert ColumnChoice.objects.count() == 0


def test_columns_without_money_right_offer_no_value(sign_in, exhibition):
    for role, count in (("registrar", 1), ("technician", 0)):
        page = sign_in(role).get(address("columns", exhibition))
        assert len(select(page, "[name=show_value]")) == count


def test_changes_tell_acts_and_take_them_back(curator, exhibition, make_person):
    entries = [ListEntryFactory(exhibition=exhibition, stage="long_list") for _ in range(3)]
    actions.change_entries(entries=entries, values={"stage": "reserve"}, by=make_person("head"))
    page = curator.get(address("changes", exhibition))
    assert [said.endswith("reserve and 2 more") for said in numbers(page)] == [True]
    [undo] = select(page, "tbody form")
    curator.post(undo.get("action"))
    assert set(exhibition.entries.values_list("stage", flat=True)) == {"long_list"}
    said = [words(row) for row in select(curator.get(address("changes", exhibition)), "tbody tr")]
    assert ["undone" in row for row in said] == [False, True]


def test_changes_without_right_to_choose_offer_no_undo(sign_in, exhibition, make_person):
    entry = ListEntryFactory(exhibition=exhibition)
    actions.change_entries(entries=[entry], values={"note": "x"}, by=make_person("head"))
    client = sign_in("technician")
    assert select(client.get(address("changes", exhibition)), "tbody form") == []
    client.post(reverse("history:undo", args=[Entry.objects.get().batch]))
    entry.refresh_from_db()
    assert entry.note == "x"


def test_changes_query_count_is_equal_at_1_and_30_acts(
    curator, exhibition, make_person, django_assert_num_queries
):
    entry = ListEntryFactory(exhibition=exhibition)
    head = make_person("head")
    for more in (1, 29):
        for n in range(more):
            actions.change_entries(entries=[entry], values={"note": f"{more} {n}"}, by=head)
        with django_assert_num_queries(5):
            page = curator.get(address("changes", exhibition))
    assert len(numbers(page)) == 30
