"""On an object's page: the exhibitions that list it."""

import datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests.factories import ExhibitionFactory, ListEntryFactory, MuseumObjectFactory
from tests.pages import select, words

pytestmark = pytest.mark.django_db


@pytest.fixture
def obj():
    return MuseumObjectFactory()


def panel(client, obj):
    page = client.get(reverse("register:object", args=[obj.pk]))
    return page, select(page, "[aria-labelledby=listed-in] tbody tr")


def test_panel_names_exhibitions_the_latest_first(sign_in, obj):
    for title, year in (("Kites", 2025), ("Reading the Sky", 2027)):
        exhibition = ExhibitionFactory(
            title=title, opening=datetime.date(year, 3, 6), closing=datetime.date(year, 9, 5)
        )
        ListEntryFactory(exhibition=exhibition, object=obj, stage="withdrawn", reason="too frail")
    ListEntryFactory()
    _, rows = panel(sign_in("technician"), obj)
    assert [words(row) for row in rows] == [
        "Reading the Sky 6 Mar 2027 to 5 Sep 2027 withdrawn too frail no section wall",
        "Kites 6 Mar 2025 to 5 Sep 2025 withdrawn too frail no section wall",
    ]


def test_panel_offers_the_change_to_those_who_choose(sign_in, obj):
    entry = ListEntryFactory(object=obj)
    address = reverse("exhibitions:entry", args=[entry.exhibition_id, entry.pk])
    for role, links in (("curator", [address]), ("technician", [])):
        page, _ = panel(sign_in(role), obj)
        found = select(page, f"[aria-labelledby=listed-in] a[href='{address}']")
        assert [link.get("href") for link in found] == links


def test_panel_without_a_list_says_so(sign_in, obj):
    page, rows = panel(sign_in("curator"), obj)
    assert rows == []
    assert "It is on no exhibition's list." in words(select(page, "main")[0])


def test_panel_query_count_is_equal_at_1_and_30_rows(sign_in, obj):
    client = sign_in("curator")
    counts = []
    for more in (1, 29):
        for _ in range(more):
            ListEntryFactory(object=obj)
        with CaptureQueriesContext(connection) as captured:
            _, rows = panel(client, obj)
        counts.append(len(captured))
    assert len(rows) == 30
    assert counts[0] == counts[1]
