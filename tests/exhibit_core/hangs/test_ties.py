"""What single objects are asked on the page of a hang: rules, fixed places, places kept."""

import pytest
from django.urls import reverse

from exhibit_core.hangs.models import FixedPlace, HangRule, KeptPlace
from tests.factories import WallFactory
from tests.pages import select, words

pytestmark = pytest.mark.django_db


@pytest.fixture
def designer(sign_in):
    return sign_in("designer")


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


def test_near_rule_is_added_whatever_stands_in_the_other_field(designer, scene):
    data = {"kind": "near", "objects": "1904.1; 1904.2", "weight": "2", "at_least_mm": "x"}
    page = designer.post(reverse("hangs:add_rule", args=[scene.hang.pk]), data, follow=True)
    (row,) = select(page, "[aria-labelledby=rules] li")
    assert words(row).startswith("1904.1, 1904.2: near each other, which matters somewhat")
