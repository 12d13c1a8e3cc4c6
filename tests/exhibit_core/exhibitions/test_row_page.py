"""One row of the list, changed in its place or on a page of its own."""

import pytest
from django.urls import reverse

from exhibit_core.exhibitions import actions
from exhibit_core.history.models import Entry
from exhibit_core.history.undo import undo_batch
from tests.factories import (
    ExhibitionFactory,
    ListEntryFactory,
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
def entry(exhibition):
    obj = MuseumObjectFactory(number="2004.1.7", title="Kite")
    return ListEntryFactory(exhibition=exhibition, object=obj, stage="short_list", shown_on="wall")


def address(entry, query=""):
    return reverse("exhibitions:entry", args=[entry.exhibition_id, entry.pk]) + query


def values(**changed):
    whole = {"stage": "short_list", "shown_on": "wall", "position": "0", "note": "", "version": "1"}
    return {**whole, **changed}


def test_row_page_whole(sign_in, entry):
    page = sign_in("curator").get(address(entry, "?stage=short_list&page=2"))
    assert [words(head) for head in select(page, "h1")] == ["Change 2004.1.7 Kite"]
    [back] = select(page, "form.row-form a")
    assert back.get("href") == (
        reverse("exhibitions:list", args=[entry.exhibition_id])
        + f"?stage=short_list&page=2&row={entry.pk}#edit-{entry.pk}"
    )


def test_row_fragment_takes_the_rows_place(sign_in, entry):
    client = sign_in("curator")
    fragment = client.get(address(entry), **HTMX)
    assert select(fragment, "h1") == []
    [cell] = select(fragment, f"tr#entry-{entry.pk} > td")
    whole = client.get(reverse("exhibitions:list", args=[entry.exhibition_id]))
    assert int(cell.get("colspan")) == len(select(whole, "table.list thead th"))
    assert fragment["Vary"].split(", ").count("HX-Request") == 1


@pytest.mark.parametrize(("roles", "status"), [([], 404), (["conservator"], 403)])
def test_row_without_right(sign_in, entry, roles, status):
    client = sign_in(*roles)
    for headers in ({}, HTMX):
        assert client.get(address(entry), **headers).status_code == status
        answer = client.post(address(entry), values(note="mine"), **headers)
        assert answer.status_code == status
    entry.refresh_from_db()
    assert entry.note == ""


def test_row_of_another_exhibition(sign_in, entry):
    other = reverse("exhibitions:entry", args=[ExhibitionFactory().pk, entry.pk])
    assert sign_in("curator").get(other).status_code == 404


def test_row_saved_goes_back_to_what_was_asked(sign_in, entry):
    answer = sign_in("curator").post(address(entry, "?stage=short_list"), values(note="two hooks"))
    entry.refresh_from_db()
    assert (entry.note, entry.version) == ("two hooks", 2)
    assert answer["Location"] == (
        reverse("exhibitions:list", args=[entry.exhibition_id])
        + f"?stage=short_list&row={entry.pk}#edit-{entry.pk}"
    )


def test_row_saved_as_fragment_shows_the_list_afresh_with_focus(sign_in, entry):
    answer = sign_in("curator").post(address(entry), values(stage="selected"), **HTMX)
    assert (answer.status_code, answer["HX-Retarget"]) == (200, "#results")
    [focused] = select(answer, "[data-focus]")
    assert focused.get("id") == f"edit-{entry.pk}"
    assert "Saved 2004.1.7." in answer.content.decode()


def test_row_saved_as_fragment_keeps_the_ticks_of_others(sign_in, entry):
    other = ListEntryFactory(exhibition=entry.exhibition)
    answer = sign_in("curator").post(address(entry), values(entry=[other.pk]), **HTMX)
    ticked = [box.get("value") for box in select(answer, "[name=entry][checked]")]
    assert ticked == [str(other.pk)]


def test_row_saved_out_of_sight_gives_focus_to_the_list(sign_in, entry):
    ListEntryFactory(exhibition=entry.exhibition, stage="short_list")
    answer = sign_in("curator").post(
        address(entry, "?stage=short_list"), values(stage="selected"), **HTMX
    )
    [focused] = select(answer, "[data-focus]")
    assert focused.get("id") == "results-head"


def test_row_order_moves_the_others_along_and_is_undone(sign_in, entry, make_person):
    second = ListEntryFactory(
        exhibition=entry.exhibition, object=MuseumObjectFactory(number="2004.1.8")
    )
    sign_in("curator").post(address(second), values(stage="selected", position="1"))
    order = entry.exhibition.entries.order_by("position").values_list("object__number", flat=True)
    assert list(order) == ["2004.1.8", "2004.1.7"]
    undo_batch(batch=Entry.objects.first().batch, by=make_person("curator"))
    assert list(order.all()) == ["2004.1.7", "2004.1.8"]


@pytest.mark.parametrize("headers", [{}, HTMX])
def test_row_stale_shows_both_values(sign_in, entry, make_person, headers):
    section = SectionFactory(exhibition=entry.exhibition, number="2", title="Clouds")
    theirs = {"note": "theirs", "stage": "selected", "section": section}
    actions.change_entries(entries=[entry], values=theirs, by=make_person("curator"))
    client = sign_in("curator")
    answer = client.post(address(entry), values(note="mine", stage="reserve"), **headers)
    assert answer.status_code == 409
    rows = [[words(cell) for cell in row] for row in select(answer, "[role=alert] table tbody tr")]
    assert rows == [
        ["Stage", "reserve", "selected"],
        ["Section", "no section", "2 Clouds"],
        ["Note", "mine", "theirs"],
    ]
    entry.refresh_from_db()
    assert (entry.note, entry.stage) == ("theirs", "selected")
    version = select(answer, "[name=version]")[0].get("value")
    client.post(address(entry), values(note="mine", stage="reserve", version=version))
    entry.refresh_from_db()
    assert (entry.note, entry.stage, entry.section) == ("mine", "reserve", None)


@pytest.mark.parametrize("headers", [{}, HTMX])
def test_row_withdrawn_without_reason(sign_in, entry, headers):
    answer = sign_in("curator").post(address(entry), values(stage="withdrawn"), **headers)
    assert answer.status_code == 422
    assert "Say why it is withdrawn." in words(select(answer, "[role=alert]")[0])
    entry.refresh_from_db()
    assert entry.stage == "short_list"


def test_row_section_of_another_exhibition(sign_in, entry):
    answer = sign_in("curator").post(address(entry), values(section=SectionFactory().pk))
    assert answer.status_code == 422
    entry.refresh_from_db()
    assert entry.section is None


def test_row_query_count_is_equal_at_1_and_30_rows(sign_in, entry, django_assert_num_queries):
    client = sign_in("curator")
    for more in (0, 29):
        for _ in range(more):
            ListEntryFactory(exhibition=entry.exhibition)
        with django_assert_num_queries(5):
            client.get(address(entry), **HTMX)
