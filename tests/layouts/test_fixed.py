"""Pieces fixed in place, and groups that share pieces: kept, or refused in a sentence."""

import pytest

from layouts import Problem, check, solve
from tests.layouts.problems import DOOR, piece, problem, wall

KINDS = ("even", "mirrored", "rise", "centre_high")


@pytest.mark.parametrize("kind", KINDS)
def test_piece_fixed_over_a_door_is_named(kind):
    fixed = piece("Vane", 600, wall="N", x_mm=3200)
    data = problem([wall(blocked=[DOOR])], [fixed, piece("B", 300)], kind=kind)
    (found,) = solve(data).conflicts
    assert found.sentence == "Fixed in place: Vane hangs over door on wall N."
    data["pieces"][0]["x_mm"] = 4400
    assert check(Problem.from_dict(data), solve(data)) == []


def test_piece_fixed_too_bright_is_named():
    zones = [{"from_mm": 0, "to_mm": 6000, "lux": 150}]
    fixed = piece("Vane", 600, wall="N", x_mm=1000, max_lux=150)
    data = problem([wall(zones=zones)], [fixed, piece("B", 300)])
    assert solve(data).placements
    data["walls"][0]["zones"] = [
        {"from_mm": 0, "to_mm": 1100, "lux": 200},
        {"from_mm": 1100, "to_mm": 6000, "lux": 100},
    ]
    (found,) = solve(data).conflicts
    assert found.sentence == "Fixed in place: Vane bears 150 lx and hangs under 200 lx."


def test_group_of_which_one_is_fixed_is_refused_with_a_cure():
    pieces = [piece("A", 300, wall="N", x_mm=500), piece("B", 300), piece("C", 300)]
    data = problem([wall()], pieces, together=[["A", "B"]])
    (found,) = solve(data).conflicts
    assert found.relaxation == "Fix all of A, B, or none of them."
    data["pieces"][0]["x_mm"] = None
    assert solve(data).placements


def test_groups_that_share_a_piece_set_it_in_the_middle():
    pieces = [piece(name, 300) for name in "ABCDE"]
    data = problem([wall(length=4000)], pieces, together=[["A", "B"], ["A", "C"]])
    answer = solve(data)
    assert check(Problem.from_dict(data), answer) == []
    names = [p.id for p in answer.placements]
    assert names.index("A") in (names.index("B") + 1, names.index("B") - 1)
    assert names.index("A") in (names.index("C") + 1, names.index("C") - 1)


def test_groups_that_no_order_can_keep_are_named():
    pieces = [piece(name, 300) for name in "ABCD"]
    data = problem([wall()], pieces, together=[["A", "B"], ["A", "C"], ["A", "D"]])
    (found,) = solve(data).conflicts
    assert found.sentence == ("No order sets all of these side by side: A and B; A and C; A and D.")
    data["together"].pop()
    assert solve(data).placements


def test_gap_between_sections_needs_sections():
    data = problem([wall()], [piece("A", 300, section="1")], section_gap_mm=900)
    (found,) = solve(data).conflicts
    assert found.sentence.startswith("arrangement.section_gap_mm is 900: it counts only for")
