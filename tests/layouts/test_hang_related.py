"""Hangs that keep related pieces near: published rows, every order, several runs."""

from fractions import Fraction
from itertools import permutations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from layouts import Problem, check, solve
from layouts.bench.near_rows import published
from layouts.bench.published_rows import PUBLISHED
from tests.layouts.problems import DOOR, piece, problem, wall

SLOW = settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def related(walls, widths, pairs, together=(), apart=(), **rule):
    pieces = [piece(f"P{n}", width) for n, width in enumerate(widths)]
    near = [{"pieces": [f"P{a}", f"P{b}"], "weight": weight} for a, b, weight in pairs]
    return problem(walls, pieces, together, apart, kind="related", **rule) | {"near": near}


def hung(data):
    answer = solve(data, seconds=20)
    assert check(Problem.from_dict(data), answer) == []
    assert answer.bound["relation_cost_mm"] <= answer.measures.relation_cost_mm
    return answer


@pytest.mark.parametrize("name", PUBLISHED)
def test_published_row_hung_without_gaps(name):
    """On one long wall without gaps this is the published problem: see `published_rows`."""
    cost, lengths, pairs = published(name)
    answer = hung(related([wall()], lengths, pairs, ends="free", max_gap_mm=0))
    assert (answer.status, answer.measures.relation_cost_mm) == ("optimal", cost)
    assert answer.bound["relation_cost_mm"] == cost


def cost_of(order, widths, pairs, gap):
    at, centre = Fraction(0), {}
    for n in order:
        centre[n] = at + Fraction(widths[n], 2)
        at += widths[n] + gap
    return sum(weight * abs(centre[a] - centre[b]) for a, b, weight in pairs)


@st.composite
def rows(draw):
    count = draw(st.integers(2, 6))
    widths = draw(st.lists(st.integers(100, 900), min_size=count, max_size=count))
    pair = st.tuples(st.integers(0, count - 1), st.integers(0, count - 1), st.integers(1, 5))
    pairs = [p for p in draw(st.lists(pair, min_size=1, max_size=7)) if p[0] != p[1]]
    return widths, pairs, draw(st.integers(6000, 9000))


@SLOW
@given(rows())
def test_no_order_on_one_wall_is_nearer(row):
    """Places are whole millimetres: each pair may differ by 1 mm from the exact gaps."""
    widths, pairs, length = row
    answer = hung(related([wall(length=length)], widths, pairs))
    gap = Fraction(length - sum(widths), len(widths) + 1)
    best = min(cost_of(o, widths, pairs, gap) for o in permutations(range(len(widths))))
    assert answer.status == "optimal"
    assert abs(answer.measures.relation_cost_mm - best) <= sum(weight for *_, weight in pairs)
    assert answer.measures.gap_spread_mm <= 1


@SLOW
@given(rows())
def test_together_stays_together_on_one_wall(row):
    widths, pairs, length = row
    data = related([wall(length=length)], widths, pairs, together=[["P0", "P1"]])
    gap = Fraction(length - sum(widths), len(widths) + 1)
    best = min(
        cost_of(o, widths, pairs, gap)
        for o in permutations(range(len(widths)))
        if abs(o.index(0) - o.index(1)) == 1
    )
    answer = hung(data)
    assert answer.status == "optimal"
    assert abs(answer.measures.relation_cost_mm - best) <= sum(weight for *_, weight in pairs)


PAIRS = [(0, 7, 5), (1, 6, 5), (2, 5, 5), (3, 4, 5)]


def test_pairs_from_both_ends_of_the_list_come_to_hang_beside_each_other():
    widths = [300, 320, 340, 360, 380, 400, 420, 440]
    walls = [wall(length=9000, blocked=[DOOR])]
    answer = hung(related(walls, widths, PAIRS))
    names = [p.id for p in answer.placements]
    assert all(abs(names.index(f"P{a}") - names.index(f"P{b}")) == 1 for a, b, _ in PAIRS)
    even = solve(related(walls, widths, PAIRS) | {"arrangement": {"kind": "even"}})
    assert answer.measures.relation_cost_mm < even.measures.relation_cost_mm
    assert answer.status == "feasible"


def test_light_stays_and_order_within_it_is_nearest():
    zones = [{"from_mm": 0, "to_mm": 3000, "lux": 50}, {"from_mm": 3000, "to_mm": 6000, "lux": 150}]
    data = related([wall(zones=zones)], [300] * 6, [(0, 5, 3), (2, 3, 1)])
    for n in (3, 4, 5):
        data["pieces"][n]["max_lux"] = 50
    names = [p.id for p in hung(data).placements]
    assert names.index("P0") - names.index("P5") == 1


def test_near_a_piece_fixed_in_place():
    data = related([wall(length=9000)], [300] * 7, [(0, 6, 3)])
    data["pieces"][6] |= {"wall": "N", "x_mm": 6000}
    x = {p.id: p.x_mm for p in hung(data).placements}
    others = [abs(x[f"P{n}"] - 6000) for n in range(1, 6)]
    assert abs(x["P0"] - 6000) <= min(others) + 1


def test_walls_count_end_to_end():
    data = related([wall("N", 2000), wall("E", 3000)], [400, 600], [(0, 1, 2)])
    data["pieces"][0]["wall"], data["pieces"][1]["wall"] = "N", "E"
    answer = hung(data)
    assert [p.x_mm for p in answer.placements] == [800, 1200]
    assert answer.measures.relation_cost_mm == 2 * (2000 + 1500 - 1000)


def test_labels_that_move_centres_leave_nothing_proved():
    label = {"width_mm": 500, "height_mm": 100, "side": "left", "gap_mm": 40}
    data = related([wall()], [300, 400, 500], [(0, 2, 1)])
    data["pieces"][1]["label"] = label
    assert hung(data).status == "feasible"


def test_chained_groups_apart_and_previous():
    data = related(
        [wall(length=9000)],
        [300 + 10 * n for n in range(8)],
        PAIRS,
        together=[["P0", "P1"], ["P1", "P2"]],
        apart=[{"pieces": ["P3", "P4"], "at_least_mm": 2000}],
    )
    first = hung(data)
    assert hung(data | {"previous": first.to_dict()}).measures.moved == 0


def test_same_input_same_answer():
    data = related([wall(length=9000, blocked=[DOOR])], [300 + 10 * n for n in range(8)], PAIRS)
    one, other = solve(data).to_dict(), solve(data).to_dict()
    del one["seconds"], other["seconds"]
    assert one == other
