"""The dimming that keeps every limit and is otherwise as bright as can be."""

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from conservation.photometry import Lit, dim
from conservation.photometry.checks import dimming_faults
from conservation.photometry.model import PhotometryError
from conservation.ranges import OutOfRangeError


@st.composite
def tasks(draw, most=3):
    lamps = draw(st.integers(1, most))
    points = draw(st.integers(1, 3))
    pieces = []
    for n in range(draw(st.integers(1, 3))):
        size = lamps * points
        levels = draw(st.lists(st.sampled_from([0, 5, 20, 60, 90]), min_size=size, max_size=size))
        limit = draw(st.sampled_from([None, 50, 50, 200]))
        other = draw(st.sampled_from([0, 0, 10, 60]))
        pieces.append(Lit(f"P{n}", np.reshape(levels, (lamps, points)) * 1.0, limit, other))
    return [f"L{n}" for n in range(lamps)], pieces


@given(tasks())
def test_limits_are_kept_and_nothing_is_left_to_gain(task):
    names, pieces = task
    assert dimming_faults(names, pieces, dim(names, pieces)) == []


@given(tasks(most=3))
def test_the_worst_share_against_all_corners(task):
    """A plain search of every corner of the limits, solved as small systems of equations."""
    names, pieces = task
    limited = [
        piece
        for piece in pieces
        if piece.max_lux is not None and piece.max_lux > piece.other_lux and piece.lux.any()
    ]
    # A piece whose other light is too much puts lamps out: left to the tests below.
    if not limited or any(
        p.max_lux is not None and p.max_lux <= p.other_lux and p.lux.any() for p in pieces
    ):
        return
    room = [piece.max_lux - piece.other_lux for piece in limited]
    # What lamps can bring to less than a tenth of its limit does not count in this aim.
    alone = 1 / np.max(
        [np.ones(len(names))] + [p.lux.max(axis=1) / r for p, r in zip(limited, room, strict=True)],
        axis=0,
    )
    if any((alone @ p.lux).mean() / r < 0.1001 for p, r in zip(limited, room, strict=True)):
        return
    found = dim(names, pieces)
    use = np.array([item.dimming for item in found.luminaires])
    ours = min((use @ p.lux).mean() / r for p, r in zip(limited, room, strict=True))
    assert ours == pytest.approx(best_worst_share(limited, room, len(names)), abs=1e-6)


def best_worst_share(limited, room, lamps) -> float:
    rows = [
        np.append(p.lux[:, n] / r, 0.0)
        for p, r in zip(limited, room, strict=True)
        for n in range(p.lux.shape[1])
    ]
    bounds = [1.0] * len(rows)
    for p, r in zip(limited, room, strict=True):
        rows.append(np.append(-p.lux.mean(axis=1) / r, 1.0))
        bounds.append(0.0)
    for n in range(lamps):
        unit = np.eye(lamps + 1)[n]
        rows += [unit, -unit]
        bounds += [1.0, 0.0]
    table, limit = np.array(rows), np.array(bounds)
    best = 0.0
    for chosen in combinations(range(len(table)), lamps + 1):
        square = table[list(chosen)]
        if abs(np.linalg.det(square)) < 1e-9:
            continue
        corner = np.linalg.solve(square, limit[list(chosen)])
        if (table @ corner <= limit + 1e-9).all():
            best = max(best, corner[-1])
    return best


def test_one_lamp_over_two_pieces():
    """By hand: 80 lx at full output is 50 at 0.625; the other piece would bear 200."""
    found = dim(["L"], [Lit("A", np.array([[80.0, 40]]), 50), Lit("B", np.array([[90.0]]), 200)])
    assert found.luminaires[0].dimming == pytest.approx(0.625)
    assert found.luminaires[0].bound_by == "A"
    assert [round(piece.max_lux, 6) for piece in found.pieces] == [50, 56.25]
    assert found.kept


def test_the_piece_in_the_way_of_each_lamp_is_named():
    """By hand: L1 and L2 light a piece each, L3 neither to its limit, L4 nothing at all."""
    lux = np.array([[100.0, 0, 0], [0, 200, 0], [0, 0, 30], [0, 0, 0]])
    pieces = [Lit(f"P{n}", lux[:, n : n + 1], 50) for n in range(3)]
    found = dim(["L1", "L2", "L3", "L4"], pieces)
    got = [(round(item.dimming, 6), item.bound_by) for item in found.luminaires]
    assert got == [(0.5, "P0"), (0.25, "P1"), (1, None), (1, None)]


