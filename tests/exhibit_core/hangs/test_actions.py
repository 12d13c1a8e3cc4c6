"""Changes to hangs: written once, told once, and undone."""

import pytest
from django.core.exceptions import ValidationError

from exhibit_core.hangs import actions
from exhibit_core.hangs.models import FixedPlace, Hang, HangRule, KeptPlace
from exhibit_core.history.models import Entry
from exhibit_core.history.record import new_batch
from exhibit_core.history.undo import undo_batch
from exhibit_core.web.errors import RefusedError, StaleError
from tests.factories import WallFactory

pytestmark = pytest.mark.django_db


def told(hang):
    return list(Entry.objects.order_by("pk").values_list("action", "sentence"))


def test_create_hang_is_told_once(empty_scene):
    made = actions.create_hang(
        exhibition=empty_scene.exhibition,
        values={"title": "East", "datum_mm": 1550},
        walls=[empty_scene.wall],
        sections=empty_scene.sections[:1],
        by=empty_scene.by,
    )
    assert (made.title, made.datum_mm, made.kind) == ("East", 1550, "by_section")
    assert list(made.walls.all()) == [empty_scene.wall]
    assert list(made.sections.all()) == empty_scene.sections[:1]
    assert told(made) == [("hangs.create_hang", "Set up the hang East")]


def test_create_hang_with_impossible_datum_writes_nothing(empty_scene):
    with pytest.raises(ValidationError):
        actions.create_hang(
            exhibition=empty_scene.exhibition,
            values={"title": "East", "datum_mm": 5},
            walls=[empty_scene.wall],
            by=empty_scene.by,
        )
    assert Hang.objects.count() == 1
    assert Entry.objects.count() == 0


def test_update_hang_seen_at_an_older_version_is_stale(scene):
    Hang.objects.filter(pk=scene.hang.pk).update(version=3, datum_mm=1600)
    with pytest.raises(StaleError) as stale:
        actions.update_hang(
            hang=scene.hang,
            values={"datum_mm": 1550},
            walls=[scene.wall],
            version=1,
            by=scene.by,
        )
    assert (stale.value.theirs, stale.value.version) == ({"datum_mm": 1600}, 3)


def test_update_hang_and_undo(scene):
    other = WallFactory(room=scene.wall.room, position=1)
    batch = new_batch()
    saved = actions.update_hang(
        hang=scene.hang,
        values={"datum_mm": 1550, "title": "Renamed"},
        walls=[scene.wall, other],
        version=1,
        by=scene.by,
        batch=batch,
    )
    assert (saved.version, saved.walls.count()) == (2, 2)
    assert told(saved)[-1][1] == f"Changed the hang Renamed; walls: Main wall, {other.name}"
    other.name = "Named anew"
    other.save()
    undo_batch(batch=batch, by=scene.by)
    saved.refresh_from_db()
    assert (saved.datum_mm, saved.title, list(saved.walls.all())) == (1500, "Gallery", [scene.wall])


def test_update_hang_without_change_is_not_told(scene):
    actions.update_hang(
        hang=scene.hang, values={"datum_mm": 1500}, walls=[scene.wall], version=1, by=scene.by
    )
    assert told(scene.hang) == []


def test_add_and_remove_rule_are_undone(scene):
    one, two, *_ = scene.entries
    added, removed = new_batch(), new_batch()
    rule = actions.add_rule(
        hang=scene.hang,
        kind="apart",
        entries=[one, two],
        at_least_mm=900,
        by=scene.by,
        batch=added,
    )
    actions.remove_rule(rule=rule, by=scene.by, batch=removed)
    assert HangRule.objects.count() == 0
    undo_batch(batch=removed, by=scene.by)
    back = HangRule.objects.get()
    assert (back.kind, back.at_least_mm, set(back.entries.all())) == ("apart", 900, {one, two})
    undo_batch(batch=added, by=scene.by)
    assert HangRule.objects.count() == 0


def test_near_rule_keeps_its_weight_and_is_undone(scene):
    batch = new_batch()
    rule = actions.add_rule(
        hang=scene.hang,
        kind="near",
        entries=scene.entries[:2],
        weight=3,
        at_least_mm=900,
        by=scene.by,
    )
    assert (rule.weight, rule.at_least_mm) == (3, None)
    assert told(scene.hang)[-1][1] == (
        "Asked in Gallery: 1904.1, 1904.2: near each other, which matters much"
    )
    actions.remove_rule(rule=rule, by=scene.by, batch=batch)
    undo_batch(batch=batch, by=scene.by)
    back = HangRule.objects.get()
    assert (back.kind, back.weight) == ("near", 3)


