"""The pages where a hang is asked for: whole, refused, changed, and read in as many queries."""

import pytest
from django.urls import reverse

from exhibit_core.hangs.models import FixedPlace, Hang, HangRule, KeptPlace
from exhibit_core.history.models import Entry
from exhibit_core.jobs.models import Job
from tests.exhibit_core.hangs.asking import asked
from tests.factories import ExhibitionFactory, LightZoneFactory
from tests.pages import select, words

pytestmark = pytest.mark.django_db


@pytest.fixture
def designer(sign_in):
    return sign_in("designer")


@pytest.fixture
def pages(scene):
    """Every page of hangs that is read, by name."""
    version = scene.compute()
    return {
        "index": reverse("hangs:index", args=[scene.exhibition.pk]),
        "new": reverse("hangs:new", args=[scene.exhibition.pk]),
        "hang": reverse("hangs:hang", args=[scene.hang.pk]),
        "edit": reverse("hangs:edit", args=[scene.hang.pk]),
        "version": reverse("hangs:version", args=[version.pk]),
        "schedule": reverse("hangs:schedule_pdf", args=[version.pk]),
        "workbook": reverse("hangs:schedule_xlsx", args=[version.pk]),
        "elevation": reverse("hangs:elevation_pdf", args=[version.pk]),
        "drawing": reverse("hangs:elevation_svg", args=[version.pk]),
    }


@pytest.fixture
def changes(scene):
    """Every address that changes something, with what is posted to it."""
    version = scene.compute()
    rule = HangRule.objects.create(hang=scene.hang, kind="together")
    rule.entries.set(scene.entries[:2])
    place = FixedPlace.objects.create(
        hang=scene.hang, entry=scene.entries[0], wall=scene.wall, x_mm=900
    )
    kept = KeptPlace.objects.create(hang=scene.hang, name="Vane", width_mm=300, height_mm=400)
    numbers = "1904.3, 1904.4"
    return {
        reverse("hangs:new", args=[scene.exhibition.pk]): asked(scene, title="Another"),
        reverse("hangs:edit", args=[scene.hang.pk]): asked(scene, title="Renamed"),
        reverse("hangs:compute", args=[scene.hang.pk]): {},
        reverse("hangs:add_rule", args=[scene.hang.pk]): {"kind": "together", "objects": numbers},
        reverse("hangs:remove_rule", args=[scene.hang.pk, rule.pk]): {},
        reverse("hangs:fix", args=[scene.hang.pk]): {"number": "1904.4", "wall": scene.wall.pk},
        reverse("hangs:free", args=[scene.hang.pk, place.pk]): {},
        reverse("hangs:keep", args=[scene.hang.pk]): {
            "name": "Kite",
            "width_mm": "900",
            "height_mm": "700",
            "section": scene.sections[0].pk,
        },
        reverse("hangs:give_up", args=[scene.hang.pk, kept.pk]): {},
        reverse("hangs:accept", args=[version.pk]): {},
    }


def stored():
    return (
        list(Hang.objects.values_list("title", "version")),
        HangRule.objects.count(),
        list(FixedPlace.objects.values_list("entry", "x_mm")),
        list(KeptPlace.objects.values_list("name", flat=True)),
        Job.objects.count(),
        Entry.objects.count(),
    )


def test_every_page_outsider_finds_nothing(sign_in, pages):
    outsider = sign_in()
    assert {name: outsider.get(url).status_code for name, url in pages.items()} == dict.fromkeys(
        pages, 404
    )


def test_every_change_by_an_outsider_finds_nothing(sign_in, changes):
    outsider, before = sign_in(), stored()
    assert [outsider.post(url, data).status_code for url, data in changes.items()] == [404] * 10
    assert stored() == before


def test_every_change_by_a_role_without_the_right_is_refused(sign_in, changes):
    curator, before = sign_in("curator"), stored()
    assert [curator.post(url, data).status_code for url, data in changes.items()] == [403] * 10
    assert stored() == before


def test_change_is_only_posted(designer, changes):
    only_posted = [url for url in changes if not url.endswith(("/new/", "/edit/"))]
    assert [designer.get(url).status_code for url in only_posted] == [405] * 8


@pytest.mark.parametrize("name", ["index", "new", "hang", "edit", "version"])
def test_page_whole_is_titled_and_varies(designer, pages, name):
    page = designer.get(pages[name])
    assert page.status_code == 200
    assert len(select(page, "h1")) == 1
    assert "HX-Request" in page["Vary"].split(", ")
    (here,) = select(page, ".local-nav [aria-current=page]")
    assert words(here) == "Hangs"


@pytest.mark.parametrize("name", ["index", "hang", "version"])
def test_page_for_a_role_without_the_right_has_no_ways_to_change(sign_in, pages, scene, name):
    own = "form[action^='/hangs/']:not([action$='/sheets/']), a[href$='/edit/'], a[href$='/new/']"
    assert select(sign_in("designer").get(pages[name]), own) != []
    assert select(sign_in("curator").get(pages[name]), own) == []


@pytest.mark.parametrize("name", ["new", "edit"])
def test_form_for_a_role_without_the_right_is_refused(sign_in, pages, name):
    assert sign_in("curator").get(pages[name]).status_code == 403


