"""Every relaxation that is called verified makes an arrangement possible when it is applied."""

import re
from dataclasses import replace

import pytest
from hypothesis import given

from layouts.cases import CasesProblem, check_cases, solve_cases
from layouts.cases.problem import Climate
from tests.layouts.cases.examples import few
from tests.layouts.cases.problems import kind, problem, thing
from tests.layouts.cases.test_brute_force import fewest_cases, tiny

LOW, HIGH = {"low_percent": 30, "high_percent": 40}, {"low_percent": 45, "high_percent": 55}


def applied(task, reason, words):
    """Return the problem with one sentence of advice followed."""
    if words == "Give up this rule.":
        kept = [rule for rule in task.conflicts if f"That {rule} share" not in reason.sentence]
        assert len(kept) < len(task.conflicts)
        return replace(task, conflicts=tuple(kept))
    if words == "Let them stand apart.":
        kept = [group for group in task.together if group != reason.objects]
        assert len(kept) < len(task.together)
        return replace(task, together=tuple(kept))
    if found := re.fullmatch(r"Add (\d+) (\w+)\.", words):
        kinds = [
            replace(k, count=k.count + int(found[1])) if k.id == found[2] else k for k in task.kinds
        ]
        return replace(task, kinds=tuple(kinds))
    name, rest = re.fullmatch(r"Let (\w+) (.+)\.", words).groups()
    if rest == "stand elsewhere":
        change = {"case": None, "shelf": None, "x_mm": None, "y_mm": None}
    elif found := re.fullmatch(r"have only (\d+) lx", rest):
        change = {"min_lux": int(found[1])}
    elif found := re.fullmatch(r"have (\d+) lx", rest):
        change = {"max_lux": int(found[1])}
    elif found := re.fullmatch(r"have (\d+)–(\d+) % RH", rest):
        change = {"climate": Climate(int(found[1]), int(found[2]))}
    else:
        change = {"security": int(re.fullmatch(r"stand in class (\d+)", rest)[1])}
    rows = [replace(t, **change) if t.id == name else t for t in task.objects]
    assert tuple(rows) != task.objects
    return replace(task, objects=tuple(rows))


def assert_possible(task):
    answer = solve_cases(task)
    assert answer.status in ("optimal", "feasible")
    assert check_cases(task, answer) == []


@few(10)
@given(tiny())
def test_verified_relaxations_hold(data):
    task = CasesProblem.from_dict(data)
    if fewest_cases(data) is not None:
        return
    for reason in solve_cases(task).reasons:
        if reason.relaxed and reason.rule != "together_enough":
            assert_possible(applied(task, reason, reason.relaxation))


@pytest.fixture(scope="module")
def twice():
    """Two clashes apart from each other: A bears neither case's light, B and C share no case and
    both need the one damp case."""
    asked = problem(
        [kind("dry", 1, climates=[LOW], lux=[200]), kind("damp", 1, climates=[HIGH], lux=[200])],
        [
            thing("A", max_lux=60),
            thing("B", climate=HIGH),
            thing("C", climate=HIGH),
        ],
        conflicts=[{"objects": ["B", "C"], "reason": "wish"}],
    )
    return CasesProblem.from_dict(asked), solve_cases(asked)


def test_two_clashes_are_told_one_after_the_other(twice):
    task, answer = twice
    assert answer.status == "infeasible"
    first = next(r for r in answer.reasons if "clashes with" in r.sentence)
    assert first.relaxation.endswith("That ends this clash, and others remain.")
    assert not first.relaxed
    later = [r for r in answer.reasons if r.sentence.startswith("Once what stands above")]
    assert {r.objects for r in later} == {("B", "C"), ("B",), ("C",)}
    both = next(r for r in answer.reasons if r.rule == "together_enough")
    assert both.relaxed
    steps = [f"{words}." for words in both.relaxation.removesuffix(".").split(". ")]
    assert len(steps) == 2
    for words in steps:
        reason = next(r for r in answer.reasons if r.relaxation.startswith(words))
        task = applied(task, reason, words)
    assert_possible(task)
