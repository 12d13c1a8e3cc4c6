"""Hangs of one and several walls: what must hold for any right answer."""

import itertools
import random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from layouts import Problem, check, solve
from tests.layouts.problems import DOOR, hangs, piece, problem, wall

SLOW = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def sixty(**more):
    dice = random.Random(60)  # noqa: S311
    return [
        piece(f"P{n}", dice.randint(150, 900), dice.randint(200, 1100), hang_point_mm=60, **more)
        for n in range(60)
    ]


def hung(data):
    answer = solve(data, seconds=20)
    assert check(Problem.from_dict(data), answer) == []
    return answer


def gaps_of(data, answer, wall_name="N", start=0, end=None):
    """Return every gap between the given places of a wall, both ends counted."""
    widths = {p["id"]: p["width_mm"] for p in data["pieces"]}
    length = next(w["length_mm"] for w in data["walls"] if w["id"] == wall_name)
    row = sorted(
        (p.x_mm, p.x_mm + widths[p.id])
        for p in answer.placements
        if p.wall == wall_name and start <= p.x_mm < (end or length)
    )
    edges = [start, *itertools.chain.from_iterable(row), end or length]
    return [b - a for a, b in zip(edges[::2], edges[1::2], strict=True)]


def test_long_wall_of_sixty_on_a_hanging_line():
    """Sum of widths and gaps is the wall, gaps equal (common practice, no source)."""
    data = problem([wall(length=42_000)], sixty(), align="hanging_line", datum_mm=2400)
    answer = hung(data)
    gaps = gaps_of(data, answer)
    assert sum(gaps) + sum(p["width_mm"] for p in data["pieces"]) == 42_000
    assert max(gaps) - min(gaps) <= 1
    assert {p.hook_mm for p in answer.placements} == {2400}
    assert answer.status == "optimal"


def test_long_wall_with_a_door():
    door = {**DOOR, "x_mm": 9000}
    data = problem(
        [wall(length=42_000, blocked=[door])], sixty(), align="hanging_line", datum_mm=2400
    )
    answer = hung(data)
    gaps = [*gaps_of(data, answer, end=9000), *gaps_of(data, answer, start=10_200)]
    assert max(gaps) - min(gaps) <= 1
    assert not any(
        p.x_mm < 10_200 and p.x_mm + data["pieces"][int(p.id[1:])]["width_mm"] > 9000
        for p in answer.placements
    )


@SLOW
@given(hangs())
def test_every_hang_passes_the_verifier(data):
    answer = solve(data, seconds=20)
    assert answer.status in {"optimal", "feasible", "infeasible"}
    if answer.placements:
        assert check(Problem.from_dict(data), answer) == []
        assert answer.bound["gap_spread_mm"] <= answer.measures.gap_spread_mm
    else:
        assert answer.conflicts != ()


@given(st.lists(st.integers(100, 900), min_size=1, max_size=12), st.integers(100, 900))
def test_mirrored_hang_of_a_palindrome_is_itself(half, middle):
    widths = [*half, middle, *reversed(half)]
    data = problem(
        [wall(length=30_000)], [piece(f"P{n}", w) for n, w in enumerate(widths)], kind="mirrored"
    )
    answer = hung(data)
    assert answer.measures.mirror_error_mm == 0
    by_id = {p["id"]: p["width_mm"] for p in data["pieces"]}
    placed = [(p.x_mm, p.x_mm + by_id[p.id]) for p in answer.placements]
    mirrored = sorted((30_000 - right, 30_000 - left) for left, right in placed)
    assert all(
        abs(a - c) <= 1 and abs(b - d) <= 1 for (a, b), (c, d) in zip(placed, mirrored, strict=True)
    )


