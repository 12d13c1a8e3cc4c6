"""The pages where a hang is asked for: whole, refused, changed, and read in as many queries."""

import pytest
from django.urls import reverse

from exhibit_core.hangs.models import FixedPlace, Hang, HangRule, KeptPlace
from exhibit_core.history.models import Entry
from exhibit_core.jobs.models import Job
from tests.factories import ExhibitionFactory, LightZoneFactory, WallFactory
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


def asked(scene, **changed):
    whole = {
        "title": "Gallery",
        "walls": [scene.wall.pk],
        "kind": "even",
        "align": "centreline",
        "datum_mm": "1500",
        "ends": "same",
        "min_gap_mm": "50",
        "label_side": "right",
        "label_width_mm": "150",
        "label_height_mm": "100",
        "label_gap_mm": "40",
        "version": scene.hang.version,
    }
    return {**whole, **changed}


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


def test_new_hang_is_set_up_and_told(designer, scene):
    url = reverse("hangs:new", args=[scene.exhibition.pk])
    answer = designer.post(url, asked(scene, title="East", sections=[scene.sections[0].pk]))
    made = Hang.objects.get(title="East")
    assert answer["Location"] == reverse("hangs:hang", args=[made.pk])
    assert (made.kind, list(made.walls.all())) == ("even", [scene.wall])
    assert list(made.sections.all()) == scene.sections[:1]


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"title": "Gallery"}, "There is a hang “Gallery” already: choose another title."),
        ({"walls": []}, "Choose at least one wall."),
        ({"max_gap_mm": "20"}, "It is below the smallest gap of 50 mm."),
        (
            {"kind": "rows", "rows": "7", "row_gap_mm": "200"},
            "Ensure this value is less than or equal to 6.",
        ),
        ({"kind": "rows", "rows": "2", "row_gap_mm": ""}, "This field is required."),
        (
            {"lowest_edge_mm": "900", "highest_edge_mm": "900"},
            "It must be above the lowest edge of 900 mm.",
        ),
        ({"label_width_mm": "0"}, "A label needs a size; or choose no labels."),
    ],
)
def test_new_hang_that_cannot_be_is_refused_in_words(designer, scene, wrong, sentence):
    url = reverse("hangs:new", args=[scene.exhibition.pk])
    answer = designer.post(url, asked(scene, **{"title": "East", **wrong}))
    assert answer.status_code == 422
    assert sentence in [words(e) for e in select(answer, ".field .errorlist li, .field__error")]
    assert Hang.objects.count() == 1


def test_form_says_of_each_arrangement_what_it_does_and_which_fields_count(designer, scene):
    page = designer.get(reverse("hangs:new", args=[scene.exhibition.pk]))
    buttons = select(page, "[name=kind]")
    assert [button.get("value") for button in buttons] == Hang.Kind.values
    for button in buttons:
        assert len(words(select(page, f"#{button.get('aria-describedby')}")[0])) > 30
    shown = {
        field.get("data-kinds"): select(page, f"[data-kinds='{field.get('data-kinds')}'] [name]")
        for field in select(page, "[data-kinds]")
    }
    assert {kinds: [one.get("name") for one in names] for kinds, names in shown.items()} == {
        "rows": ["rows", "row_gap_mm"],
        "even by_section rows": ["keep_order"],
        "even by_section mirrored rise centre_high related rows": ["align", "ends", "max_gap_mm"],
        "by_section": ["section_gap_mm"],
    }


def test_what_says_nothing_to_the_arrangement_cannot_be_wrong(designer, scene):
    """Fields that are not shown are sent all the same; what stands in them is kept as it was."""
    url = reverse("hangs:new", args=[scene.exhibition.pk])
    sent = asked(scene, title="East", rows="99", row_gap_mm="wide", section_gap_mm="x")
    assert designer.post(url, sent).status_code == 302
    made = Hang.objects.get(title="East")
    assert (made.rows, made.row_gap_mm, made.section_gap_mm) == (2, 200, None)


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


