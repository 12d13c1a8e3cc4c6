"""The verifier finds every fault that is planted in a right arrangement."""

from dataclasses import replace

import pytest

from layouts.cases import CasesProblem, check_cases, solve_cases
from layouts.cases.answer import CAUTIONS, Level
from tests.layouts.cases.problems import kind, problem, thing

BAND = {"low_percent": 45, "high_percent": 55}


@pytest.fixture(scope="module")
def right():
    shelf = {
        "depth_mm": 400, "lowest_mm": 300, "highest_mm": 500, "step_mm": 50, "max_g": 6000
    }  # fmt: skip
    case = kind(count=3, shelves=[shelf], lux=[50, 200], climates=[BAND], security=1, max_g=20_000)
    asked = problem(
        [case, kind("hired", 2, cost=500, max_g=8000)],
        [
            thing("A", 300, 200, 200, max_lux=50, climate=BAND, tags=["lead"], mass_g=4000),
            thing("B", 300, 200, 200, tags=["acid"], mass_g=4000, security=1),
            thing("C", 200, 200, 150, min_lux=200, mass_g=1000),
            thing("D", 250, 100, 150, turns=False, mass_g=3000, case="case-2", shelf=1),
            thing("E", 100, 100, 100, mass_g=5000, case="case-2", shelf=0, x_mm=40, y_mm=90),
            thing("F", 100, 100, 300, mass_g=3000),
        ],
        conflicts=[
            {"tags": ["lead", "acid"], "reason": "acids corrode lead"},
            {"objects": ["A", "F"], "reason": "wish"},
        ],
        together=[["C", "F"]],
        clearances={"between_mm": 30, "glass_mm": 20, "above_mm": 40},
        display={"label_strip_mm": 60},
    )
    task = CasesProblem.from_dict(asked)
    answer = solve_cases(task)
    assert answer.status == "optimal"
    assert check_cases(task, answer) == []
    return task, answer


def place(answer, name):
    return next(p for p in answer.places if p.id == name)


def moved(answer, name, **values):
    rows = [replace(p, **values) if p.id == name else p for p in answer.places]
    return replace(answer, places=tuple(rows))


def reset(answer, name, **values):
    rows = [replace(c, **values) if c.id == name else c for c in answer.cases]
    return replace(answer, cases=tuple(rows))


def measured(answer, **values):
    return replace(answer, measures=replace(answer.measures, **values))


def rules(task, answer):
    return {fault.rule for fault in check_cases(task, answer)}


PLANTS = {
    "outside left": ("outside", lambda a: moved(a, "C", x_mm=-1)),
    "outside right": ("outside", lambda a: moved(a, "C", x_mm=1001)),
    "outside back": ("outside", lambda a: moved(a, "C", y_mm=301)),
    "in front of the shelf": ("outside", lambda a: moved(a, "D", y_mm=99)),
    "near the glass": ("glass", lambda a: moved(a, "C", x_mm=981)),
    "on the label strip": ("strip", lambda a: moved(a, "C", y_mm=59)),
    "too near": (
        "overlap",
        lambda a: moved(a, "F", case=place(a, "C").case, shelf=place(a, "C").shelf,
                        x_mm=place(a, "C").x_mm + 229, y_mm=place(a, "C").y_mm),
    ),
    "conflict of tags": (
        "conflict",
        lambda a: moved(a, "A", case=place(a, "B").case, shelf=0, x_mm=600, y_mm=250),
    ),
    "conflict of objects": (
        "conflict",
        lambda a: moved(a, "A", case=place(a, "F").case, shelf=0, x_mm=600, y_mm=250),
    ),
    "too bright": ("light", lambda a: reset(a, place(a, "A").case, lux=200)),
    "too dark": ("light", lambda a: reset(a, place(a, "C").case, lux=50)),
    "light that cannot be set": ("setting", lambda a: reset(a, place(a, "C").case, lux=100)),
    "climate that cannot be set": (
        "setting", lambda a: reset(a, place(a, "A").case, low_percent=40)
    ),
    "another kind": ("setting", lambda a: reset(a, place(a, "A").case, kind="hired")),
    "turned": ("turned", lambda a: moved(a, "D", turned=True)),
    "fixed place": ("fixed", lambda a: moved(a, "E", x_mm=41)),
    "fixed shelf": ("fixed", lambda a: moved(a, "D", shelf=0)),
    "not together": (
        "together",
        lambda a: moved(
            a, "F", shelf=0,
            case=next(c.id for c in a.cases if c.id != place(a, "C").case),
        )
    ),
    "missing": ("missing", lambda a: replace(a, places=a.places[1:])),
    "twice": ("twice", lambda a: replace(a, places=(*a.places, a.places[0]))),
    "case twice": ("twice", lambda a: replace(a, cases=(*a.cases, a.cases[0]))),
    "unknown object": ("unknown", lambda a: moved(a, "C", id="Z")),
    "unknown case": ("unknown", lambda a: moved(a, "C", case="case-9")),
    "surface not in use": ("level", lambda a: moved(a, "E", shelf=7)),
    "step of a shelf": (
        "level",
        lambda a: reset(a, "case-2", levels=(Level(0, 0), Level(1, 310))),
    ),
    "shelf too high": (
        "level",
        lambda a: reset(a, "case-2", levels=(Level(0, 0), Level(1, 550))),
    ),
    "floor raised": ("level", lambda a: reset(a, "case-2", levels=(Level(0, 5), Level(1, 300)))),
    "wrong number of cases": ("sums", lambda a: measured(a, cases=a.measures.cases + 1)),
    "wrong cost": ("sums", lambda a: measured(a, cost=1)),
    "bound too high": ("bound", lambda a: replace(a, bound_cases=a.measures.cases + 1)),
}  # fmt: skip


@pytest.mark.parametrize("name", PLANTS)
def test_planted_fault_is_found(right, name):
    task, answer = right
    rule, plant = PLANTS[name]
    assert rule in rules(task, plant(answer))


def changed(task, name, **values):
    rows = [replace(t, **values) if t.id == name else t for t in task.objects]
    return replace(task, objects=tuple(rows))


@pytest.mark.parametrize(
    ("rule", "change"),
    [
        ("shelf_load", lambda t: changed(t, "D", mass_g=6001)),
        ("case_load", lambda t: changed(t, "E", mass_g=20_000)),
        ("security", lambda t: changed(t, "A", security=2)),
        ("above", lambda t: changed(t, "F", height_mm=761)),
        (
            "climate",
            lambda t: changed(t, "A", climate=replace(t.objects[0].climate, low_percent=46)),
        ),
        ("light", lambda t: changed(t, "A", max_lux=49)),
        ("overlap", lambda t: replace(t, clearances=replace(t.clearances, between_mm=2000))),
        ("glass", lambda t: replace(t, clearances=replace(t.clearances, glass_mm=300))),
        ("above", lambda t: replace(t, clearances=replace(t.clearances, above_mm=700))),
    ],
)
def test_fact_changed_under_an_arrangement_is_found(right, rule, change):
    task, answer = right
    assert rule in rules(change(task), answer)


def test_cautions_come_with_every_answer(right):
    assert right[1].cautions == CAUTIONS
    assert solve_cases({}).cautions == CAUTIONS
