"""Every page of an exhibition: whole, refused, and read in the same number of queries."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from exhibit_core.exhibitions.models import Exhibition, Section
from exhibit_core.history.models import Entry
from exhibit_core.spaces.models import Venue
from tests.factories import (
    ExhibitionFactory,
    LenderFactory,
    ListEntryFactory,
    MeasurementFactory,
    MuseumObjectFactory,
    SectionFactory,
    VenueFactory,
    WallFactory,
)
from tests.pages import select, words

pytestmark = pytest.mark.django_db

PAGES = ("detail", "edit", "sections", "list", "add", "columns", "changes")
SECTION_PAGES = ("section", "delete_section")


@pytest.fixture
def exhibition():
    return ExhibitionFactory(title="Reading the Sky")


@pytest.fixture
def curator(sign_in):
    return sign_in("curator")


def address(name, exhibition, *keys):
    return reverse(f"exhibitions:{name}", args=[exhibition.pk, *keys])


def details(**changed):
    whole = {"title": "Kites", "opening": "2027-03-06", "closing": "2027-09-05"}
    return {**whole, "open_days": ["1", "2"], **changed}


@pytest.mark.parametrize("name", PAGES)
def test_page_outsider(sign_in, exhibition, name):
    assert sign_in().get(address(name, exhibition)).status_code == 404


@pytest.mark.parametrize("name", SECTION_PAGES)
def test_section_page_outsider(sign_in, exhibition, name):
    section = SectionFactory(exhibition=exhibition)
    assert sign_in().get(address(name, exhibition, section.pk)).status_code == 404


@pytest.mark.parametrize("name", PAGES)
def test_page_whole_is_titled_and_varies(curator, exhibition, name):
    page = curator.get(address(name, exhibition))
    assert page.status_code == 200
    assert len(select(page, "h1")) == 1
    assert "HX-Request" in page["Vary"].split(", ")


@pytest.mark.parametrize("name", ["edit", "add"])
def test_page_role_without_right(sign_in, exhibition, name):
    client = sign_in("technician")
    assert client.get(address(name, exhibition)).status_code == 403
    assert client.post(address(name, exhibition), details()).status_code == 403


@pytest.mark.parametrize("name", ["sections", "section", "move_section", "delete_section"])
def test_section_change_by_role_without_right_is_refused(sign_in, exhibition, name):
    section = SectionFactory(exhibition=exhibition, number="1", title="Clouds")
    keys = [] if name == "sections" else [section.pk]
    answer = sign_in("registrar").post(
        address(name, exhibition, *keys), {"number": "9", "title": "Other", "to": "on"}
    )
    assert answer.status_code == 403
    assert list(Section.objects.values_list("number", "title")) == [("1", "Clouds")]
    assert Entry.objects.count() == 0


def test_index_counts_days_and_stages(curator):
    opening = timezone.localdate() + datetime.timedelta(days=12)
    exhibition = ExhibitionFactory(opening=opening, closing=opening + datetime.timedelta(days=90))
    for stage in ("selected", "selected", "reserve"):
        ListEntryFactory(exhibition=exhibition, stage=stage)
    [card] = select(curator.get(reverse("exhibitions:index")), ".card")
    assert "Opens in 12 days" in words(card)
    assert "2 selected" in words(card)
    assert "1 reserve" in words(card)


def test_index_empty_leads_those_on_who_may(curator, sign_in):
    links = select(curator.get(reverse("exhibitions:index")), ".empty a")
    assert [link.get("href") for link in links] == [reverse("exhibitions:new")]
    assert select(sign_in("technician").get(reverse("exhibitions:index")), ".empty a") == []


def test_index_query_count_is_equal_at_1_and_30_rows(curator, django_assert_num_queries):
    for more in (1, 29):
        for _ in range(more):
            ListEntryFactory(exhibition=ExhibitionFactory())
        with django_assert_num_queries(3):
            page = curator.get(reverse("exhibitions:index"))
    assert len(select(page, ".card")) == 30


@pytest.mark.parametrize("name", ["Marrowby Museum", "marrowby museum"])
def test_new_exhibition_at_a_named_venue(curator, name):
    VenueFactory(name="Marrowby Museum")
    answer = curator.post(reverse("exhibitions:new"), details(new_venue=name))
    made = Exhibition.objects.get()
    assert answer["Location"] == address("detail", made)
    assert (made.title, made.venue.name, made.open_days) == ("Kites", "Marrowby Museum", [1, 2])
    assert Venue.objects.count() == 1


def test_new_exhibition_makes_an_unknown_venue(curator):
    curator.post(reverse("exhibitions:new"), details(new_venue="Tarnbeck Hall"))
    assert Exhibition.objects.get().venue.name == "Tarnbeck Hall"


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({}, "Choose a venue, or write the name of a new one."),
        ({"new_venue": "A", "venue": "known"}, "You chose a venue above: leave this empty."),
        (
            {"new_venue": "A", "closing": "2027-03-05"},
            "The closing day is before the opening day.",
        ),
        (
            {"new_venue": "A", "opens_at": "17:00", "closes_at": "10:00"},
            "It closes before it opens.",
        ),
    ],
)
def test_new_exhibition_refused_leaves_nothing_behind(curator, changed, sentence):
    known = VenueFactory(name="Known")
    if "venue" in changed:
        changed = {**changed, "venue": known.pk}
    answer = curator.post(reverse("exhibitions:new"), details(**changed))
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert Exhibition.objects.count() == 0
    assert list(Venue.objects.all()) == [known]


@pytest.mark.parametrize(("roles", "status"), [([], 404), (["registrar"], 403)])
def test_new_exhibition_without_right(sign_in, roles, status):
    client = sign_in(*roles)
    assert client.get(reverse("exhibitions:new")).status_code == status
    answer = client.post(reverse("exhibitions:new"), details(new_venue="A"))
    assert answer.status_code == status
    assert Exhibition.objects.count() == 0


def test_edit_stale_shows_both_values(curator, exhibition):
    Exhibition.objects.update(title="Theirs", version=2)
    posted = details(title="Mine", venue=exhibition.venue_id, version=1, open_days=list("123456"))
    answer = curator.post(address("edit", exhibition), posted)
    assert answer.status_code == 409
    rows = select(answer, "[role=alert] table tbody tr")
    assert [words(row) for row in rows] == ["Title Mine Theirs"]
    assert Exhibition.objects.get().title == "Theirs"
    version = select(answer, "[name=version]")[0].get("value")
    curator.post(address("edit", exhibition), {**posted, "version": version})
    assert Exhibition.objects.get().title == "Mine"


def test_detail_sets_metres_asked_against_metres_there(curator, exhibition):
    section = SectionFactory(exhibition=exhibition, number="1", title="Clouds")
    WallFactory(room__venue=exhibition.venue, length_mm=2_000)
    for _ in range(2):
        entry = ListEntryFactory(exhibition=exhibition, section=section)
        MeasurementFactory(object=entry.object, width_mm=1_250)
    page = curator.get(address("detail", exhibition))
    assert "That is 0.50 m more than the 2.00 m of wall." in words(
        select(page, "[aria-labelledby=fit]")[0]
    )
    [row] = select(page, "[aria-labelledby=fit] tbody tr")
    assert words(row) == "1 Clouds 0 0 2 0 0 2 2.50"


def test_detail_balances_period_place_and_lender(curator, exhibition):
    # 1801 is the first year of the 19th century: the Gregorian calendar has no year 0.
    lender = LenderFactory(name="Tarnbeck Hall")
    for year, stage in (
        (1800, "selected"),
        (1801, "selected"),
        (1850, "reserve"),
        (None, "long_list"),
    ):
        obj = MuseumObjectFactory(year_from=year, lender=lender if year == 1850 else None)
        ListEntryFactory(exhibition=exhibition, object=obj, stage=stage)
    ListEntryFactory(exhibition=exhibition, stage="withdrawn", reason="too fragile")
    tables = select(curator.get(address("detail", exhibition)), "[aria-labelledby=balance] tbody")
    assert [[words(row) for row in table] for table in tables] == [
        ["18th century 1 1", "19th century 1 2", "undated 0 1"],
        ["no place known 2 4"],
        ["own collection 2 3", "Tarnbeck Hall 0 1"],
    ]


def test_detail_query_count_is_equal_at_1_and_30_rows(
    curator, exhibition, django_assert_num_queries
):
    for more in (1, 29):
        for _ in range(more):
            section = SectionFactory(exhibition=exhibition)
            entry = ListEntryFactory(exhibition=exhibition, section=section)
            MeasurementFactory(object=entry.object)
        with django_assert_num_queries(11):
            page = curator.get(address("detail", exhibition))
    assert len(select(page, "[aria-labelledby=fit] tbody tr")) == 30


def test_section_added_at_the_end(curator, exhibition):
    SectionFactory(exhibition=exhibition, number="1", position=7)
    posted = {"number": "2", "title": "Clouds", "key_message": "Clouds have names."}
    curator.post(address("sections", exhibition), posted)
    made = exhibition.sections.last()
    assert (made.number, made.title, made.key_message) == ("2", "Clouds", "Clouds have names.")


def test_section_number_twice_refused(curator, exhibition):
    SectionFactory(exhibition=exhibition, number="1")
    SectionFactory(number="2")
    answer = curator.post(address("sections", exhibition), {"number": "1", "title": "Clouds"})
    assert answer.status_code == 422
    assert "There is a section 1 already" in answer.content.decode()
    assert exhibition.sections.count() == 1
    curator.post(address("sections", exhibition), {"number": "2", "title": "Clouds"})
    assert exhibition.sections.count() == 2


def test_section_edited(curator, exhibition):
    section = SectionFactory(exhibition=exhibition)
    curator.post(address("section", exhibition, section.pk), {"number": "4", "title": "Wind"})
    section.refresh_from_db()
    assert (section.number, section.title) == ("4", "Wind")


def test_section_moved_by_its_buttons(curator, exhibition):
    first, second = (SectionFactory(exhibition=exhibition, position=n) for n in range(2))
    page = curator.get(address("sections", exhibition))
    assert [b.get("value") for b in select(page, "button[name=to]")] == ["on", "back"]
    curator.post(address("move_section", exhibition, first.pk), {"to": "on"})
    assert list(exhibition.sections.all()) == [second, first]
    curator.post(address("move_section", exhibition, first.pk), {"to": "back"})
    assert list(exhibition.sections.all()) == [first, second]


@pytest.mark.parametrize("onward", [True, False])
def test_section_removed_keeps_its_objects(curator, exhibition, onward):
    gone, other = (SectionFactory(exhibition=exhibition) for _ in range(2))
    entry = ListEntryFactory(exhibition=exhibition, section=gone)
    page = curator.get(address("delete_section", exhibition, gone.pk))
    assert "1 object is in this section. It stays on the list." in words(select(page, "main")[0])
    curator.post(
        address("delete_section", exhibition, gone.pk), {"move_to": other.pk if onward else ""}
    )
    entry.refresh_from_db()
    assert entry.section == (other if onward else None)
    assert list(exhibition.sections.all()) == [other]
    [undo] = select(curator.get(address("sections", exhibition)), "#messages form")
    curator.post(undo.get("action"))
    entry.refresh_from_db()
    assert (entry.section, exhibition.sections.count()) == (gone, 2)


def test_section_of_another_exhibition(curator, exhibition):
    section = SectionFactory()
    for name in (*SECTION_PAGES, "move_section"):
        answer = curator.post(address(name, exhibition, section.pk), {"number": "9", "title": "x"})
        assert answer.status_code == 404
    assert Section.objects.get() == section


def test_sections_query_count_is_equal_at_1_and_30_rows(
    curator, exhibition, django_assert_num_queries
):
    for more in (1, 29):
        for _ in range(more):
            ListEntryFactory(exhibition=exhibition, section=SectionFactory(exhibition=exhibition))
        with django_assert_num_queries(7):
            page = curator.get(address("sections", exhibition))
    assert len(select(page, "ol.sections > li")) == 30
