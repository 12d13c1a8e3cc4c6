"""Least disturbance: as few pieces as can be leave the run where they hung."""

import itertools
from copy import deepcopy

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layouts import Problem, check, solve
from layouts.bench.instances import exhibition
from layouts.geometry import clear_runs
from layouts.spacing import equal_gap_mm
from tests.layouts.problems import piece, problem, wall


def hung(data):
    answer = solve(data, seconds=20)
    assert check(Problem.from_dict(data), answer) == []
    assert answer.placements
    return answer


def run_of(data, answer):
    runs = clear_runs(Problem.from_dict(data))
    return {
        place.id: next(
            n
            for n, run in enumerate(runs)
            if run.wall.id == place.wall and run.from_mm <= place.x_mm < run.to_mm
        )
        for place in answer.placements
    }


def left(data, before, after):
    old, new = run_of(data, before), run_of(data, after)
    return sum(old[name] != new[name] for name in old.keys() & new.keys())


def test_nothing_moves_when_nothing_changed():
    data = exhibition(40, 3, 2, planted=False)
    first = hung(data)
    again = hung(data | {"previous": first.to_dict()})
    assert again.moves == ()
    assert again.placements == first.placements


def test_wider_piece_moves_only_its_own_run():
    data = exhibition(40, 3, 2, planted=False)
    first = hung(data)
    wider = deepcopy(data)
    wider["pieces"][0]["width_mm"] += 60
    again = hung(wider | {"previous": first.to_dict()})
    assert left(data, first, again) == 0
    home = run_of(data, first)
    moved = {home[move.id] for move in again.moves}
    assert moved == {home[data["pieces"][0]["id"]]}
    assert all(move.from_wall == move.to_wall for move in again.moves)


def test_moves_allowed_buy_evenness():
    pieces = [
        piece(name, width)
        for name, width in zip("ABCDEF", (900, 900, 900, 300, 300, 300), strict=True)
    ]
    data = problem([wall("N", 4000), wall("E", 4000)], pieces)
    uneven = {
        "placements": [
            {"id": p["id"], "wall": "N" if n < 3 else "E", "x_mm": 100 + 1200 * (n % 3)}
            for n, p in enumerate(pieces)
        ]
    }
    kept = hung(data | {"previous": uneven})
    bought = hung(data | {"previous": uneven, "moves_at_most": 2})
    assert left(data, kept, bought) == 2
    assert bought.measures.gap_spread_mm < kept.measures.gap_spread_mm


def fewest_by_trying(data, home):
    """Return the least number of pieces that must change run, by trying every share."""
    task = Problem.from_dict(data)
    runs = clear_runs(task)
    best = None
    for share in itertools.product(range(len(runs)), repeat=len(task.pieces)):
        fits = all(
            equal_gap_mm(
                length_mm=run.length_mm,
                widths_mm=[p.width_mm for p, s in zip(task.pieces, share, strict=True) if s == r],
            )
            >= task.arrangement.min_gap_mm
            for r, run in enumerate(runs)
            if r in share
        )
        if fits:
            moves = sum(
                home[p.id] != s for p, s in zip(task.pieces, share, strict=True) if p.id in home
            )
            best = moves if best is None else min(best, moves)
    return best


@settings(max_examples=15)
@given(
    st.lists(st.integers(200, 900), min_size=3, max_size=6),
    st.integers(0, 5),
    st.integers(100, 900),
)
def test_no_way_to_hang_moves_fewer(widths, which, more):
    pieces = [piece(f"P{n}", width) for n, width in enumerate(widths)]
    half = sum(widths) // 2 + 60 * len(widths)
    data = problem([wall("N", half + 300), wall("E", half + 300)], pieces, min_gap_mm=50)
    first = solve(data)
    if not first.placements:
        return
    changed = deepcopy(data)
    changed["pieces"][which % len(widths)]["width_mm"] += more
    again = solve(changed | {"previous": first.to_dict()})
    best = fewest_by_trying(changed, run_of(data, first))
    assert bool(again.placements) == (best is not None)
    if again.placements:
        assert left(changed, first, again) == best


@pytest.mark.parametrize("kind", ["mirrored", "rise", "centre_high", "related", "rows"])
def test_withdrawn_piece_moves_none_to_another_run(kind):
    pieces = [piece(f"P{n}", 300 + 37 * n, 300 + 20 * n) for n in range(9)]
    more = {"rows": 2} if kind == "rows" else {}
    data = problem([wall("N", 4000), wall("E", 4000)], pieces, kind=kind, **more)
    first = hung(data)
    fewer = data | {"pieces": pieces[:-1], "previous": first.to_dict()}
    assert left(data, first, hung(fewer)) == 0
