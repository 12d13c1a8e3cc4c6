"""Symmetrical order against every order: sizes first, then sections kept as whole as can be."""

from itertools import pairwise, permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layouts import Problem, check, solve
from layouts.search.mirror import mirrored
from tests.layouts.problems import piece, problem, wall


def error(widths):
    return sum(abs(a - b) for a, b in zip(widths, widths[::-1], strict=True)) // 2


def meetings(sections):
    return sum(a != b for a, b in pairwise(sections))


def worth(order, widths, sections):
    return error([widths[i] for i in order]), meetings([sections[i] for i in order])


def sizes(low, high, **more):
    return st.lists(
        st.tuples(st.integers(low, high), st.sampled_from("ABC")), min_size=1, max_size=7, **more
    )


@settings(max_examples=25, deadline=None)
@given(sizes(100, 900, unique_by=lambda row: row[0]))
def test_unlike_widths_are_as_symmetrical_and_their_sections_as_whole_as_any_order(rows):
    """Every width once: the pairs are given but for the middle, the rest is open."""
    widths, sections = zip(*rows, strict=True)
    orders = list(permutations(range(len(rows))))
    found = worth(mirrored(widths, sections), widths, sections)
    best = min(worth(order, widths, sections) for order in orders)
    assert found[0] == best[0]
    if len(rows) % 2 == 0:
        assert found == best


@settings(max_examples=25, deadline=None)
@given(sizes(1, 3))
def test_equal_widths_are_as_symmetrical_as_any_and_sections_no_worse_than_without(rows):
    widths, sections = zip(*rows, strict=True)
    order, plain = mirrored(widths, sections), mirrored(widths)
    assert sorted(order) == list(range(len(rows)))
    assert worth(order, widths, sections)[0] == min(
        error([widths[i] for i in other]) for other in permutations(range(len(rows)))
    )
    assert worth(order, widths, sections)[0] == worth(plain, widths, sections)[0]


@pytest.mark.parametrize(
    ("widths", "sections", "met"),
    [
        ((1, 1, 2, 2), "ABAB", 1),  # AABB: A in one half, B in the other
        ((1, 2, 1, 2, 3), "ABABA", 2),  # BAAAB: A in the middle, B at both ends
        ((5, 5, 7, 7), "AABB", 2),  # ABBA or BAAB: no half takes a whole section
        ((4, 4, 4, 4), "ABBA", 1),  # AABB: of equal widths any may face any
        ((1, 2, 3, 4, 5, 6), "AAABBB", 2),  # AABBBA: 1 faces 2, 3 faces 4, 5 faces 6
    ],
)
def test_small_rows_by_hand(widths, sections, met):
    order = mirrored(widths, sections)
    assert worth(order, widths, sections)[1] == met


def test_no_sections_keep_the_order_of_the_input():
    assert mirrored([3, 1, 2, 1, 2, 3, 9]) == [0, 1, 2, 6, 4, 3, 5]
    assert mirrored([3, 1, 2, 1, 2, 3, 9], [None] * 7) == [0, 1, 2, 6, 4, 3, 5]
    assert mirrored([], []) == []


def test_many_of_many_sections_are_still_symmetrical():
    widths = [150 + (37 * n) % 700 for n in range(1000)]
    sections = [str(n % 12) for n in range(1000)]
    order = mirrored(widths, sections)
    assert error([widths[i] for i in order]) == error([widths[i] for i in mirrored(widths)])


def test_a_mirrored_hang_keeps_each_section_on_one_side():
    """Three of each section in the same widths: A hangs in one half, B in the other."""
    pieces = [
        piece(f"{name}{width}", width, section=name) for width in (300, 500, 400) for name in "AB"
    ]
    data = problem([wall()], pieces, kind="mirrored")
    answer = solve(data)
    assert check(Problem.from_dict(data), answer) == []
    assert answer.measures.mirror_error_mm == 0
    assert "".join(p.id[0] for p in answer.placements) in ("AAABBB", "BBBAAA")


@pytest.mark.parametrize("kind", ["mirrored", "centre_high"])
def test_what_must_part_does_so_within_its_run(kind):
    """By their sizes P0 and P2 could be neighbours; at least 2,000 mm are to lie between."""
    sizes = [(300, 500), (300, 500), (450, 700), (450, 700), (600, 800), (200, 300)]
    pieces = [piece(f"P{n}", *size) for n, size in enumerate(sizes)]
    apart = [{"pieces": ["P0", "P2"], "at_least_mm": 2000}]
    data = problem([wall()], pieces, apart=apart, kind=kind)
    answer = solve(data)
    assert answer.placements
    assert check(Problem.from_dict(data), answer) == []
