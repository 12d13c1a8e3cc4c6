"""Routes against rooms with known answers and against two other methods."""

from __future__ import annotations

import pytest
import shapely

from layouts.floor import Floor, check, solve_floor
from layouts.floor.gaps import find_gaps
from layouts.floor.passing import widest
from layouts.floor.scene import scene_of
from tests.layouts.floor import grid
from tests.layouts.floor.rooms import at_random, box, doors, in_a_row, outline, two_plinths

CAP_MM = 1400


def rules_broken(problem: dict) -> list[str]:
    report = solve_floor(problem)
    assert check(Floor.from_dict(problem), report) == []
    return [finding.rule for finding in report.findings]


@pytest.mark.parametrize(
    ("gap_mm", "long_mm", "broken"),
    [
        (915, 400, []),
        (915, 3000, []),
        (914, 700, ["route", "narrowing"]),
        (914, 610, []),
        (900, 700, ["route", "narrowing"]),
        (820, 500, []),
        (820, 600, []),
        (820, 610, []),
        (820, 611, ["route", "narrowing"]),
        (820, 700, ["route", "narrowing"]),
        (815, 610, []),
        (814, 100, ["route"]),
    ],
)
def test_gap_of_known_width_and_length(gap_mm, long_mm, broken):
    """US 2010 ADA Standards 403.5.1: 915 mm, or 815 mm for at most 610 mm of length."""
    problem = two_plinths(gap_mm, long_mm)
    assert rules_broken(problem) == broken
    route = solve_floor(problem).route
    assert route.widest_mm == gap_mm
    assert set(route.narrowest.things) == {"A", "B"}
    assert route.narrowest.clear_mm == gap_mm
    assert {route.narrowest.start[1], route.narrowest.end[1]} == {4000}


@pytest.mark.parametrize(
    ("between_mm", "kept"), [(1220, True), (1219, False), (300, False), (2000, True)]
)
def test_two_short_narrowings_need_full_width_between_them(between_mm, kept):
    """US 2010 ADA Standards 403.5.1: at least 1220 mm of full width between two."""
    assert (rules_broken(in_a_row(820, 600, between_mm)) == []) is kept


def test_narrowings_that_touch_count_as_one():
    problem = in_a_row(820, 400, 0)
    report = solve_floor(problem)
    assert [f.measured for f in report.findings if f.rule == "narrowing"] == [800]


def test_widths_asked_beyond_the_rule_set_permit_no_narrowing():
    problem = {**two_plinths(1000, 400), "width_mm": 1001}
    assert rules_broken(problem) == ["route"]
    assert rules_broken({**two_plinths(1000, 400), "width_mm": 1000}) == []


def test_rule_set_without_narrowings_permits_none():
    """ISO 21542, from memory: 1200 mm throughout."""
    for gap, broken in ((1199, ["route"]), (1200, [])):
        problem = {**two_plinths(gap, 100), "rules": "iso_21542_2011"}
        problem["doors"] = doors(3000 + gap, 8000)
        assert [r for r in rules_broken(problem) if r == "route"] == broken


def test_route_goes_round_a_narrow_place_that_is_too_long():
    problem = two_plinths(820, 700)
    problem["outline"] = outline(5000, 8000)
    problem["doors"] = doors(5000, 8000)
    report = solve_floor(problem)
    assert report.route.found
    assert report.route.narrowings == ()
    assert check(Floor.from_dict(problem), report) == []


def rows_of_gaps(permitted: tuple[int, ...], gaps: int) -> dict:
    """Return rows of plinths 820 mm apart; all gaps but one in each row are 700 mm long."""
    width, deep = gaps * 1720 + 900, 3000 + 2600 * len(permitted)
    pieces = [
        box(f"R{row}K{k}", 450 + 1720 * k, 2500 + 2600 * row, 900, 600 if k == short else 700)
        for row, short in enumerate(permitted)
        for k in range(gaps + 1)
    ]
    return {"outline": outline(width, deep), "doors": doors(width, deep), "pieces": pieces}


@pytest.mark.parametrize("permitted", [(5,), (5, 0), (0, 5, 0)])
def test_one_permitted_gap_among_many_is_found(permitted):
    problem = rows_of_gaps(permitted, 6)
    report = solve_floor(problem)
    assert report.route.found
    assert len(report.route.narrowings) == len(permitted)
    assert max(row.length_mm for row in report.route.narrowings) <= 610
    assert check(Floor.from_dict(problem), report) == []