def test_wall_of_another_venue_cannot_be_chosen(designer, scene):
    url = reverse("hangs:new", args=[scene.exhibition.pk])
    answer = designer.post(url, asked(scene, title="East", walls=[WallFactory().pk]))
    assert answer.status_code == 422
    assert Hang.objects.count() == 1


def test_edit_seen_at_an_older_version_shows_both(designer, scene):
    Hang.objects.filter(pk=scene.hang.pk).update(version=3, datum_mm=1600)
    answer = designer.post(
        reverse("hangs:edit", args=[scene.hang.pk]), asked(scene, datum_mm="1550", version=1)
    )
    assert answer.status_code == 409
    text = answer.content.decode()
    assert "1600" in text
    assert "1550" in text
    assert Hang.objects.get().datum_mm == 1600


def test_edit_offers_undo(designer, scene):
    url = reverse("hangs:edit", args=[scene.hang.pk])
    page = designer.post(url, asked(scene, datum_mm="1550"), follow=True)
    assert Hang.objects.get().datum_mm == 1550
    (undo,) = select(page, "#messages form")
    designer.post(undo.get("action"))
    assert (Hang.objects.get().datum_mm, Hang.objects.get().kind) == (1500, "by_section")


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


@pytest.mark.parametrize(("name", "count"), [("hang", 34), ("edit", 10)])
def test_query_count_is_equal_at_1_and_12_rules_walls_and_places_kept(
    designer, scene, django_assert_num_queries, name, count
):
    url = reverse(f"hangs:{name}", args=[scene.hang.pk])
    kinds = ("together", "near", "on_walls")
    for more in (1, 11):
        for n in range(more):
            wall = WallFactory(room=scene.wall.room, name=f"Wall {more}.{n}")
            scene.hang.walls.add(wall)
            scene.hang.wall_datums.create(wall=wall, datum_mm=1_450)
            size = {"width_mm": 300, "height_mm": 300, "section": scene.sections[0]}
            scene.hang.kept_places.create(name=f"Place {more}.{n}", **size)
            for kind in kinds:
                rule = scene.hang.rules.create(kind=kind, weight=1)
                rule.entries.set(scene.entries)
                rule.walls.add(wall)
        with django_assert_num_queries(count):
            page = designer.get(url)
    listed = (
        "[aria-labelledby=rules] li" if name == "hang" else "[name^=datum_]:not([name=datum_mm])"
    )
    assert len(select(page, listed)) == (36 if name == "hang" else 13)


def test_rule_and_place_are_added_shown_and_removed(designer, scene):
    hang = reverse("hangs:hang", args=[scene.hang.pk])
    designer.post(
        reverse("hangs:add_rule", args=[scene.hang.pk]),
        {"kind": "apart", "objects": "1904.1; 1904.2", "at_least_mm": "900"},
    )
    page = designer.post(
        reverse("hangs:fix", args=[scene.hang.pk]),
        {"number": "1904.3", "wall": scene.wall.pk, "x_mm": "1200"},
        follow=True,
    )
    kept = [words(row) for row in select(page, "[aria-labelledby=rules] li, #places ~ ul li")]
    assert kept == [
        "1904.1, 1904.2: at least 900 mm apart Remove 1904.1, 1904.2: at least 900 mm apart",
        "1904.3 on Main wall, left edge at 1200 mm Free 1904.3",
    ]
    for form in select(page, "form[action$='/remove/'], form[action$='/free/']"):
        page = designer.post(form.get("action"), follow=True)
    assert (HangRule.objects.count(), FixedPlace.objects.count()) == (0, 0)
    assert page.redirect_chain == [(hang, 302)]


