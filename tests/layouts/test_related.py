"""Orders that keep related pieces near: published rows, every order of short rows, faults."""

from dataclasses import replace
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layouts.bench.near_rows import generated, published
from layouts.bench.published_rows import PUBLISHED
from layouts.related import nearest_order
from layouts.related.checks import cost_mm, faults


@pytest.mark.parametrize("name", PUBLISHED)
def test_published_row_is_proved(name):
    cost, lengths, pairs = published(name)
    answer = nearest_order(lengths, pairs)
    assert faults(answer, lengths, pairs) == []
    assert (answer.cost_mm, answer.proved) == (cost, True)


@st.composite
def short_rows(draw):
    count = draw(st.integers(1, 7))
    widths = draw(st.lists(st.integers(0, 12), min_size=count, max_size=count))
    pair = st.tuples(st.integers(0, count - 1), st.integers(0, count - 1), st.integers(0, 5))
    pairs = [p for p in draw(st.lists(pair, max_size=9)) if p[0] != p[1]]
    return widths, pairs, draw(st.integers(0, 6))


@settings(max_examples=40, deadline=None)
@given(short_rows())
def test_no_order_is_better(row):
    widths, pairs, gap = row
    answer = nearest_order(widths, pairs, gap_mm=gap)
    assert faults(answer, widths, pairs, gap_mm=gap) == []
    assert answer.proved
    best = min(cost_mm(order, widths, pairs, gap) for order in permutations(range(len(widths))))
    assert answer.cost_mm == best


def adjacent(order, block):
    places = [order.index(i) for i in block]
    return max(places) - min(places) == len(block) - 1


@settings(max_examples=30, deadline=None)
@given(short_rows(), st.permutations(range(7)), st.booleans())
def test_no_order_with_blocks_is_better(row, shuffled, in_order):
    widths, pairs, gap = row
    pieces = [i for i in shuffled if i < len(widths)]
    outer = [pieces[:4], pieces[4:]] if in_order else [pieces[:4]]
    blocks = [block for block in [*outer, pieces[1:3]] if block]
    answer = nearest_order(widths, pairs, gap_mm=gap, blocks=blocks, blocks_in_order=in_order)
    kept = {"blocks": blocks, "blocks_in_order": in_order}
    assert faults(answer, widths, pairs, gap_mm=gap, **kept) == []
    assert answer.proved
    allowed = (
        order
        for order in permutations(range(len(widths)))
        if all(adjacent(order, block) for block in blocks)
        and (not in_order or set(order[:4]) == set(pieces[:4]))
    )
    assert answer.cost_mm == min(cost_mm(order, widths, pairs, gap) for order in allowed)


def test_pieces_without_relations_keep_the_order_of_the_input():
    answer = nearest_order([300] * 7, [(1, 5, 1), (5, 6, 2)], gap_mm=50)
    assert answer.order == (0, 1, 5, 6, 2, 3, 4)


def test_blocks_without_relations_keep_the_order_of_the_input():
    kept = {"blocks": [(3, 4, 5), (0, 1, 2)], "blocks_in_order": True}
    answer = nearest_order([300] * 6, [(2, 5, 1)], **kept)
    assert answer.order == (3, 4, 5, 2, 0, 1)
    assert nearest_order([300] * 6, [], **kept).order == (3, 4, 5, 0, 1, 2)


def test_gap_counts_between_neighbours():
    """Three pieces of 100, 200 and 300 mm in a row, 50 mm apart: centres at 50, 250 and 550 mm."""
    answer = nearest_order([100, 200, 300], [(0, 1, 1), (1, 2, 1)], gap_mm=50)
    assert (answer.order, answer.cost_mm) == ((0, 1, 2), 500)


