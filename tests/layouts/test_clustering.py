"""Tight groups: published packings, a general packing library, planted faults."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layouts.bench.library import by_library, generated, group_by_library, published
from layouts.bench.published_packings import PUBLISHED
from layouts.clustering import cluster, lowest_band
from layouts.clustering.checks import faults
from layouts.clustering.measure import Gaps, gaps, holes_mm2
from layouts.clustering.search import least_height


@pytest.mark.parametrize("name", PUBLISHED)
def test_published_least_height_is_proved(name):
    width, height, sizes = published(name)
    band = lowest_band(sizes, 0, width, trials=1200)
    assert overlaps(band.places_mm, sizes) == []
    assert all(x + w <= width for (x, _), (w, _) in zip(band.places_mm, sizes, strict=True))
    assert (band.height_mm, band.proved) == (height, True)
    assert band.height_mm <= by_library(sizes, width)[0]


def test_gap_in_a_strip_is_the_strip_of_larger_pieces():
    """Every piece a gap smaller and the gap between: the published packing once more."""
    width, height, sizes = published("BKW1")
    smaller = [(10 * w - 3, 10 * h - 3) for w, h in sizes]
    band = lowest_band(smaller, 3, 10 * width - 3)
    assert (band.height_mm, band.proved) == (10 * height - 3, True)


def overlaps(places, sizes):
    boxes = [(x, y, x + w, y + h) for (x, y), (w, h) in zip(places, sizes, strict=True)]
    return [
        (a, b)
        for a, one in enumerate(boxes)
        for b, other in enumerate(boxes[:a])
        if one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]
    ]


def test_groups_are_tighter_and_more_even_than_the_library_makes_them():
    """Every group is as tight; over all, more gaps are as asked and the rest are nearer to it."""
    even, spread, their_even, their_spread = 0.0, 0, 0.0, 0
    for count, seed in ((12, 1), (12, 2), (20, 1), (20, 2)):
        sizes = generated(count, seed)
        answer = cluster(sizes, 50, trials=600)
        assert faults(answer, sizes, 50) == []
        filled, places = group_by_library(sizes, 50, tries=5)
        theirs = gaps(places, sizes, 50)
        assert answer.filled >= filled
        even, their_even = even + answer.gaps.even_share, their_even + theirs.even_share
        spread, their_spread = spread + answer.gaps.spread_mm, their_spread + theirs.spread_mm
    assert even > their_even
    assert spread < their_spread


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.tuples(st.integers(1, 40), st.integers(1, 40)), min_size=1, max_size=9),
    st.integers(0, 6),
    st.one_of(st.none(), st.floats(0.3, 3)),
)
def test_every_group_is_right(sizes, gap, ratio):
    answer = cluster(sizes, gap, ratio=ratio, trials=30)
    assert faults(answer, sizes, gap) == []
    assert 0 < answer.filled <= 1
    assert answer.gaps.least_mm >= gap
    assert answer.fits


def test_equal_pieces_hang_in_a_grid():
    answer = cluster([(300, 200)] * 6, 40, trials=200)
    assert answer.filled == 1.0
    assert (answer.gaps, answer.holes_mm2) == (Gaps(40, 40, 1.0), ())


@pytest.mark.parametrize("ratio", [0.5, 1.0, 2.5])
def test_ratio_asked_is_met_about(ratio):
    answer = cluster(generated(20, 1), 50, ratio=ratio, trials=400)
    assert 0.85 < answer.width_mm / answer.height_mm / ratio < 1.18


def test_largest_width_and_height_are_kept_where_they_can_be():
    sizes = generated(20, 2)
    narrow = cluster(sizes, 50, max_width_mm=1900, trials=300)
    assert narrow.fits
    assert narrow.width_mm <= 1900
    area = sum((w + 50) * (h + 50) for w, h in sizes)
    low = area // (1950) // 2
    both = cluster(sizes, 50, max_width_mm=1900, max_height_mm=max(900, low), trials=100)
    assert not both.fits
    assert faults(both, sizes, 50) == []


def test_smaller_holes_where_asked():
    sizes = generated(25, 3)
    free = cluster(sizes, 50, trials=400)
    asked = free.largest_hole_mm2 // 2
    tight = cluster(sizes, 50, trials=400, largest_hole_mm2=asked)
    assert faults(tight, sizes, 50) == []
    assert tight.largest_hole_mm2 <= asked < free.largest_hole_mm2


def test_hole_in_a_pinwheel():
    """Four pieces of 30 by 20, five apart, round a blank of 15 by 15, less a gap: 10 by 10."""
    sizes = [(30, 20), (20, 30), (30, 20), (20, 30)]
    places = [(0, 0), (35, 0), (25, 35), (0, 25)]
    assert overlaps(places, sizes) == []
    assert holes_mm2(places, sizes, 5) == (100,)
    assert gaps(places, sizes, 5) == Gaps(5, 5, 1.0)


def test_notch_at_the_edge_is_no_hole():
    assert holes_mm2([(0, 0), (35, 0)], [(30, 20), (20, 30)], 5) == ()


def test_side_counts_its_nearest_piece():
    """A wide piece under two narrow ones, one of them 12 mm higher than the gap."""
    sizes = [(60, 10), (20, 20), (20, 20)]
    measured = gaps([(0, 0), (0, 15), (40, 27)], sizes, 5)
    assert (measured.least_mm, measured.largest_mm, measured.spread_mm) == (5, 20, 15)
    assert measured.even_share == 2 / 5


def corner_heights(sizes, width):
    """Yield the heights of all packings that set each piece down at lower left corners.

    Some lowest packing is pushed down and left, so that each piece's left edge is at 0 or at a
    right edge, and its lower edge at 0 or at an upper edge, of a piece set down before.
    """

    def placed(left, boxes):
        if not left:
            yield max(box[3] for box in boxes)
        for i in left:
            w, h = sizes[i]
            for x in {0, *(box[2] for box in boxes)}:
                for y in {0, *(box[3] for box in boxes)}:
                    box = (x, y, x + w, y + h)
                    if box[2] <= width and not any(
                        box[0] < b[2] and b[0] < box[2] and box[1] < b[3] and b[1] < box[3]
                        for b in boxes
                    ):
                        yield from placed(left - {i}, [*boxes, box])

    yield from placed(frozenset(range(len(sizes))), [])


@settings(max_examples=20, deadline=None)
@given(st.lists(st.tuples(st.integers(1, 9), st.integers(1, 9)), min_size=1, max_size=4))
def test_no_band_is_lower(sizes):
    band = lowest_band(sizes, 0, 12, trials=40)
    assert overlaps(band.places_mm, sizes) == []
    assert least_height(sizes, 12) <= band.bound_mm
    assert (band.height_mm, band.proved) == (min(corner_heights(sizes, 12)), True)


def test_same_seed_same_group():
    sizes = generated(15, 4)
    first = cluster(sizes, 50, trials=120, seed=7, largest_hole_mm2=9000)
    assert cluster(sizes, 50, trials=120, seed=7, largest_hole_mm2=9000) == first
    assert cluster(sizes, 50, trials=120, seed=8, largest_hole_mm2=9000) != first


def test_cancelled_search_says_so_and_is_still_right():
    sizes = generated(30, 5)
    answer = cluster(sizes, 50, cancelled=lambda: True)
    assert faults(answer, sizes, 50) == []
    assert answer.stopped == "cancelled"


def test_progress_rises_to_the_whole():
    shares = []
    cluster(generated(10, 5), 50, trials=100, on_progress=shares.append)
    assert shares == sorted(shares)
    assert shares[-1] == 1.0
    assert len(shares) > 2


@pytest.mark.parametrize(
    "wrong",
    [
        {"sizes_mm": []},
        {"sizes_mm": [(5, 0)]},
        {"gap_mm": -1},
        {"ratio": 0.0},
        {"max_width_mm": 9},
        {"max_height_mm": 9},
        {"largest_hole_mm2": -1},
    ],
)
def test_what_cannot_be_read_is_refused(wrong):
    with pytest.raises(ValueError, match="must"):
        cluster(**({"sizes_mm": [(10, 20), (30, 5)], "gap_mm": 2} | wrong))


def shifted(answer, number, *, x=0, y=0):
    places = list(answer.places_mm)
    places[number] = (places[number][0] + x, places[number][1] + y)
    return replace(answer, places_mm=tuple(places))


@pytest.mark.parametrize(
    ("plant", "words"),
    [
        (lambda a: replace(a, places_mm=a.places_mm[1:]), "must have a place"),
        (lambda a: shifted(a, 0, x=1), "apart"),
        (lambda a: replace(a, places_mm=(a.places_mm[1], *a.places_mm[1:])), "apart"),
        (lambda a: replace(a, places_mm=tuple((x + 1, y) for x, y in a.places_mm)), "begin"),
        (lambda a: replace(a, width_mm=a.width_mm + 1), "measures"),
        (lambda a: replace(a, filled=a.filled + 0.01), "fills"),
        (lambda a: replace(a, gaps=Gaps(40, 41, 1.0)), "range"),
        (lambda a: replace(a, gaps=Gaps(40, 40, 0.9)), "just"),
    ],
)
def test_planted_faults_are_found(plant, words):
    sizes = [(300, 200)] * 6
    answer = cluster(sizes, 40, trials=60)
    answer = replace(answer, places_mm=tuple(answer.places_mm[i] for i in by_place(answer)))
    assert faults(answer, sizes, 40) == []
    assert any(words in fault for fault in faults(plant(answer), sizes, 40))


def by_place(answer):
    return sorted(range(len(answer.places_mm)), key=answer.places_mm.__getitem__)
