"""180° turns, turning places, dead ends and passing places of the US 2010 ADA Standards."""

from __future__ import annotations

import pytest

from layouts.floor import Floor, check, solve_floor
from tests.layouts.floor.rooms import box, doors, outline, round_a_case


def broken(problem: dict, rule: str) -> list:
    report = solve_floor(problem)
    assert check(Floor.from_dict(problem), report) == []
    return [finding for finding in report.findings if finding.rule == rule]


@pytest.mark.parametrize(
    ("case_mm", "beside_mm", "end_mm", "kept"),
    [
        (1200, 1065, 1220, True),
        (1200, 1064, 1220, False),
        (1200, 1065, 1219, False),
        (1200, 915, 1220, False),
        (1200, 920, 1525, True),
        (1200, 920, 1524, False),
        (1218, 1000, 1000, False),
        (1220, 1000, 1000, True),
        (100, 1065, 1220, True),
        (100, 1000, 1300, False),
    ],
)
def test_half_turn_round_a_case(case_mm, beside_mm, end_mm, kept):
    """403.5.2: an element under 1220 mm; 1065 beside and 1220 at the turn, or 1525 at the turn."""
    found = broken(round_a_case(case_mm, beside_mm, end_mm), "turn")
    assert (found == []) is kept
    for finding in found:
        assert finding.things == ("case",)


def test_half_turn_is_measured_on_both_sides_and_at_the_end():
    (turn,) = solve_floor(round_a_case(1200, 1100, 1300)).turns
    assert (turn.element, turn.element_mm) == ("case", 1200)
    assert (turn.approach_mm, turn.end_mm, turn.leaving_mm) == (1100, 1300, 1100)


def test_half_turn_round_the_end_of_a_wall_that_stands_into_the_room():
    problem = {
        "outline": [
            *([0, 0], [0, 5200], [2500, 5200], [2500, 0]),
            *([1300, 0], [1300, 4000], [1200, 4000], [1200, 0]),
        ],
        "doors": [
            {"id": "in", "wall": 8, "along_mm": 100, "width_mm": 1000, "role": "entrance"},
            {"id": "out", "wall": 4, "along_mm": 100, "width_mm": 1000, "role": "exit"},
        ],
    }
    (turn,) = solve_floor(problem).turns
    assert (turn.element, turn.element_mm, turn.end_mm) == ("wall 6", 100, 1200)
    assert len(broken(problem, "turn")) == 1


def test_way_straight_past_a_plinth_is_no_half_turn():
    problem = {
        "outline": outline(3000, 8000),
        "doors": doors(3000, 8000),
        "pieces": [box("A", 1500, 4000, 800, 800)],
    }
    assert solve_floor(problem).turns == ()


@pytest.mark.parametrize(("width_mm", "kept"), [(1525, True), (1524, False)])
def test_turning_place_needs_its_circle(width_mm, kept):
    """304.3.1, from memory: 1525 mm."""
    problem = {"outline": outline(width_mm, 6000), "doors": doors(width_mm, 6000)}
    assert (broken(problem, "turning") == []) is kept


@pytest.mark.parametrize(("arm_mm", "kept"), [(915, True), (913, False)])
def test_turning_place_may_be_a_tee(arm_mm, kept):
    """304.3.2, from memory: within 1525 mm square, arms 915 mm wide."""
    half = 760
    problem = {
        "outline": [
            [-half - 900, 0],
            [-half - 900, arm_mm],
            [half + 900, arm_mm],
            [half + 900, 0],
            [500, 0],
            [500, -2000],
            [-500, -2000],
            [-500, 0],
        ],
        "doors": [
            {"id": "in", "wall": 1, "along_mm": 0, "width_mm": arm_mm, "role": "entrance"},
            {"id": "out", "wall": 3, "along_mm": 0, "width_mm": arm_mm, "role": "exit"},
        ],
        "limits": {"route_mm": 900},
    }
    assert (broken(problem, "turning") == []) is kept


@pytest.mark.parametrize(("deep_mm", "found"), [(3000, 1), (900, 0)])
def test_narrow_way_without_an_end_is_a_dead_end(deep_mm, found):
    problem = {
        "outline": [
            *([0, 0], [0, 4000], [3000, 4000], [3000, 2000]),
            *([3000 + deep_mm, 2000], [3000 + deep_mm, 1000], [3000, 1000], [3000, 0]),
        ],
        "doors": [
            {"id": "in", "wall": 8, "along_mm": 1000, "width_mm": 1000, "role": "entrance"},
            {"id": "out", "wall": 2, "along_mm": 1000, "width_mm": 1000, "role": "exit"},
        ],
    }
    ends = broken(problem, "dead_end")
    assert len(ends) == found
    for end in ends:
        assert end.at[0] > 4500
    problem["doors"].append({"id": "x", "wall": 5, "along_mm": 50, "width_mm": 900})
    assert broken(problem, "dead_end") == []


def test_long_narrow_route_needs_passing_places():
    """403.5.3: every 200 ft, about 61 m."""
    for long_mm, found in ((60_000, 0), (66_000, 1)):
        problem = {"outline": outline(1520, long_mm), "doors": doors(1520, long_mm)}
        assert len(broken(problem, "passing")) == found
