"""Bounds and packings of boxes in like cases, against exhaustive ways and by hand."""

from itertools import combinations_with_replacement

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layouts.cases.emptying import Emptying
from layouts.cases.folds import folds, least_rectangles
from tests.layouts.cases.examples import few

sides = st.lists(st.integers(1, 40), min_size=1, max_size=6)


@few(40)
@given(st.integers(2, 40), sides, st.data())
def test_what_fits_together_still_fits_when_folded(length, marks, data):
    """The defining property of a dual feasible function."""
    together, left = [], length
    for _ in range(data.draw(st.integers(1, 12))):
        if not left:
            break
        together.append(data.draw(st.integers(1, left)))
        left -= together[-1]
    for fold, whole in folds([m for m in marks if m <= length] or [length], length):
        assert sum(map(fold, together)) <= whole == fold(length)


@pytest.mark.parametrize("length", [6, 7, 12])
def test_folding_holds_for_every_way_to_fill_a_length(length):
    rows = folds(range(1, length + 1), length)
    for count in range(1, length + 1):
        for together in combinations_with_replacement(range(1, length + 1), count):
            if sum(together) <= length:
                assert all(sum(map(fold, together)) <= whole for fold, whole in rows)


@pytest.mark.parametrize(
    ("boxes", "least"),
    [
        ([], 0),
        ([(10, 10, False)], 1),
        ([(6, 6, False)] * 3, 3),
        ([(6, 4, False)] * 4, 2),
        ([(6, 4, False)] * 5, 3),
        ([(4, 4, True)] * 5, 2),
        ([(10, 6, True)] * 3, 3),
        ([(5, 5, True)] * 9, 3),
        ([(7, 3, True)] * 4, 1),
    ],
)
def test_bound_of_boxes_counted_by_hand(boxes, least):
    """In 10 by 10: boxes over half a side each way stand alone, five of 4 by 4 need two, and four
    of 7 by 3 fit round a hole."""
    assert least_rectangles(boxes, 10, 10) == least


def never(_found, _below):
    return None


def emptied(boxes, least, **more):
    start = [frozenset([n]) for n in range(len(boxes))]
    work = Emptying(boxes, 10, 10, more.get("masses", [0] * len(boxes)), more.get("most"), seed=1)
    work.found.update({held: dict.fromkeys(held, (0, 0, False)) for held in start})
    bins = work.fewest(start, least=least, steps=400, choose=never, stop=lambda: False)
    return bins, work.found


def test_four_boxes_round_a_hole_come_into_one_case():
    bins, found = emptied([(7, 3, True)] * 4, 1)
    assert len(bins) == 1
    cells = {
        (x + i, y + j)
        for n, (x, y, turned) in found[bins[0]].items()
        for i in range(3 if turned else 7)
        for j in range(7 if turned else 3)
    }
    assert len(cells) == 84
    assert cells <= {(x, y) for x in range(10) for y in range(10)}


@few(30)
@given(
    st.lists(
        st.tuples(st.integers(1, 10), st.integers(1, 10), st.booleans(), st.integers(0, 6)),
        min_size=1,
        max_size=9,
    )
)
def test_every_box_stands_once_inside_and_apart(rows):
    boxes, masses = [row[:3] for row in rows], [row[3] for row in rows]
    least = least_rectangles(boxes, 10, 10)
    bins, found = emptied(boxes, least, masses=masses, most=9)
    assert least <= len(bins)
    assert sorted(n for held in bins for n in held) == list(range(len(boxes)))
    for held in bins:
        assert sum(masses[n] for n in held) <= 9
        taken = set()
        for n, (x, y, turned) in found[held].items():
            w, d, turns = boxes[n]
            assert turns or not turned
            w, d = (d, w) if turned else (w, d)
            cells = {(x + i, y + j) for i in range(w) for j in range(d)}
            assert not cells & taken
            assert all(0 <= i < 10 and 0 <= j < 10 for i, j in cells)
            taken |= cells