def test_walls_of_a_section_are_asked_once_and_undone(scene):
    section = scene.sections[0]
    asked = {"hang": scene.hang, "kind": "on_walls", "walls": [scene.wall], "by": scene.by}
    rule = actions.add_rule(**asked, section=section)
    assert told(scene.hang)[-1][1] == "Asked in Gallery: section 1: only on Main wall"
    with pytest.raises(RefusedError, match="It is asked already: section 1: only on Main wall"):
        actions.add_rule(**asked, section=section)
    actions.add_rule(**asked, entries=scene.entries[:1])
    with pytest.raises(RefusedError, match=r"It is asked already: 1904\.1: only on Main wall"):
        actions.add_rule(**asked, entries=scene.entries[:2])
    batch = new_batch()
    actions.remove_rule(rule=rule, by=scene.by, batch=batch)
    undo_batch(batch=batch, by=scene.by)
    back = HangRule.objects.get(section=section)
    assert (back.kind, list(back.walls.all())) == ("on_walls", [scene.wall])


@pytest.mark.parametrize("wrong", [{"walls": []}, {"section": None}])
def test_walls_of_nothing_or_nowhere_are_refused(scene, wrong):
    asked = {"section": scene.sections[0], "walls": [scene.wall], **wrong}
    with pytest.raises(RefusedError):
        actions.add_rule(hang=scene.hang, kind="on_walls", **asked, by=scene.by)
    asked = {"section": scene.sections[0], "walls": [WallFactory()]}
    with pytest.raises(RefusedError, match="Choose at least one of this hang's walls"):
        actions.add_rule(hang=scene.hang, kind="on_walls", **asked, by=scene.by)
    assert HangRule.objects.count() == 0


def test_keep_and_give_up_a_place_are_undone(scene):
    kept, given_up = new_batch(), new_batch()
    size = {"name": "Kite", "width_mm": 900, "height_mm": 700}
    place = actions.keep_place(
        hang=scene.hang, **size, section=scene.sections[1], by=scene.by, batch=kept
    )
    with pytest.raises(RefusedError, match="A place is kept for Kite already"):
        actions.keep_place(hang=scene.hang, **size, section=scene.sections[1], by=scene.by)
    actions.give_up_place(place=place, by=scene.by, batch=given_up)
    undo_batch(batch=given_up, by=scene.by)
    back = KeptPlace.objects.get()
    assert (back.name, back.width_mm, back.section) == ("Kite", 900, scene.sections[1])
    undo_batch(batch=kept, by=scene.by)
    assert KeptPlace.objects.count() == 0


def test_own_datums_are_told_and_undone(scene):
    batch = new_batch()
    change = {"hang": scene.hang, "values": {}, "walls": [scene.wall], "by": scene.by}
    actions.update_hang(**change, datums={scene.wall.pk: 1450}, version=1, batch=batch)
    assert told(scene.hang)[-1][1] == "Changed the hang Gallery; datum 1450 mm on Main wall"
    undo_batch(batch=batch, by=scene.by)
    assert scene.hang.wall_datums.count() == 0
    assert told(scene.hang)[-1][1] == "Changed the hang Gallery; one datum for all walls"


@pytest.mark.parametrize(
    ("kind", "count", "apart", "words"),
    [
        ("near", 2, None, "Say how much it matters that they hang near each other."),
        ("together", 1, None, "A rule needs at least two objects."),
        ("apart", 2, None, "Say how far apart they must hang, in mm."),
    ],
)
def test_rule_that_says_nothing_is_refused(scene, kind, count, apart, words):
    with pytest.raises(RefusedError, match=words):
        actions.add_rule(
            hang=scene.hang,
            kind=kind,
            entries=scene.entries[:count],
            at_least_mm=apart,
            by=scene.by,
        )


def test_fix_place_replaces_the_earlier_one_and_undo_brings_it_back(scene):
    entry = scene.entries[0]
    actions.fix_place(hang=scene.hang, entry=entry, wall=scene.wall, x_mm=900, by=scene.by)
    batch = new_batch()
    actions.fix_place(
        hang=scene.hang, entry=entry, wall=scene.wall, x_mm=1200, by=scene.by, batch=batch
    )
    assert list(FixedPlace.objects.values_list("x_mm", flat=True)) == [1200]
    undo_batch(batch=batch, by=scene.by)
    assert list(FixedPlace.objects.values_list("x_mm", flat=True)) == [900]


