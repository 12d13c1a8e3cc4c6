"""Every page of the register: whole, as a fragment, refused, in the same number of queries."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests.factories import (
    LenderFactory,
    MeasurementFactory,
    MuseumObjectFactory,
)
from tests.pages import select, words

pytestmark = pytest.mark.django_db

PAGES = {
    "index": None,
    "new": "edit_register",
    "object": None,
    "edit": "edit",
    "measure": "measure",
    "written": "measure",
    "add_picture": "measure",
    "lenders": None,
    "lender": None,
    "new_lender": "edit_money",
    "edit_lender": "edit_money",
}
# A role without each right.
WITHOUT = {
    "edit_register": "technician",
    "edit": "designer",
    "measure": "curator",
    "edit_money": "head",
}


@pytest.fixture
def obj():
    lender = LenderFactory(name="Tarnbeck Trust", address="1 Quiet Lane")
    return MuseumObjectFactory(number="1987.12.1", title="Vane", lender=lender)


def address(name, obj):
    if name in ("index", "new", "lenders", "new_lender"):
        return reverse(f"register:{name}")
    key = obj.lender_id if name in ("lender", "edit_lender") else obj.pk
    return reverse(f"register:{name}", args=[key])


@pytest.mark.parametrize("name", PAGES)
def test_page_whole_has_one_title(sign_in, obj, name):
    answer = sign_in("administrator").get(address(name, obj))
    assert answer.status_code == 200
    assert len(select(answer, "h1")) == 1


@pytest.mark.parametrize("name", PAGES)
def test_page_outsider(sign_in, obj, name):
    assert sign_in().get(address(name, obj)).status_code == 404
    assert sign_in().post(address(name, obj), {"name": "x"}).status_code == 404


@pytest.mark.parametrize("name", [name for name, right in PAGES.items() if right])
def test_page_role_without_right(sign_in, obj, name):
    client = sign_in(WITHOUT[PAGES[name]])
    assert client.get(address(name, obj)).status_code == 403
    assert client.post(address(name, obj)).status_code == 403


@pytest.mark.parametrize(
    "role",
    ["curator", "registrar", "conservator", "designer", "graphic_designer", "technician", "head"],
)
@pytest.mark.parametrize("name", ["index", "object", "lenders", "lender"])
def test_page_links_lead_where_the_role_may_go(sign_in, obj, role, name):
    MeasurementFactory(object=obj)
    client = sign_in(role)
    links = {link.get("href") for link in select(client.get(address(name, obj)), "main a[href]")}
    followed = {link.split("#")[0] for link in links if link.startswith("/register/")}
    assert {link: client.get(link).status_code for link in followed} == dict.fromkeys(followed, 200)


def test_index_fragment_holds_the_rows_alone(sign_in, obj):
    client = sign_in("designer")
    part = client.get(reverse("register:index"), {"words": "vane"}, headers={"HX-Request": "true"})
    assert "HX-Request" in part["Vary"].split(", ")
    assert select(part, "h1, html") == []
    assert [words(cell) for cell in select(part, "tbody th")] == ["1987.12.1"]


def test_index_narrows_by_words_type_lender_hazard_and_size(sign_in, obj):
    kite = MuseumObjectFactory(
        number="2", title="Drachen für Höhenmessung", object_type="kite", hazards=["mercury"]
    )
    MeasurementFactory(object=kite)
    client = sign_in("curator")

    def found(**asked):
        answer = client.get(reverse("register:index"), asked)
        return [words(cell) for cell in select(answer, "tbody th")]

    assert found() == ["2", "1987.12.1"]
    assert found(words="hohenmessung DRACHEN") == ["2"]
    assert found(words="tarnbeck") == ["1987.12.1"]
    assert found(object_type="kite") == ["2"]
    assert found(lender=obj.lender_id) == ["1987.12.1"]
    assert found(lender="none") == ["2"]
    assert found(hazard="any") == found(hazard="mercury") == ["2"]
    assert found(hazard="none") == ["1987.12.1"]
    assert found(hazard="lead") == []
    assert found(no_size="on") == ["1987.12.1"]


def test_index_sorts_and_says_so(sign_in):
    for number in ("2001.45.10", "2001.45.3"):
        MuseumObjectFactory(number=number)
    client = sign_in("curator")
    answer = client.get(reverse("register:index"))
    assert [words(cell) for cell in select(answer, "tbody th")] == ["2001.45.3", "2001.45.10"]
    [sorted_by] = select(answer, "th[aria-sort]")
    assert (words(sorted_by), sorted_by.get("aria-sort")) == ("Object number ▲", "ascending")
    answer = client.get(
        reverse("register:index") + select(answer, "th[aria-sort] a")[0].get("href")
    )
    assert [words(cell) for cell in select(answer, "tbody th")] == ["2001.45.10", "2001.45.3"]
    assert select(answer, "th[aria-sort]")[0].get("aria-sort") == "descending"


def test_index_wrong_filter_is_said(sign_in, obj):
    answer = sign_in("curator").get(reverse("register:index"), {"hazard": "magic"})
    assert answer.status_code == 422
    assert words(select(answer, ".errorlist")[0]).startswith("Select a valid choice")


def test_index_draws_to_one_scale(sign_in):
    MeasurementFactory(object=MuseumObjectFactory(number="1"), width_mm=300, height_mm=400)
    MeasurementFactory(object=MuseumObjectFactory(number="2"), width_mm=600, height_mm=1100)
    drawn = select(sign_in("curator").get(reverse("register:index")), "td.picture > svg")
    sizes = [(float(svg.get("width")), float(svg.get("height"))) for svg in drawn]
    assert sizes == [(30.0, 40.0), (60.0, 110.0)]


def test_index_empty_leads_those_on_who_may(sign_in):
    new = reverse("register:new")
    hrefs = [a.get("href") for a in select(sign_in("curator").get(reverse("register:index")), "a")]
    assert new in hrefs
    assert select(sign_in("designer").get(reverse("register:index")), ".empty a") == []


@pytest.mark.parametrize("name", ["index", "lenders", "lender"])
def test_list_query_count_is_equal_at_1_and_30_rows(sign_in, obj, name):
    client = sign_in("registrar")
    counts = []
    for more in (0, 29):
        for _ in range(more):
            row = MuseumObjectFactory(lender=obj.lender if name == "lender" else LenderFactory())
            MeasurementFactory(object=row)
        with CaptureQueriesContext(connection) as queries:
            client.get(address(name, obj))
        counts.append(len(queries))
    assert counts[0] == counts[1]