def test_the_worst_lit_piece_comes_first():
    """By hand: for the sum, L2 alone would serve; then piece C would stay dark."""
    both = Lit("A", np.array([[50.0], [50.0]]), 50)
    second = Lit("B", np.array([[0.0], [50.0]]), 50)
    dark = Lit("C", np.array([[25.0], [0.0]]), 50)
    found = dim(["L1", "L2"], [both, second, dark])
    assert [round(item.dimming, 6) for item in found.luminaires] == pytest.approx(
        [2 / 3, 1 / 3], abs=1e-5
    )


def test_other_light_takes_its_part():
    piece = Lit("A", np.array([[80.0]]), 50, other_lux=10)
    found = dim(["L"], [piece])
    assert found.luminaires[0].dimming == pytest.approx(0.5)
    assert found.pieces[0].max_lux == pytest.approx(50)
    too_much = dim(["L", "M"], [replace(piece, lux=np.array([[80.0], [0]]), other_lux=60)])
    assert [(i.dimming, i.bound_by) for i in too_much.luminaires] == [(0, "A"), (1, None)]
    assert not too_much.kept
    assert too_much.pieces[0].max_lux == 60


def test_a_piece_without_limit_holds_nothing_back():
    found = dim(["L"], [Lit("A", np.array([[8000.0]]))])
    assert found.luminaires[0].dimming == 1
    assert found.pieces[0].limit_lux is None


def test_many_points_bring_in_only_what_binds():
    rng = np.random.default_rng(5)
    pieces = [Lit(f"P{n}", rng.uniform(0, 60, (12, 400)), 50) for n in range(15)]
    names = [f"L{n}" for n in range(12)]
    found = dim(names, pieces)
    assert dimming_faults(names, pieces, found) == []
    assert all(piece.max_lux <= 50 * (1 + 1e-9) for piece in found.pieces)


def test_stray_light_does_not_decide():
    """By hand: the far piece gets 0.1 % of its limit at most; the near one stays at its limit."""
    far = Lit("far", np.array([[0.01], [0.05]]), 50)
    found = dim(["L1", "L2"], [Lit("A", np.array([[100.0], [5000]]), 50), far])
    assert found.pieces[0].max_lux == pytest.approx(50)
    assert found.luminaires[0].dimming == pytest.approx(0.5)


@pytest.mark.parametrize("seed", range(40))
def test_levels_of_very_different_size(seed):
    """From a thousandth of a lux to 100 000 lx: verified by code that the search does not use."""
    rng = np.random.default_rng(seed)
    lamps, pieces = int(rng.integers(1, 12)), []
    for n in range(rng.integers(1, 10)):
        size = 10 ** rng.uniform(-3, 5)
        reach = rng.random((lamps, 1)) < 0.5
        lux = rng.uniform(0, 1, (lamps, int(rng.integers(1, 8)))) ** 4 * size * reach
        limit, other = rng.choice([None, 5, 50, 200, 0]), float(rng.choice([0, 0, 3, 49]))
        pieces.append(Lit(f"P{n}", lux, limit, other))
    names = [f"L{n}" for n in range(lamps)]
    assert dimming_faults(names, pieces, dim(names, pieces)) == []


def test_a_planted_fault_is_found():
    pieces = [Lit("A", np.array([[80.0], [40.0]]), 50)]
    good = dim(["L", "M"], pieces)
    worse = replace(good, luminaires=(replace(good.luminaires[0], dimming=1), good.luminaires[1]))
    assert "A has" in dimming_faults(["L", "M"], pieces, worse)[0]
    less = tuple(replace(item, dimming=item.dimming / 2) for item in good.luminaires)
    assert any(
        "brighter" in f for f in dimming_faults(["L", "M"], pieces, replace(good, luminaires=less))
    )
    assert dimming_faults(["L"], [Lit("A", np.array([[80.0]]), 50)], good)


@pytest.mark.parametrize(
    ("names", "pieces", "words"),
    [
        ([], [Lit("A", np.ones((0, 1)), 50)], "1 to 2000 luminaires"),
        (["L"], [], "1 to 2000 pieces"),
        (["L", "L"], [Lit("A", np.ones((2, 1)), 50)], "a luminaire stands twice|A luminaire"),
        (["L"], [Lit("A", np.ones((2, 1)), 50)], "row of levels"),
        (["L"], [Lit("A", np.full((1, 1), np.nan), 50)], "finite"),
    ],
)
def test_tasks_that_make_no_sense(names, pieces, words):
    with pytest.raises(PhotometryError, match=words):
        dim(names, pieces)


@pytest.mark.parametrize("values", [{"max_lux": -1}, {"other_lux": float("nan")}])
def test_limits_outside_their_range(values):
    with pytest.raises(OutOfRangeError):
        dim(["L"], [replace(Lit("A", np.ones((1, 1)), 50), **values)])