def test_ways_not_looked_at_are_told(monkeypatch):
    """With no gap permitted all are looked at; with too few looks allowed the report says so."""
    problem = rows_of_gaps((9,), 5)
    assert "than were looked at" not in solve_floor(problem).findings[0].sentence
    monkeypatch.setattr("layouts.floor.route.MOST_TRIES", 2)
    assert "than were looked at" in solve_floor(problem).findings[0].sentence


def test_closed_room_has_no_way():
    problem = {
        "outline": outline(4000, 6000),
        "doors": doors(4000, 6000),
        "pieces": [box("screen", 2000, 3000, 4000, 100, kind="screen")],
    }
    report = solve_floor(problem)
    assert report.route.widest_mm == 0
    assert not report.route.found
    assert "no way" in report.findings[0].sentence


def test_sections_are_visited_in_the_order_given():
    pieces = [box("a", 1000, 5000, 400, 400, section="2"), box("b", 5000, 5000, 400, 400)]
    problem = {
        "outline": outline(6000, 10000),
        "doors": doors(6000, 10000),
        "pieces": [pieces[0], {**pieces[1], "section": "1"}],
        "sections": [{"id": "1"}, {"id": "2"}],
    }
    report = solve_floor(problem)
    stops = report.route.stops
    assert [stop.id for stop in stops] == ["in", "1", "2", "out"]
    assert stops[1].at[0] > 3600
    assert stops[2].at[0] < 2400
    swapped = {**problem, "sections": [{"id": "2"}, {"id": "1"}]}
    assert [stop.id for stop in solve_floor(swapped).route.stops] == ["in", "2", "1", "out"]


def test_section_behind_a_narrow_gap_cannot_be_reached():
    problem = two_plinths(800, 1000)
    problem["pieces"].append(box("x", 1900, 6500, 300, 300, section="1"))
    problem["sections"] = [{"id": "1"}]
    assert "route" in rules_broken(problem)


def connected(floor: Floor, width_mm: float) -> bool:
    """Return whether the library leads from end to end when it grows the things by the disc."""
    half = width_mm / 2
    grown = [
        shapely.Point(p.x_mm, p.y_mm).buffer(p.width_mm / 2 + half, quad_segs=128)
        if p.shape == "round"
        else shapely.affinity.rotate(
            shapely.box(
                p.x_mm - p.width_mm / 2,
                p.y_mm - p.depth_mm / 2,
                p.x_mm + p.width_mm / 2,
                p.y_mm + p.depth_mm / 2,
            ),
            p.turn_deg,
        ).buffer(half, quad_segs=128)
        for p in floor.pieces
    ]
    left = shapely.box(half, half, 4000 - half, 6000 - half).difference(shapely.union_all(grown))
    ends = [shapely.Point(2000, y) for y in (half + 1, 6000 - half - 1)]
    return any(all(part.covers(end) for end in ends) for part in shapely.get_parts(left))


@pytest.mark.parametrize("first", range(0, 200, 25))
def test_widest_route_agrees_with_the_things_grown_by_the_library(first):
    """To the millimetre on 200 rooms, but for the library's arcs, which are polygons."""
    for seed in range(first, first + 25):
        floor = Floor.from_dict(at_random(seed))
        scene = scene_of(floor)
        most = widest(scene, find_gaps(scene))
        if most < CAP_MM:
            assert not connected(floor, max(most + 1.5, 100)), seed
        if most > 0:
            assert connected(floor, min(most, CAP_MM) - 0.5), seed


@pytest.mark.parametrize("seed", range(200, 230))
def test_widest_route_agrees_with_a_widest_path_on_a_grid(seed):
    floor = Floor.from_dict(at_random(seed))
    scene = scene_of(floor)
    most = min(widest(scene, find_gaps(scene)), CAP_MM)
    other = min(grid.widest(floor, 1000, 5000), CAP_MM)
    if most == 0:
        assert other < 100 + grid.ERROR_MM
    else:
        assert other == pytest.approx(most, abs=grid.ERROR_MM)