@pytest.mark.parametrize(
    ("name", "data", "sentence"),
    [
        (
            "add_rule",
            {"kind": "together", "objects": "1904.1, 7777"},
            "7777: not among the objects that are selected and shown on a wall.",
        ),
        ("add_rule", {"kind": "together", "objects": "1904.1"}, "Name at least two objects."),
        (
            "add_rule",
            {"kind": "apart", "objects": "1904.1, 1904.2"},
            "Say how far apart they must hang.",
        ),
        (
            "add_rule",
            {"kind": "near", "objects": "1904.1, 1904.2"},
            "Say how much it matters.",
        ),
        (
            "add_rule",
            {"kind": "on_walls", "walls": []},
            "Name either objects or one section.",
        ),
        ("keep", {"name": "1904.1", "width_mm": "9", "height_mm": "9"}, "is an object in the"),
        (
            "keep",
            {"name": "Kite", "width_mm": "9", "height_mm": "9"},
            "This hang is by section: say in which section the place is kept.",
        ),
        (
            "fix",
            {"number": "1904.1", "x_mm": "9000"},
            "9000 mm is beyond Long Gallery, Main wall: it is 8000 mm long.",
        ),
    ],
)
def test_rule_or_place_that_cannot_be_is_refused_in_words(designer, scene, name, data, sentence):
    data = {"wall": scene.wall.pk, **data}
    answer = designer.post(reverse(f"hangs:{name}", args=[scene.hang.pk]), data)
    assert answer.status_code == 422
    assert sentence in words(select(answer, ".error-summary")[0])
    assert (HangRule.objects.count(), FixedPlace.objects.count()) == (0, 0)


def test_walls_of_a_section_and_of_objects_are_asked_and_shown(designer, scene):
    side = WallFactory(room=scene.wall.room, name="Side wall")
    scene.hang.walls.add(side)
    url = reverse("hangs:add_rule", args=[scene.hang.pk])
    data = {"kind": "on_walls", "walls": [side.pk]}
    designer.post(url, {**data, "section": scene.sections[0].pk})
    page = designer.post(url, {**data, "objects": "1904.3"}, follow=True)
    rows = [
        words(row).partition(" Remove")[0] for row in select(page, "[aria-labelledby=rules] li")
    ]
    assert rows == ["Section 1: only on Side wall", "1904.3: only on Side wall"]


def test_place_is_kept_shown_and_given_up(designer, scene):
    url = reverse("hangs:keep", args=[scene.hang.pk])
    data = {"name": "Large kite", "width_mm": "90 cm", "height_mm": "700"}
    page = designer.post(url, {**data, "section": scene.sections[0].pk}, follow=True)
    (row,) = select(page, "[aria-labelledby=kept] li")
    assert words(row).startswith("Large kite: 700 × 900 mm, section 1 Give up")
    (form,) = select(page, "form[action$='/give-up/']")
    designer.post(form.get("action"))
    assert KeptPlace.objects.count() == 0


def test_heights_and_own_datums_are_asked_shown_and_undone(designer, scene):
    url = reverse("hangs:edit", args=[scene.hang.pk])
    heights = {"lowest_edge_mm": "700", "highest_edge_mm": "2100"}
    sent = asked(scene, **heights, **{f"datum_{scene.wall.pk}_mm": "1450"})
    page = designer.post(url, sent, follow=True)
    facts = [words(fact) for fact in select(page, ".facts dd")]
    assert facts[3:5] == [
        "centreline at 1500 mm from the floor; 1450 mm on Main wall",
        "none lower than 700 mm, none higher than 2100 mm",
    ]
    (field,) = select(designer.get(url), f"details[open] [name=datum_{scene.wall.pk}_mm]")
    assert field.get("value") == "1450"
    (undo,) = select(page, "#messages form")
    designer.post(undo.get("action"))
    scene.hang.refresh_from_db()
    assert (scene.hang.lowest_edge_mm, scene.hang.wall_datums.count()) == (None, 0)


def test_near_rule_is_added_whatever_stands_in_the_other_field(designer, scene):
    data = {"kind": "near", "objects": "1904.1; 1904.2", "weight": "2", "at_least_mm": "x"}
    page = designer.post(reverse("hangs:add_rule", args=[scene.hang.pk]), data, follow=True)
    (row,) = select(page, "[aria-labelledby=rules] li")
    assert words(row).startswith("1904.1, 1904.2: near each other, which matters somewhat")


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