def test_index_without_hangs_says_what_is_missing(designer):
    exhibition = ExhibitionFactory(venue__name="Harbour Rooms")
    page = designer.get(reverse("hangs:index", args=[exhibition.pk]))
    needs = [words(row).split(".")[0] for row in select(page, "main h2 ~ ul li")]
    assert needs[:2] == [
        "Walls: none of Harbour Rooms is described yet",
        "Objects: none is selected and shown on a wall yet",
    ]
    assert len(select(page, "a[href$='/new/']")) == 1


def test_index_tells_latest_and_accepted(designer, scene):
    first = scene.compute()
    designer.post(reverse("hangs:accept", args=[first.pk]))
    scene.compute()
    (row,) = select(designer.get(reverse("hangs:index", args=[scene.exhibition.pk])), "tbody tr")
    assert words(row) == "Gallery 1 by section, centreline version 2 optimal version 1"


def test_index_query_count_is_equal_at_1_and_30_hangs(designer, scene, django_assert_num_queries):
    url = reverse("hangs:index", args=[scene.exhibition.pk])
    for more in (0, 29):
        for n in range(more):
            Hang.objects.create(exhibition=scene.exhibition, title=f"Hang {n}")
        with django_assert_num_queries(4):
            page = designer.get(url)
    assert len(select(page, "tbody tr")) == 30


def test_hang_in_rows_and_tight_group_say_what_is_asked(designer, scene):
    Hang.objects.update(kind="rows", rows=3, row_gap_mm=150, ends="half")
    url = reverse("hangs:hang", args=[scene.hang.pk])
    facts = [words(fact) for fact in select(designer.get(url), ".facts dd")]
    assert facts[2:5] == [
        "in rows: 3 rows, 150 mm between them",
        "centreline in each row, the middle of the stack at 1500 mm from the floor",
        "at least 50 mm; ends of a run: half a gap",
    ]
    Hang.objects.update(kind="cluster", max_gap_mm=500)
    page = designer.get(url)
    facts = [words(fact) for fact in select(page, ".facts dd")]
    assert facts[2:5] == [
        "tight group",
        "the middle of each group at 1500 mm from the floor",
        "at least 50 mm",
    ]
    assert words(select(page, "[aria-labelledby=fit] > p")[0]).startswith(
        "4 objects with labels and gaps of 50 mm ask"
    )


def test_hang_page_tells_sums_left_out_and_warnings(designer, scene):
    scene.add("1904.9", hang_point_mm=None)
    scene.entries[0].object.measurements.all().delete()
    page = designer.get(reverse("hangs:hang", args=[scene.hang.pk]))
    (row,) = select(page, "#fit-caption ~ tbody tr")
    # 120 + 500 + 380 + 300 of width, four labels of 190 with their distance, four gaps of 50.
    assert words(row) == "All 4 2,260 8,000 5,740 mm to spare"
    lists = [words(item) for item in select(page, "[aria-labelledby=fit] li")]
    assert lists == [
        "1904.1 Study 1 : its height and width are not known: measure it.",
        "No hanging point is known of 1904.9: the hook is reckoned at the top edge. Measure from "
        "the top edge down to where it bears, the wire taut.",
    ]


def test_hang_page_too_long_is_said_by_word(designer, scene):
    LightZoneFactory(wall=scene.wall, from_mm=0, to_mm=7_000, lux=150)
    LightZoneFactory(wall=scene.wall, from_mm=7_000, to_mm=8_000, lux=50)
    type(scene.entries[0].object).objects.update(max_lux=50)
    page = designer.get(reverse("hangs:hang", args=[scene.hang.pk]))
    rows = [words(row) for row in select(page, "#fit-caption ~ tbody tr")]
    assert rows[1] == "That bear at most 50 lx 4 2,260 1,000 too long short by 1,260 mm"


def test_hang_query_count_is_equal_at_1_and_30_pieces(
    designer, empty_scene, django_assert_num_queries
):
    empty_scene.wall.length_mm = 36_000
    empty_scene.wall.save()
    for more in (1, 29):
        for _ in range(more):
            empty_scene.add(f"1904.{len(empty_scene.entries) + 1}")
        empty_scene.compute()
        with django_assert_num_queries(29):
            page = designer.get(reverse("hangs:hang", args=[empty_scene.hang.pk]))
    (row,) = select(page, "#fit-caption ~ tbody tr")
    assert words(row).split()[:2] == ["All", "30"]


@pytest.mark.parametrize(("keep", "payload"), [("yes", True), ("no", False), ("", False)])
def test_compute_is_queued_and_shown(designer, scene, keep, payload):
    answer = designer.post(reverse("hangs:compute", args=[scene.hang.pk]), {"keep": keep})
    job = Job.objects.get()
    assert answer["Location"] == reverse("jobs:detail", args=[job.pk])
    asked = {"hang": scene.hang.pk, "keep": payload}
    stop = "Stop, and keep the best found so far"
    assert (job.kind, job.payload) == ("hangs.solve", {**asked, "stop": stop})
    page = designer.get(answer["Location"])
    assert words(select(page, "form[action$='/cancel/'] button")[0]) == stop