@given(st.lists(st.integers(100, 900), min_size=2, max_size=7))
def test_mirrored_error_is_least_over_all_orders(widths):
    data = problem(
        [wall(length=30_000)], [piece(f"P{n}", w) for n, w in enumerate(widths)], kind="mirrored"
    )
    least = min(
        sum(abs(a - b) for a, b in zip(order, reversed(order), strict=True)) // 2
        for order in itertools.permutations(widths)
    )
    assert hung(data).measures.mirror_error_mm == least


@given(
    st.lists(st.integers(100, 900), min_size=1, max_size=20),
    st.integers(20_000, 40_000),
)
def test_scaling_by_two_scales_gaps_by_two(widths, length):
    def gap(scale):
        pieces = [piece(f"P{n}", w * scale) for n, w in enumerate(widths)]
        return hung(problem([wall(length=length * scale)], pieces)).measures.smallest_gap_mm

    assert abs(gap(2) - 2 * gap(1)) <= 1


@SLOW
@given(st.lists(st.integers(100, 900), min_size=2, max_size=8), st.randoms(use_true_random=False))
def test_order_of_input_changes_no_measure(widths, dice):
    walls = [wall(length=9000, blocked=[DOOR])]
    pieces = [piece(f"P{n}", w) for n, w in enumerate(widths)]
    shuffled = pieces.copy()
    dice.shuffle(shuffled)
    one, other = hung(problem(walls, pieces)), hung(problem(walls, shuffled))
    assert one.measures.smallest_gap_mm == other.measures.smallest_gap_mm


@SLOW
@given(st.lists(st.integers(100, 600), min_size=1, max_size=7), st.integers(1, 300))
def test_wider_piece_never_widens_the_gap_and_more_wall_never_narrows_it(widths, more):
    def least(widths, length):
        pieces = [piece(f"P{n}", w) for n, w in enumerate(widths)]
        return hung(problem([wall(length=length, blocked=[DOOR])], pieces))

    plain = least(widths, 9000).measures.smallest_gap_mm
    assert least([widths[0] + more, *widths[1:]], 9000).measures.smallest_gap_mm <= plain
    assert least(widths, 9000 + more).measures.smallest_gap_mm >= plain


@SLOW
@given(st.permutations(range(6)))
def test_given_order_is_kept(order):
    names = [f"P{n}" for n in order]
    pieces = [piece(f"P{n}", 200 + 90 * n) for n in range(6)]
    data = problem([wall(length=9000, blocked=[DOOR])], pieces, order=names)
    assert [p.id for p in hung(data).placements] == names


def test_nothing_moves_when_nothing_changed():
    data = problem([wall(length=42_000, blocked=[{**DOOR, "x_mm": 9000}])], sixty())
    first = hung(data)
    again = hung(data | {"previous": first.to_dict()})
    assert again.measures.moved == 0


def test_same_input_same_answer():
    data = problem([wall(length=42_000, blocked=[{**DOOR, "x_mm": 9000}])], sixty())
    one, other = solve(data).to_dict(), solve(data).to_dict()
    del one["seconds"], other["seconds"]
    assert one == other


def test_fixed_piece_stays_and_gaps_go_round_it():
    pieces = [piece(f"P{n}", 400) for n in range(6)]
    pieces[3] |= {"wall": "N", "x_mm": 2500}
    answer = hung(problem([wall(length=6000)], pieces))
    assert next(p.x_mm for p in answer.placements if p.id == "P3") == 2500


def test_together_stay_together_and_apart_part():
    pieces = [piece(f"P{n}", 300 + 40 * n) for n in range(8)]
    data = problem(
        [wall(length=9000, blocked=[DOOR])],
        pieces,
        together=[["P0", "P7"]],
        apart=[{"pieces": ["P1", "P2"], "at_least_mm": 1500}],
    )
    assert hung(data).status == "optimal"


@pytest.mark.parametrize("kind", ["spiral", "rows of rows"])
def test_kind_not_known_is_invalid(kind):
    answer = solve(problem([wall()], [piece("A", 300)], kind=kind))
    assert answer.status == "invalid"
    assert f"arrangement.kind is '{kind}'" in answer.conflicts[0].sentence
