"""Why a version is out of date, in sentences."""

import pytest

from exhibit_core.exhibitions.models import ListEntry, Section
from exhibit_core.hangs import actions
from exhibit_core.hangs.queries import out_of_date
from exhibit_core.register.models import MuseumObject
from exhibit_core.spaces.models import BlockedArea, Wall
from tests.factories import LightZoneFactory, WallFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def version(scene):
    return scene.compute()


def change(entry, **values):
    ListEntry.objects.filter(pk=entry.pk).update(**values)


def test_nothing_changed_means_up_to_date(version):
    assert out_of_date(version) == []


def test_new_measurement(scene, version):
    scene.measure(scene.entries[0], width_mm=312, height_mm=400, mass_g=2600)
    assert out_of_date(version) == [
        "1904.1 is now 312 mm wide, was 300.",
        "1904.1 now weighs 2.6 kg, was 2.5 kg.",
    ]


def test_light_limit_set_changed_and_lifted(scene, version):
    rows = MuseumObject.objects.filter(number="1904.2")
    rows.update(max_lux=50)
    assert out_of_date(version) == ["1904.2 is now limited to 50 lx."]
    limited = scene.compute()
    rows.update(max_lux=200)
    assert out_of_date(limited) == ["1904.2 is now limited to 200 lx, was 50."]
    rows.update(max_lux=None)
    assert out_of_date(limited) == ["1904.2 is no longer known to be limited to 50 lx."]


def test_withdrawn_reserved_and_moved_to_a_case(scene, version):
    one, two, three, four = scene.entries
    change(one, stage="withdrawn", reason="too fragile")
    change(two, stage="reserve")
    change(three, shown_on="case")
    four.delete()
    assert out_of_date(version) == [
        "1904.1 was withdrawn: too fragile.",
        "1904.2 is no longer selected: now reserve.",
        "1904.3 is no longer shown on a wall: now showcase.",
        "1904.4 is no longer on the list.",
    ]


def test_new_object_and_new_section(scene, version):
    scene.add("1904.9")
    change(scene.entries[0], section=scene.sections[1])
    assert out_of_date(version) == [
        "1904.9 now hangs too.",
        "1904.1 is now in section 2, was in section 1.",
    ]


def test_wall_changed(scene, version):
    Wall.objects.filter(pk=scene.wall.pk).update(length_mm=35_900)
    LightZoneFactory(wall=scene.wall, from_mm=0, to_mm=8000, lux=50)
    BlockedArea.objects.create(
        wall=scene.wall, what="hydrant", x_mm=100, y_mm=0, width_mm=600, height_mm=800
    )
    assert out_of_date(version) == [
        "Main wall is now 35,900 mm long, was 8000.",
        "Main wall: blocked areas changed: now hydrant 600 × 800 mm at 100 mm.",
        "Main wall: light changed: now 50 lx from 0 to 8000 mm.",
    ]


def test_what_is_asked_changed(scene, version):
    actions.update_hang(
        hang=scene.hang,
        values={"datum_mm": 1550, "align": "top", "max_gap_mm": 700, "label_side": "below"},
        walls=[scene.wall],
        version=scene.hang.version,
        by=scene.by,
    )
    scene.hang.refresh_from_db()
    version.refresh_from_db()
    assert out_of_date(version) == [
        "The alignment is now top, was centreline.",
        "The datum is now 1550 mm, was 1500 mm.",
        "The largest gap is now 700 mm, was open.",
        "Labels are now 150 × 100 mm, 40 mm away, below, were 150 × 100 mm, 40 mm away, right.",
    ]


def test_arrangement_rows_and_nearness_changed(scene):
    def ask(**values):
        scene.hang.refresh_from_db()
        walls, version = [scene.wall], scene.hang.version
        actions.update_hang(
            hang=scene.hang, values=values, walls=walls, version=version, by=scene.by
        )
        scene.hang.refresh_from_db()

    before = scene.compute()
    ask(kind="rows", rows=2)
    assert out_of_date(before)[:1] == ["The arrangement is now in rows, was by section."]
    in_rows = scene.compute()
    ask(rows=3, row_gap_mm=150)
    actions.add_rule(hang=scene.hang, kind="near", entries=scene.entries[:2], weight=5, by=scene.by)
    in_rows.hang.refresh_from_db()
    assert out_of_date(in_rows) == [
        "The number of rows is now 3, was 2.",
        "The height between rows is now 150 mm, was 200 mm.",
        "Now asked: 1904.1, 1904.2 near each other, which matters above all.",
    ]


def test_heights_walls_and_places_kept_changed(scene, version):
    side = WallFactory(room=scene.wall.room, name="Side wall")
    actions.update_hang(
        hang=scene.hang,
        values={"lowest_edge_mm": 600, "highest_edge_mm": 2100},
        walls=[scene.wall, side],
        datums={scene.wall.pk: 1450},
        version=scene.hang.version,
        by=scene.by,
    )
    asked = {"hang": scene.hang, "kind": "on_walls", "walls": [side], "by": scene.by}
    actions.add_rule(**asked, section=scene.sections[0])
    actions.add_rule(**asked, entries=scene.entries[3:])
    size = {"width_mm": 900, "height_mm": 700, "section": scene.sections[0]}
    actions.keep_place(hang=scene.hang, name="Kite", **size, by=scene.by)
    version.hang.refresh_from_db()
    assert out_of_date(version) == [
        "Side wall is now one of the walls.",
        "Main wall now has a datum of its own at 1450 mm, had the hang's datum.",
        "Kite now hangs too: a place is kept for it.",
        "1904.4 may now hang only on Side wall, before on any wall.",
        "The lowest edge is now 600 mm, was open.",
        "The highest edge is now 2100 mm, was open.",
        "Section 1 may now hang only on Side wall, before on any wall.",
    ]


def test_place_kept_is_given_up_or_filled(scene):
    size = {"width_mm": 300, "height_mm": 400, "section": scene.sections[0], "by": scene.by}
    kite = actions.keep_place(hang=scene.hang, name="Kite", **size)
    actions.keep_place(hang=scene.hang, name="1904.9", **size)
    version = scene.compute()
    actions.give_up_place(place=kite, by=scene.by)
    scene.add("1904.9", depth_mm=0, mass_g=None, hang_point_mm=None)
    assert out_of_date(version)[:2] == [
        "Kite no longer has a place kept.",
        "1904.9 hangs itself now, where a place was kept for it.",
    ]


def test_rule_and_place_changed(scene, version):
    one, two, *_ = scene.entries
    actions.add_rule(hang=scene.hang, kind="together", entries=[one, two], by=scene.by)
    actions.fix_place(hang=scene.hang, entry=one, wall=scene.wall, x_mm=900, by=scene.by)
    assert out_of_date(version) == [
        "1904.1 is now fixed on Main wall with its left edge at 900 mm, was free to hang anywhere.",
        "Now asked: 1904.1, 1904.2 together.",
    ]


def test_order_of_sections_changed(scene, version):
    Section.objects.filter(pk=scene.sections[1].pk).update(position=0)
    assert out_of_date(version) == ["The order of the sections changed."]


def test_order_of_the_list_counts_only_where_it_is_kept(scene):
    free = scene.compute()
    scene.hang.keep_order = True
    scene.hang.save()
    kept = scene.compute()
    change(scene.entries[0], position=9)
    free.refresh_from_db()
    kept.refresh_from_db()
    assert out_of_date(kept) == ["The order of the list changed."]
    scene.hang.keep_order = False
    scene.hang.save()
    assert out_of_date(type(free).objects.get(pk=free.pk)) == []