def test_unfix_and_undo(scene):
    place = actions.fix_place(
        hang=scene.hang, entry=scene.entries[0], wall=scene.wall, y_mm=300, by=scene.by
    )
    batch = new_batch()
    actions.unfix(place=place, by=scene.by, batch=batch)
    undo_batch(batch=batch, by=scene.by)
    assert list(FixedPlace.objects.values_list("wall", "x_mm", "y_mm")) == [
        (scene.wall.pk, None, 300)
    ]


def test_undo_after_a_later_change_is_refused(scene):
    entry = scene.entries[0]
    batch = new_batch()
    actions.fix_place(
        hang=scene.hang, entry=entry, wall=scene.wall, x_mm=900, by=scene.by, batch=batch
    )
    actions.fix_place(hang=scene.hang, entry=entry, wall=scene.wall, x_mm=1200, by=scene.by)
    with pytest.raises(RefusedError, match="It was changed again since"):
        undo_batch(batch=batch, by=scene.by)
    assert list(FixedPlace.objects.values_list("x_mm", flat=True)) == [1200]


def test_undo_by_someone_without_the_right_is_refused(scene, make_person):
    batch = new_batch()
    actions.fix_place(
        hang=scene.hang, entry=scene.entries[0], wall=scene.wall, by=scene.by, batch=batch
    )
    with pytest.raises(RefusedError, match="Your role does not let you compute and accept hangs"):
        undo_batch(batch=batch, by=make_person("curator"))
    assert FixedPlace.objects.count() == 1


@pytest.mark.parametrize(
    ("place", "words"),
    [
        ({"x_mm": 8000}, "8000 mm is beyond Long Gallery, Main wall: it is 8000 mm long"),
        ({"y_mm": 3600}, "3600 mm is above Long Gallery, Main wall: it is 3600 mm high"),
    ],
)
def test_place_off_the_wall_is_refused(scene, place, words):
    with pytest.raises(RefusedError, match=words):
        actions.fix_place(
            hang=scene.hang, entry=scene.entries[0], wall=scene.wall, by=scene.by, **place
        )


def test_half_a_place_is_refused_where_the_arrangement_sets_heights(scene):
    entry = scene.entries[0]
    words = "The arrangement “in rows” sets heights: fix 1904.1 by both its left edge"
    place = actions.fix_place(hang=scene.hang, entry=entry, wall=scene.wall, x_mm=900, by=scene.by)
    change = {"hang": scene.hang, "values": {"kind": "rows"}, "walls": [scene.wall]}
    with pytest.raises(RefusedError, match=words):
        actions.update_hang(**change, version=1, by=scene.by)
    actions.unfix(place=place, by=scene.by)
    actions.update_hang(**change, version=1, by=scene.by)
    scene.hang.refresh_from_db()
    with pytest.raises(RefusedError, match=words):
        actions.fix_place(hang=scene.hang, entry=entry, wall=scene.wall, y_mm=900, by=scene.by)
    actions.fix_place(
        hang=scene.hang, entry=entry, wall=scene.wall, x_mm=900, y_mm=900, by=scene.by
    )
    assert FixedPlace.objects.count() == 1


def test_place_on_a_wall_of_another_hang_is_refused(scene):
    with pytest.raises(RefusedError, match="is not one of this hang's walls"):
        actions.fix_place(hang=scene.hang, entry=scene.entries[0], wall=WallFactory(), by=scene.by)


def accepted(hang):
    return list(hang.versions.filter(accepted_at__isnull=False).values_list("number", flat=True))


def test_accept_leaves_one_accepted_and_undo_goes_back(scene):
    first, second = scene.compute(), scene.compute()
    actions.accept_version(version=first, by=scene.by)
    batch = new_batch()
    actions.accept_version(version=second, by=scene.by, batch=batch)
    assert accepted(scene.hang) == [2]
    undo_batch(batch=batch, by=scene.by)
    assert accepted(scene.hang) == [1]


def test_accept_of_what_is_out_of_date_is_refused_with_the_reason(scene):
    version = scene.compute()
    scene.measure(scene.entries[0], width_mm=312, height_mm=400, mass_g=2500)
    with pytest.raises(RefusedError, match=r"1904\.1 is now 312 mm wide, was 300\."):
        actions.accept_version(version=version, by=scene.by)
    assert accepted(scene.hang) == []


def test_accept_twice_is_refused(scene):
    version = scene.compute()
    actions.accept_version(version=version, by=scene.by)
    with pytest.raises(RefusedError, match="is accepted already"):
        actions.accept_version(version=version, by=scene.by)
