"""Rows become the problem that is solved."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from exhibit_core.exhibitions.models import ListEntry
from exhibit_core.hangs.actions import add_rule, fix_place, keep_place
from exhibit_core.hangs.models import Hang, WallDatum
from exhibit_core.hangs.problem import NO_SECTION, NO_SIZE, asked_of
from exhibit_core.spaces.models import BlockedArea
from layouts.problem import Apart, Arrangement, Blocked, Fixing, Label, Near, Problem, Zone
from tests.factories import (
    FixingFactory,
    LightZoneFactory,
    ListEntryFactory,
    MeasurementFactory,
    MuseumObjectFactory,
    RoomFactory,
    WallFactory,
)

pytestmark = pytest.mark.django_db


def test_pieces_carry_size_mass_limit_label_and_section(empty_scene):
    empty_scene.add("A.1", 300, 400, depth_mm=40, max_lux=50)
    (piece,) = asked_of(empty_scene.hang).problem.pieces
    assert (piece.id, piece.width_mm, piece.height_mm, piece.depth_mm) == ("A.1", 300, 400, 40)
    assert (piece.mass_g, piece.max_lux, piece.hang_point_mm, piece.section) == (2500, 50, 60, "1")
    assert piece.label == Label(150, 100, "right", 40)


def test_only_what_is_selected_and_shown_on_a_wall_hangs(scene):
    scene.entries[0].stage = ListEntry.Stage.RESERVE
    scene.entries[0].save()
    scene.entries[1].shown_on = ListEntry.ShownOn.CASE
    scene.entries[1].save()
    assert [p.id for p in asked_of(scene.hang).problem.pieces] == ["1904.3", "1904.4"]


def test_chosen_sections_narrow_what_hangs(scene):
    scene.hang.sections.add(scene.sections[1])
    asked = asked_of(scene.hang)
    assert [p.id for p in asked.problem.pieces] == ["1904.3", "1904.4"]
    assert asked.problem.arrangement.sections == ("2",)


def test_object_without_size_or_section_is_left_out_with_the_reason(empty_scene):
    MeasurementFactory(
        object=ListEntryFactory(
            exhibition=empty_scene.exhibition, object=MuseumObjectFactory(number="B.1")
        ).object
    )
    ListEntryFactory(
        exhibition=empty_scene.exhibition,
        section=empty_scene.sections[0],
        object=MuseumObjectFactory(number="B.2"),
    )
    asked = asked_of(empty_scene.hang)
    assert {left.entry.object.number: left.reason for left in asked.left_out} == {
        "B.1": NO_SECTION,
        "B.2": NO_SIZE,
    }
    empty_scene.hang.kind = Hang.Kind.EVEN
    assert [p.id for p in asked_of(empty_scene.hang).problem.pieces] == ["B.1"]


def test_walls_carry_what_blocks_lights_and_holds(scene):
    BlockedArea.objects.create(
        wall=scene.wall, what="door", x_mm=3000, y_mm=0, width_mm=900, height_mm=2100
    )
    LightZoneFactory(wall=scene.wall, from_mm=0, to_mm=8000, lux=50)
    FixingFactory(wall=scene.wall, from_mm=0, to_mm=8000, max_kg_per_m=None)
    (wall,) = asked_of(scene.hang).problem.walls
    assert (wall.id, wall.length_mm, wall.height_mm) == ("Main wall", 8000, 3600)
    assert wall.blocked == (Blocked(3000, 0, 900, 2100, "door"),)
    assert wall.zones == (Zone(0, 8000, 50),)
    assert wall.fixings == (Fixing(0, 8000, 40.0, None),)


def test_walls_of_one_name_are_told_apart_by_their_room(scene):
    room = RoomFactory(venue=scene.exhibition.venue, name="Annexe", position=1)
    scene.hang.walls.add(WallFactory(room=room, name="Main wall"))
    names = [wall.id for wall in asked_of(scene.hang).problem.walls]
    assert names == ["Main wall (Long Gallery)", "Main wall (Annexe)"]


def test_keep_order_follows_the_list(scene):
    scene.hang.keep_order = True
    assert asked_of(scene.hang).problem.arrangement.order == (
        "1904.1",
        "1904.2",
        "1904.3",
        "1904.4",
    )


def test_rules_and_fixed_places_reach_the_problem(scene):
    one, two, three, _ = scene.entries
    add_rule(hang=scene.hang, kind="together", entries=[one, two], by=scene.by)
    add_rule(hang=scene.hang, kind="apart", entries=[one, three], at_least_mm=900, by=scene.by)
    fix_place(hang=scene.hang, entry=two, wall=scene.wall, x_mm=1200, by=scene.by)
    problem = asked_of(scene.hang).problem
    assert problem.together == (("1904.1", "1904.2"),)
    assert problem.apart == (Apart(("1904.1", "1904.3"), 900),)
    fixed = problem.piece("1904.2")
    assert (fixed.wall, fixed.x_mm, fixed.y_mm) == ("Main wall", 1200, None)


def test_near_rules_reach_the_problem_with_their_weight(scene):
    one, two, three, _ = scene.entries
    add_rule(hang=scene.hang, kind="near", entries=[one, two, three], weight=4, by=scene.by)
    assert asked_of(scene.hang).problem.near == (Near(("1904.1", "1904.2", "1904.3"), 4),)


def test_rows_and_their_distance_count_only_in_rows(scene):
    scene.hang.rows, scene.hang.row_gap_mm = 3, 120
    plain = asked_of(scene.hang).problem.arrangement
    assert (plain.rows, plain.row_gap_mm) == (1, Arrangement.row_gap_mm)
    scene.hang.kind = Hang.Kind.ROWS
    rule = asked_of(scene.hang).problem.arrangement
    assert (rule.kind, rule.rows, rule.row_gap_mm) == ("rows", 3, 120)


@pytest.mark.parametrize("kind", Hang.Kind.values)
def test_every_kind_asks_what_the_engine_can_read(scene, kind):
    """Whatever is set besides, a kind is asked only for what counts for it."""
    scene.hang.kind = kind
    scene.hang.keep_order, scene.hang.max_gap_mm, scene.hang.section_gap_mm = True, 900, 400
    problem = asked_of(scene.hang).problem
    assert Problem.from_dict(problem.to_dict()) == problem
    rule = problem.arrangement
    assert (rule.order is not None) == (kind in {"even", "by_section", "rows"})
    assert (rule.max_gap_mm is None) == (kind == "cluster")
    assert (rule.section_gap_mm is None) == (kind != "by_section")


def test_walls_allowed_reach_the_problem_as_far_as_the_hang_uses_them(scene):
    _, two, three, _ = scene.entries
    side = WallFactory(room=scene.wall.room, name="Side wall")
    scene.hang.walls.add(side)
    asked = {"hang": scene.hang, "kind": "on_walls", "by": scene.by}
    add_rule(**asked, section=scene.sections[0], walls=[scene.wall, side])
    add_rule(**asked, entries=[three], walls=[side])
    add_rule(**asked, entries=[two], walls=[side])
    fix_place(hang=scene.hang, entry=two, wall=scene.wall, by=scene.by)
    problem = asked_of(scene.hang).problem
    assert problem.section_walls == {"1": ("Main wall", "Side wall")}
    assert problem.piece("1904.3").walls == ("Side wall",)
    assert (problem.piece("1904.2").wall, problem.piece("1904.2").walls) == ("Main wall", ())
    scene.hang.walls.remove(side)
    left = asked_of(scene.hang)
    assert left.problem.section_walls == {"1": ("Main wall",)}
    assert left.problem.piece("1904.3").walls == ()
    assert (
        "The rule “only on some walls” for 1904.3 is idle: this hang uses none of those walls."
        in left.warnings
    )


def test_heights_reach_the_problem(scene):
    scene.hang.lowest_edge_mm, scene.hang.highest_edge_mm = 700, 2100
    WallDatum.objects.create(hang=scene.hang, wall=scene.wall, datum_mm=1450)
    problem = asked_of(scene.hang).problem
    assert (problem.arrangement.lowest_edge_mm, problem.arrangement.highest_edge_mm) == (700, 2100)
    assert problem.walls[0].datum_mm == 1450


def test_places_kept_stand_behind_their_section(scene):
    scene.hang.keep_order = True
    size = {"width_mm": 900, "height_mm": 700, "by": scene.by}
    keep_place(hang=scene.hang, name="Kite", section=scene.sections[0], **size)
    asked = asked_of(scene.hang)
    ids = [piece.id for piece in asked.problem.pieces]
    assert ids == ["1904.1", "1904.2", "Kite", "1904.3", "1904.4"]
    assert asked.problem.arrangement.order == tuple(ids)
    kite = asked.problem.piece("Kite")
    assert (kite.reserve, kite.width_mm, kite.height_mm, kite.section) == (True, 900, 700, "1")
    assert asked.captions["pieces"]["Kite"] == {"title": "place kept", "kept": True}
    scene.hang.sections.add(scene.sections[1])
    narrowed = asked_of(scene.hang)
    assert [piece.id for piece in narrowed.problem.pieces] == ["1904.3", "1904.4"]
    assert narrowed.warnings == (
        "The place kept for Kite is left out: it is in section 1, and this hang needs another.",
    )


def test_place_kept_gives_way_to_the_object_that_came(scene):
    size = {"width_mm": 900, "height_mm": 700, "by": scene.by}
    keep_place(hang=scene.hang, name="1904.9", section=scene.sections[0], **size)
    scene.add("1904.9")
    asked = asked_of(scene.hang)
    assert [p.reserve for p in asked.problem.pieces if p.id == "1904.9"] == [False]
    assert asked.warnings == (
        "1904.9 hangs now: the place kept for it is left out, and can be given up.",
    )


def test_related_without_a_near_rule_is_said(scene):
    scene.hang.kind = Hang.Kind.RELATED
    words = (
        "Nothing is said to belong near anything: without such a rule, related side by side comes "
        "out as an even run."
    )
    assert words in asked_of(scene.hang).warnings
    add_rule(hang=scene.hang, kind="near", entries=scene.entries[:2], weight=1, by=scene.by)
    assert words not in asked_of(scene.hang).warnings


def test_what_is_not_known_is_said_and_never_taken_for_nothing(empty_scene):
    FixingFactory(wall=empty_scene.wall, to_mm=8000)
    empty_scene.add("A.1", mass_g=None, hang_point_mm=None)
    warnings = asked_of(empty_scene.hang).warnings
    assert warnings == (
        "No weight is known of A.1: nothing is checked against what the walls carry. Weigh "
        "before hanging.",
        "No hanging point is known of A.1: the hook is reckoned at the top edge. Measure from "
        "the top edge down to where it bears, the wire taut.",
    )


def test_idle_rules_and_places_are_said(scene):
    one, two, *_ = scene.entries
    add_rule(hang=scene.hang, kind="together", entries=[one, two], by=scene.by)
    fix_place(hang=scene.hang, entry=one, wall=scene.wall, by=scene.by)
    ListEntry.objects.filter(pk=one.pk).update(stage=ListEntry.Stage.RESERVE)
    assert asked_of(scene.hang).warnings == (
        "1904.1 has a fixed place but does not hang: it is not among the pieces.",
        "The rule “together” for 1904.1, 1904.2 is idle: fewer than two of them hang.",
    )


def test_captions_say_what_sheets_print(empty_scene):
    empty_scene.add("A.1", title="Vane", hazards=["lead"], hazard_note="flaking")
    captions = asked_of(empty_scene.hang).captions
    caption = captions["pieces"]["A.1"]
    assert (caption["title"], caption["hazards"], caption["hazard_note"]) == (
        "Vane",
        ["lead"],
        "flaking",
    )
    assert caption["size_source"] == "framed, measured"
    assert captions["sections"] == {"1": "1 The Weight of the Air"}


def queries(hang):
    with CaptureQueriesContext(
        connection,
    ) as caught:
        asked_of(hang)
    return len(caught)


def test_reading_takes_as_many_queries_for_thirty_objects_as_for_one(empty_scene):
    empty_scene.add("A.0")
    few = queries(Hang.objects.get(pk=empty_scene.hang.pk))
    for n in range(1, 30):
        empty_scene.add(f"A.{n}", section=n % 2)
    assert queries(Hang.objects.get(pk=empty_scene.hang.pk)) == few
