"""The sum before computing: metres asked against metres there."""

from math import ceil, sqrt

import pytest

from exhibit_core.hangs.fit import Fit, area_fit, fit
from layouts.problem import Arrangement, Blocked, Label, Piece, Problem, Wall, Zone

DOOR = Blocked(4000, 0, 1000, 2100, "door")
WALL = Wall("N", 10_000, 3600, (DOOR,), (Zone(0, 3000, 50), Zone(3000, 10_000, 150)))
LABEL = Label(150, 100, "right", 40)


def test_sum_counts_widths_labels_gaps_and_only_clear_and_dim_wall():
    pieces = (Piece("A", 400, 600, max_lux=50, label=LABEL), Piece("B", 600, 600, label=LABEL))
    rows = fit(Problem((WALL,), pieces, Arrangement(min_gap_mm=100)))
    assert rows == [
        Fit(None, 2, 400 + 600 + 2 * (190 + 100), 9000),
        Fit(50, 1, 400 + 190 + 100, 3000),
    ]
    assert [(row.short_mm, row.spare_mm) for row in rows] == [(0, 7420), (0, 2310)]


def test_sum_says_how_much_is_short():
    pieces = tuple(Piece(f"A{n}", 1000, 600, max_lux=50) for n in range(4))
    rows = fit(Problem((WALL,), pieces, Arrangement(min_gap_mm=100)))
    assert [(row.limit_lux, row.short_mm) for row in rows] == [(None, 0), (50, 1400)]


def test_fixed_piece_brings_its_own_place():
    pieces = (Piece("A", 400, 600, wall="N", x_mm=1000), Piece("B", 600, 600))
    (row,) = fit(Problem((WALL,), pieces, Arrangement(min_gap_mm=100)))
    assert (row.asked_mm, row.there_mm) == (500 + 700, 9000)


def test_nothing_to_hang_has_no_sum():
    assert fit(Problem((WALL,), ())) == []


def test_every_row_has_the_clear_wall():
    pieces = tuple(Piece(f"A{n}", 1000, 600) for n in range(8))
    rule = Arrangement(kind="rows", rows=2, min_gap_mm=100)
    (row,) = fit(Problem((Wall("N", 5_000, 3600),), pieces, rule))
    assert (row.asked_mm, row.there_mm, row.short_mm) == (8_800, 10_000, 0)


def test_tight_groups_are_summed_by_area():
    """Each box with one gap, (900 + 100) x (700 + 100) mm; the wall's band is as high as a group
    may become, 1.3 times the side of a square of that area."""
    pieces = (Piece("A", 900, 700), Piece("B", 900, 700))
    rule = Arrangement(kind="cluster", min_gap_mm=100)
    found = area_fit(Problem((Wall("N", 5_000, 3600),), pieces, rule))
    side = ceil(1.3 * sqrt(2 * 1000 * 800))
    assert (found.pieces, found.asked_m2) == (2, 1.6)
    assert found.there_m2 == pytest.approx(5_100 * (side + 100) / 1e6)
    assert found.short_m2 == 0
    assert area_fit(Problem((WALL,), (), rule)) is None
