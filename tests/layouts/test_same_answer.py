"""The same input and seed give the same answer on one core, on two, and beside a busy neighbour."""

import pytest

from layouts.bench.instances import exhibition
from layouts.bench.repeating import answers, busy, cores
from tests.layouts.problems import DOOR, piece, problem, wall


def small(kind: str, count: int, **rule):
    pieces = [
        piece(f"P{n}", 150 + 97 * n % 400, 200 + 61 * n % 300, section=str(n // 4), mass_g=900 * n)
        for n in range(count)
    ]
    near = [{"pieces": [f"P{n}", f"P{(n + 1 + n % 4) % count}"]} for n in range(count)]
    walls = [wall("N", 5200, blocked=[DOOR]), wall("E", 3100)]
    data = problem(walls, pieces, kind=kind, datum_mm=1500, **rule)
    return data | ({"near": near} if kind == "related" else {})


PROBLEMS = [
    exhibition(24, 3, 0, planted=False),
    exhibition(24, 3, 1, planted=True),
    small("even", 12, max_gap_mm=300),
    small("mirrored", 11),
    small("rise", 10),
    small("centre_high", 10),
    small("by_section", 12, section_gap_mm=500),
    small("related", 9),
    small("rows", 12, rows=2),
    small("cluster", 9, min_gap_mm=50),
]


@pytest.fixture(scope="module")
def on_one_core():
    return answers(PROBLEMS, cores()[:1], seed=3)


def test_every_problem_has_an_answer_of_its_own(on_one_core):
    assert len(set(on_one_core)) == len(PROBLEMS)
    assert {told.split()[1] for told in on_one_core} <= {"optimal", "feasible"}


@pytest.mark.skipif(len(cores()) < 2, reason="there is only one core")
def test_two_cores_answer_as_one(on_one_core):
    assert answers(PROBLEMS, cores()[:2], seed=3) == on_one_core


def test_a_busy_neighbour_changes_nothing(on_one_core):
    with busy(cores()[0]):
        assert answers(PROBLEMS[::3], cores()[:1], seed=3) == on_one_core[::3]
