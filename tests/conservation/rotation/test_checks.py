"""The verifier accepts plans found and rejects each planted fault, naming it."""

from dataclasses import replace

import pytest

from conservation.rotation import Plan, Problem, Stay, check, solve
from tests.conservation.rotation.problems import place, rotation, thing

DATA = rotation(
    [
        thing("A", longest_days=30, rest_days=30, max_lux=50),
        thing("B", longest_days=60, rest_days=30, budgets=[{"lux_hours": 24_000}]),
        thing(
            "C",
            budgets=[{"lux_hours": 24_000, "any_days": 60}],
            away=[{"from_day": 0, "to_day": 30}],
        ),
        thing("D", effort=2),
        {"id": "M", "set": "medals"},
    ],
    [
        place("north", 50),
        place("south", 80, effort=1),
        {"id": "case", "set": "medals", "lux": 200},
    ],
)


@pytest.fixture(scope="module")
def problem() -> Problem:
    return Problem.from_dict(DATA)


@pytest.fixture(scope="module")
def plan(problem: Problem) -> Plan:
    return solve(problem)


def test_plan_found_is_accepted(problem, plan):
    assert plan.status == "optimal"
    assert check(problem, plan) == []


def rules(problem: Problem, plan: Plan, *stays: Stay) -> set[str]:
    fixed = (Stay("M", "case", 0, 120),)
    return {fault.rule for fault in check(problem, replace(plan, stays=(*stays, *fixed)))}


def by_days(place: str, *rows: tuple[str, int, int]) -> tuple[Stay, ...]:
    return tuple(Stay(name, place, start, stop) for name, start, stop in rows)


NORTH = by_days("north", ("A", 0, 30), ("B", 30, 60), ("A", 60, 90), ("B", 90, 120))
SOUTH = by_days("south", ("D", 0, 120))


def test_plan_made_by_hand_is_right_but_for_its_figures(problem, plan):
    assert rules(problem, plan, *NORTH, *SOUTH) <= {"figures"}


@pytest.mark.parametrize(
    ("rule", "north", "south"),
    [
        ("empty", NORTH[1:], SOUTH),
        ("empty", NORTH[:-1], SOUTH),
        ("crowded", NORTH, (*SOUTH, Stay("C", "south", 30, 60))),
        (
            "twice",
            by_days("north", ("D", 0, 30), ("B", 30, 60), ("A", 60, 90), ("B", 90, 120)),
            SOUTH,
        ),
        ("light", NORTH, by_days("south", ("A", 30, 60), ("D", 0, 30), ("D", 60, 120))),
        (
            "away",
            by_days("north", ("C", 0, 30), ("B", 30, 60), ("A", 60, 90), ("B", 90, 120)),
            SOUTH,
        ),
        ("stay", by_days("north", ("A", 0, 60), ("B", 60, 120)), SOUTH),
        (
            "rest",
            by_days("north", ("A", 0, 30), ("B", 30, 60), ("A", 60, 90), ("B", 90, 120)),
            by_days("south", ("D", 0, 60), ("B", 60, 90), ("D", 90, 120))[:0]
            + by_days("south", ("D", 0, 120)),
        ),
        ("budget", NORTH, by_days("south", ("D", 0, 30), ("C", 30, 90), ("D", 90, 120))),
        (
            "changeover",
            by_days("north", ("A", 0, 20), ("B", 20, 60), ("A", 60, 90), ("B", 90, 120)),
            SOUTH,
        ),
        ("set", (*NORTH, Stay("M", "north", 0, 30)), SOUTH),
        (
            "days",
            by_days("north", ("A", 0, 30), ("B", 30, 60), ("A", 60, 90), ("B", 90, 130)),
            SOUTH,
        ),
        (
            "days",
            by_days("north", ("A", -10, 30), ("B", 30, 60), ("A", 60, 90), ("B", 90, 120)),
            SOUTH,
        ),
        ("unknown", (*NORTH, Stay("X", "north", 0, 30)), SOUTH),
        ("unknown", (*NORTH, Stay("A", "attic", 0, 30)), SOUTH),
    ],
)
def test_planted_fault_is_named(problem, plan, rule, north, south):
    if rule == "rest":
        problem = replace(problem, objects=tuple(replace(o, rest_days=31) for o in problem.objects))
    assert rule in rules(problem, plan, *north, *south)


def test_dose_over_a_sliding_stretch_is_found_between_changeovers():
    data = rotation(
        [thing("A", budgets=[{"lux_hours": 16_000, "any_days": 45}]), thing("B")],
        [place()],
        every_days=20,
    )
    problem = Problem.from_dict(data)
    stays = by_days("case 1", ("A", 0, 20), ("B", 20, 40), ("A", 40, 60), ("B", 60, 120))
    # 50 lx, 8 h: days 0 to 20 and 40 to 45 are 25 days, 10,000 lx h: kept.
    assert {f.rule for f in check(problem, Plan("feasible", stays))} == {"figures"}
    tight = replace(
        problem.objects[0], budgets=(replace(problem.objects[0].budgets[0], lux_hours=9_999),)
    )
    tighter = replace(problem, objects=(tight, problem.objects[1]))
    assert "budget" in {f.rule for f in check(tighter, Plan("feasible", stays))}


@pytest.mark.parametrize("name", ["changes", "effort", "peak_use_permille"])
def test_false_figure_is_named(problem, plan, name):
    measures = replace(plan.measures, **{name: getattr(plan.measures, name) + 1})
    assert [f.rule for f in check(problem, replace(plan, measures=measures))] == ["figures"]


def test_false_use_is_named(problem, plan):
    uses = (replace(plan.uses[0], lux_hours=plan.uses[0].lux_hours + 1), *plan.uses[1:])
    assert [f.objects for f in check(problem, replace(plan, uses=uses))] == [("A",)]
