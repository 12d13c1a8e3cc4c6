"""The verifier finds every fault that is planted in a right hang."""

from dataclasses import replace

import pytest

from layouts import Problem, check, solve
from tests.layouts.problems import DOOR, piece, problem, wall

LABEL = {"width_mm": 150, "height_mm": 100, "side": "right", "gap_mm": 40}


@pytest.fixture(scope="module")
def right():
    pieces = [
        piece("A", 400, section="1", max_lux=50, mass_g=4000, label=LABEL, hang_point_mm=60),
        piece("B", 300, section="1", max_lux=50, mass_g=4000),
        piece("C", 500, section="2", mass_g=10_000),
        piece("D", 350, section="2", mass_g=4000, wall="E"),
        piece("F", 200, section="2", wall="E", x_mm=1500),
    ]
    zones = [{"from_mm": 0, "to_mm": 3000, "lux": 50}, {"from_mm": 3000, "to_mm": 6000, "lux": 150}]
    fixings = [{"from_mm": 0, "to_mm": 6000, "max_kg_per_object": 10, "max_kg_per_m": 3.1}]
    data = problem(
        [wall(blocked=[DOOR], zones=zones, fixings=fixings), wall("E", 4000)],
        pieces,
        together=[["A", "B"]],
        apart=[{"pieces": ["B", "C"], "at_least_mm": 1000}],
        kind="by_section",
        sections=["1", "2"],
        min_gap_mm=100,
    )
    task = Problem.from_dict(data)
    answer = solve(task)
    assert answer.placements
    assert check(task, answer) == []
    return task, answer


def moved(answer, name, **values):
    rows = [replace(p, **values) if p.id == name else p for p in answer.placements]
    return replace(answer, placements=tuple(rows))


def place(answer, name):
    return next(p for p in answer.placements if p.id == name)


def rules(task, answer):
    return {fault.rule for fault in check(task, answer)}


@pytest.mark.parametrize(
    ("rule", "plant"),
    [
        ("overlap", lambda a: moved(a, "B", x_mm=place(a, "A").x_mm + 399)),
        ("overlap", lambda a: moved(a, "B", x_mm=place(a, "A").x_mm + 440 + 149)),
        ("blocked", lambda a: moved(a, "C", x_mm=4199)),
        ("blocked", lambda a: moved(a, "B", x_mm=2701)),
        ("outside", lambda a: moved(a, "C", x_mm=5501)),
        ("outside", lambda a: moved(a, "D", x_mm=-1)),
        ("light", lambda a: moved(a, "B", x_mm=2701)),
        ("fixed", lambda a: moved(a, "F", x_mm=1501)),
        ("fixed", lambda a: moved(a, "D", wall="N", x_mm=4500)),
        ("hook", lambda a: moved(a, "A", hook_mm=place(a, "A").hook_mm + 1)),
        ("datum", lambda a: moved(a, "C", y_mm=place(a, "C").y_mm + 1)),
        ("sections", lambda a: moved(a, "C", x_mm=0)),
        ("uneven", lambda a: moved(a, "C", x_mm=place(a, "C").x_mm + 2)),
        ("missing", lambda a: replace(a, placements=a.placements[1:])),
        ("twice", lambda a: replace(a, placements=(*a.placements, a.placements[0]))),
        ("unknown", lambda a: moved(a, "C", wall="nowhere")),
        ("together", lambda a: moved(moved(a, "B", wall="E", x_mm=3500), "A", x_mm=100)),
        ("gap", lambda a: moved(a, "B", x_mm=place(a, "A").x_mm + 440 + 150 + 99)),
    ],
)
def test_planted_fault_is_found(right, rule, plant):
    task, answer = right
    assert rule in rules(task, plant(answer))


def changed(task, name, **values):
    rows = [replace(p, **values) if p.id == name else p for p in task.pieces]
    return replace(task, pieces=tuple(rows))


@pytest.mark.parametrize(
    ("rule", "change"),
    [
        ("load", lambda t: changed(t, "C", mass_g=10_001)),
        ("light", lambda t: changed(t, "C", max_lux=149)),
        ("load_per_metre", lambda t: changed(changed(t, "A", mass_g=9_000), "B", mass_g=9_000)),
    ],
)
def test_fact_changed_under_a_hang_is_found(right, rule, change):
    task, answer = right
    assert rule in rules(change(task), answer)


def test_apart_short_by_one_millimetre(right):
    task, answer = right
    b, c = place(answer, "B"), place(answer, "C")
    between = c.x_mm - b.x_mm - 300
    exact = replace(task, apart=(replace(task.apart[0], at_least_mm=between),))
    short = replace(task, apart=(replace(task.apart[0], at_least_mm=between + 1),))
    assert (rules(exact, answer), rules(short, answer)) == (set(), {"apart"})


def test_order_swapped():
    pieces = [piece("A", 300), piece("B", 300)]
    task = Problem.from_dict(problem([wall()], pieces, order=["A", "B"]))
    answer = solve(task)
    a, b = place(answer, "A").x_mm, place(answer, "B").x_mm
    assert rules(task, answer) == set()
    assert rules(task, moved(moved(answer, "A", x_mm=b), "B", x_mm=a)) == {"order"}


def test_load_shared_by_width_over_two_stretches():
    """Half of 20 kg hangs on each stretch of 1 m: 10 kg/m passes, 9.9 kg/m does not."""

    def task(limit):
        fixings = [
            {"from_mm": 0, "to_mm": 1000, "max_kg_per_m": limit},
            {"from_mm": 1000, "to_mm": 2000, "max_kg_per_m": limit},
        ]
        return Problem.from_dict(
            problem([wall(length=2000, fixings=fixings)], [piece("A", 400, mass_g=20_000)])
        )

    answer = solve(problem([wall(length=2000)], [piece("A", 400, mass_g=20_000)]))
    assert place(answer, "A").x_mm == 800
    assert rules(task(10), answer) == set()
    assert rules(task(9.9), answer) == {"load_per_metre"}


def test_a_group_stands_in_one_stretch():
    """A hangs before the door and B behind it: no other piece between, and yet not side by side."""
    data = problem([wall(blocked=[DOOR])], [piece("A", 1800), piece("B", 1500)], order=["A", "B"])
    answer = solve(data)
    assert check(Problem.from_dict(data), answer) == []
    assert [run.gap_mm is None for run in answer.runs] == [False, False]
    assert rules(Problem.from_dict(data | {"together": [["A", "B"]]}), answer) == {"together"}
