"""Published instances whose best values are known."""

import pytest

from layouts.cases import CasesProblem
from layouts.cases.bounds import least_cases
from layouts.cases.cliques import largest_clique
from layouts.cases.search import Clock, Search
from layouts.cases.skyline import fill
from layouts.cases.task import Task
from tests.layouts.cases.published import BEST, as_cases


@pytest.mark.parametrize("number", [2, 4, 6, 9])
def test_twenty_rectangles_reach_the_best_known_sum(number):
    found = bound = 0
    for instance in range(1, 11):
        task = Task(CasesProblem.from_dict(as_cases(number, 20, instance)))
        outcome = Search(task, 0, Clock.of(60, lambda: False)).free()
        found += outcome.plan.score(task)[1]
        bound += outcome.bound[1]
    assert bound <= BEST[number][0] == found


def test_bound_never_exceeds_the_best_known_sum():
    for number, sums in BEST.items():
        tasks = [Task(CasesProblem.from_dict(as_cases(number, 20, n))) for n in range(1, 11)]
        assert sum(least_cases(task)[0] for task in tasks) <= sums[0]


def test_strip_without_waste_is_filled():
    """Instance N1 of Burke, Kendall and Whitwell 2004: ten rectangles fill 40 by 40 exactly."""
    sides = [(7, 6), (7, 6), (40, 16), (5, 20), (24, 24), (7, 4), (4, 4), (7, 8), (4, 20), (5, 4)]
    assert sum(w * d for w, d in sides) == 40 * 40
    spots = fill([(w, d, False) for w, d in sides], 40, 40, tries=200)
    cells = {
        (x + i, y + j)
        for (w, d), (x, y, _) in zip(sides, spots, strict=True)
        for i in range(w)
        for j in range(d)
    }
    assert cells == {(x, y) for x in range(40) for y in range(40)}


def test_largest_clique_of_known_graphs():
    """The complement of a ring of nine has cliques of four; a Petersen graph has none of three."""
    ring = [{(n + 1) % 9, (n - 1) % 9} for n in range(9)]
    complement = [sum(1 << m for m in range(9) if m != n and m not in ring[n]) for n in range(9)]
    assert len(largest_clique(complement)) == 4
    edges = [(n, (n + 1) % 5) for n in range(5)] + [(n, n + 5) for n in range(5)]
    edges += [(5 + n, 5 + (n + 2) % 5) for n in range(5)]
    petersen = [0] * 10
    for a, b in edges:
        petersen[a] |= 1 << b
        petersen[b] |= 1 << a
    assert len(largest_clique(petersen)) == 2
