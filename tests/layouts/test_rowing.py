"""Splits into rows: every split of a few pieces, sums that must come out even, planted faults."""

import random
from dataclasses import replace
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layouts.rowing import split_rows
from layouts.rowing.checks import faults


def generated(count, seed):
    dice = random.Random(seed)  # noqa: S311
    widths = [dice.randint(150, 900) for _ in range(count)]
    return widths, [dice.randint(150, 900) for _ in range(count)]


def every_split(count, rows):
    for where in product(range(rows), repeat=count):
        split = [[i for i in range(count) if where[i] == r] for r in range(rows)]
        if all(split):
            yield split


def spread(split, widths, length, margins):
    sums = [sum(widths[i] for i in row) for row in split]
    if length is not None:
        sums = [
            Fraction(2 * (length - width), margins + 2 * len(row) - 2)
            for width, row in zip(sums, split, strict=True)
        ]
    return max(sums) - min(sums)


@st.composite
def few_pieces(draw):
    rows = draw(st.integers(2, 3))
    widths = draw(st.lists(st.integers(0, 60), min_size=rows, max_size=7 if rows == 2 else 6))
    length = draw(st.one_of(st.none(), st.integers(100, 400)))
    return widths, rows, length, draw(st.integers(0, 2)), draw(st.integers(1, 2))


@settings(max_examples=30, deadline=None)
@given(few_pieces())
def test_no_split_is_evener(task):
    widths, rows, length, left, right = task
    known = {"length_mm": length, "left": left, "right": right}
    answer = split_rows(widths, rows, **known, enough_mm=0, kicks=4)
    assert faults(answer, widths, rows, **known) == []
    best = min(spread(s, widths, length, left + right) for s in every_split(len(widths), rows))
    assert answer.proved
    assert answer.bound_mm <= best <= answer.spread_mm <= best + Fraction(1, 50)
    assert length is not None or answer.spread_mm == best


@settings(max_examples=20, deadline=None)
@given(few_pieces(), st.integers(0, 20), st.randoms(use_true_random=False))
def test_no_even_split_is_below_the_height_bound(task, allowed, dice):
    widths, rows, length, left, right = task
    heights = [dice.randint(0, 50) for _ in widths]
    known = {"length_mm": length, "left": left, "right": right, "heights_mm": heights}
    answer = split_rows(widths, rows, **known, spread_at_most_mm=allowed, kicks=4)
    assert faults(answer, widths, rows, **known) == []
    even = [
        split
        for split in every_split(len(widths), rows)
        if spread(split, widths, length, left + right) <= max(allowed, answer.spread_mm)
    ]
    lowest = min(sum(max(heights[i] for i in row) for row in split) for split in even)
    assert answer.height_bound_mm <= lowest <= answer.height_mm


@pytest.mark.parametrize("count", [24, 120, 1000])
@pytest.mark.parametrize("rows", [2, 4])
def test_many_pieces_come_out_within_a_millimetre(count, rows):
    widths, _ = generated(count, count + rows)
    answer = split_rows(widths, rows)
    assert faults(answer, widths, rows) == []
    assert (answer.spread_mm, answer.proved) == (int(sum(widths) % rows > 0), True)
    length = (sum(widths) + 100 * (count + rows)) // rows
    answer = split_rows(widths, rows, length_mm=length)
    assert faults(answer, widths, rows, length_mm=length) == []
    assert answer.spread_mm <= Fraction(1, 2)


def test_perfect_partition_is_found():
    """Twenty pieces cut at random from four rows of 3 m: the even split exists."""
    dice = random.Random(8)  # noqa: S311
    widths = []
    for _ in range(4):
        cuts = sorted(dice.sample(range(1, 3000), 4))
        widths += [b - a for a, b in zip([0, *cuts], [*cuts, 3000], strict=True)]
    answer = split_rows(widths, 4)
    assert (answer.widths_mm, answer.proved) == ((3000,) * 4, True)


def test_shelves_of_one_height_each_are_found():
    """Rows of one height each, mixed in the input: 900 + 500 + 200 mm is the lowest."""
    widths = [300, 400, 500] * 4
    heights = [900, 500, 200] * 4
    widths = [400] * 12
    answer = split_rows(widths, 3, heights_mm=heights, spread_at_most_mm=0)
    assert (answer.heights_mm, answer.height_bound_mm) == ((900, 500, 200), 1600)


def test_lower_rows_where_evenness_leaves_room():
    widths, heights = generated(40, 6)
    known = {"heights_mm": heights, "length_mm": sum(widths) // 3 + 1500}
    even = split_rows(widths, 3, **known)
    low = split_rows(widths, 3, **known, spread_at_most_mm=10)
    assert faults(low, widths, 3, **known) == []
    assert low.spread_mm <= 10
    assert low.height_bound_mm <= low.height_mm < even.height_mm


def test_same_seed_same_rows():
    widths, heights = generated(11, 9)
    known = {"heights_mm": heights, "spread_at_most_mm": 10, "seed": 3, "kicks": 30}
    assert split_rows(widths, 4, **known) == split_rows(widths, 4, **known)


def test_ten_times_as_wide_ten_times_the_spread():
    widths, _ = generated(8, 2)
    answer = split_rows(widths, 3)
    wider = split_rows([10 * width for width in widths], 3)
    assert wider.spread_mm == 10 * answer.spread_mm


def test_cancelled_search_says_so_and_is_still_right():
    widths, _ = generated(9, 1)
    answer = split_rows(widths, 3, cancelled=lambda: True)
    assert faults(answer, widths, 3) == []
    assert (answer.stopped, answer.proved) == ("cancelled", False)


@pytest.mark.parametrize(
    "wrong",
    [
        {"rows": 1},
        {"rows": 7},
        {"widths_mm": [5], "heights_mm": [5]},
        {"heights_mm": [1]},
        {"widths_mm": [1, -1, 3]},
        {"length_mm": -1},
        {"length_mm": 9, "left": 0, "right": 0},
    ],
)
def test_what_cannot_be_read_is_refused(wrong):
    with pytest.raises(ValueError, match=r"must|cannot"):
        split_rows(**({"widths_mm": [1, 2, 3], "rows": 2} | wrong))


@pytest.mark.parametrize(
    ("plant", "words"),
    [
        (lambda a: replace(a, rows=(a.rows[0], a.rows[1][1:])), "once"),
        (lambda a: replace(a, rows=(a.rows[0] + a.rows[1], ())), "with a piece"),
        (lambda a: replace(a, rows=a.rows[::-1]), "wide"),
        (lambda a: replace(a, heights_mm=(a.heights_mm[0] - 1, a.heights_mm[1])), "high"),
        (lambda a: replace(a, levels_mm=(a.levels_mm[0] + 1, a.levels_mm[1])), "fill"),
        (lambda a: replace(a, bound_mm=a.spread_mm + 1), "bound is higher than the spread"),
        (lambda a: replace(a, height_bound_mm=a.height_mm + 1), "bound is higher than the rows"),
    ],
)
def test_planted_faults_are_found(plant, words):
    widths, heights = generated(7, 5)
    known = {"heights_mm": heights, "length_mm": 4000}
    answer = split_rows(widths, 2, **known)
    assert faults(answer, widths, 2, **known) == []
    assert any(words in fault for fault in faults(plant(answer), widths, 2, **known))