def test_long_parts_that_no_pair_joins_are_still_proved():
    widths, pairs = generated(60, 3)
    parted = [(a, b, w) for a, b, w in pairs if a // 12 == b // 12]
    answer = nearest_order(widths, parted, gap_mm=80)
    assert faults(answer, widths, parted, gap_mm=80) == []
    assert answer.proved


@pytest.mark.parametrize("count", [24, 60, 170])
def test_same_seed_same_order_beside_a_bound(count):
    widths, pairs = generated(count, 1)
    answer = nearest_order(widths, pairs, gap_mm=80, steps=4, seed=5)
    assert faults(answer, widths, pairs, gap_mm=80) == []
    assert answer.stopped == ""
    assert 0 < answer.bound_twice < answer.cost_twice < 2 * cost_mm(range(count), widths, pairs, 80)
    assert nearest_order(widths, pairs, gap_mm=80, steps=4, seed=5) == answer


@pytest.mark.parametrize("in_order", [False, True])
def test_long_rows_with_blocks_beat_the_order_given(in_order):
    widths, pairs = generated(150, 2)
    blocks = [range(n, n + 25) for n in range(0, 150, 25)] + [(3, 4)]
    kept = {"blocks": blocks, "blocks_in_order": in_order}
    answer = nearest_order(widths, pairs, gap_mm=80, steps=60, **kept)
    assert faults(answer, widths, pairs, gap_mm=80, **kept) == []
    assert answer.cost_mm < cost_mm(range(150), widths, pairs, 80)


def test_search_alone_reaches_published_costs():
    """The search for long rows, asked for a row whose least cost is known."""
    import numpy as np

    from layouts.related.bound import bound_twice
    from layouts.related.nesting import search
    from layouts.related.row import Row, grouped
    from layouts.related.search import Effort

    for name in ("S10", "P15"):
        cost, lengths, pairs = published(name)
        row = Row.of(lengths, pairs, 0)
        effort = Effort(60)
        order = search(row, grouped(len(lengths), ()), np.random.default_rng(0), effort)
        assert row.cost_twice(order) == 2 * cost
        assert 0.9 * 2 * cost < bound_twice(row) <= 2 * cost


@settings(max_examples=25, deadline=None)
@given(short_rows())
def test_every_bound_is_below_the_least_cost(row):
    from layouts.related import bound, cheap_bounds
    from layouts.related.row import Row

    widths, pairs, gap = row
    numbers = Row.of(widths, pairs, gap)
    least = nearest_order(widths, pairs, gap_mm=gap).cost_twice
    assert 2 * cheap_bounds.by_stars_mm(numbers) <= least + 1e-6
    assert 2 * cheap_bounds.by_spectrum_mm(numbers) <= least + 1e-6
    assert bound.own_halves_twice(numbers) + bound._by_threes(numbers) <= least
    assert bound.bound_twice(numbers) <= least


@settings(max_examples=15, deadline=None)
@given(short_rows(), st.permutations(range(7)))
def test_names_do_not_matter(row, shuffled):
    widths, pairs, gap = row
    names = [i for i in shuffled if i < len(widths)]
    renamed = [(names.index(a), names.index(b), weight) for a, b, weight in pairs]
    other = nearest_order([widths[i] for i in names], renamed, gap_mm=gap)
    assert other.cost_twice == nearest_order(widths, pairs, gap_mm=gap).cost_twice


def test_cancelled_search_says_so_and_is_still_right():
    widths, pairs = generated(60, 4)
    answer = nearest_order(widths, pairs, gap_mm=80, cancelled=lambda: True)
    assert faults(answer, widths, pairs, gap_mm=80) == []
    assert answer.stopped == "cancelled"


def test_progress_rises_to_the_whole():
    widths, pairs = generated(50, 4)
    shares = []
    nearest_order(widths, pairs, steps=100, on_progress=shares.append)
    assert shares == sorted(shares)
    assert shares[-1] == 1.0
    assert len(shares) > 2


@pytest.mark.parametrize(
    "wrong",
    [
        {"near": [(0, 3, 1)]},
        {"near": [(1, 1, 1)]},
        {"near": [(0, 1, -1)]},
        {"gap_mm": -1},
        {"widths_mm": [1, -2, 3]},
        {"blocks": [[0, 1], [1, 2]]},
        {"blocks": [[0, 5]]},
        {"blocks": [[0, 1]], "blocks_in_order": True},
    ],
)
def test_what_cannot_be_read_is_refused(wrong):
    with pytest.raises(ValueError, match=r"must|Block"):
        nearest_order(**({"widths_mm": [1, 2, 3], "near": [(0, 1, 1)]} | wrong))


@pytest.mark.parametrize(
    ("plant", "words"),
    [
        (lambda a: replace(a, order=a.order[:-1]), "once"),
        (lambda a: replace(a, order=(a.order[-1], *a.order[:-1])), "costs"),
        (lambda a: replace(a, cost_twice=a.cost_twice - 1), "costs"),
        (lambda a: replace(a, bound_twice=a.cost_twice + 1), "bound"),
        (lambda a: replace(a, order=(0, 2, 1, 3, 4, 5)), "interrupted"),
        (lambda a: replace(a, order=(3, 4, 5, 0, 1, 2)), "out of order"),
    ],
)
def test_planted_faults_are_found(plant, words):
    widths = [110, 220, 330, 440, 550, 660]
    pairs = [(0, 3, 2), (1, 4, 1), (2, 5, 3), (0, 1, 1)]
    kept = {"blocks": [(0, 1), (0, 1, 2), (3, 4, 5)], "blocks_in_order": True}
    answer = nearest_order(widths, pairs, gap_mm=70, **kept)
    assert faults(answer, widths, pairs, gap_mm=70, **kept) == []
    assert any(words in fault for fault in faults(plant(answer), widths, pairs, gap_mm=70, **kept))
