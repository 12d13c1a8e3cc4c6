"""Tiny rotations against every way there is to fill every place in every step."""

import itertools
import random
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings

from conservation.rotation import Measures, Plan, Problem, Stay, Use, check, solve
from conservation.rotation.problem import Candidate
from tests.conservation.rotation.problems import place, rotation, thing, tiny

FIGURES = {"figures"}


def every_plan(problem: Problem):
    """Yield effort and peak use of every plan that breaks nothing.

    Plain enumeration: who stands where, step after step; a partial plan that already breaks a rule
    on its own days is not followed further.
    """
    bounds = [0, *problem.changeovers, problem.days]
    rows = list(itertools.permutations([item.id for item in problem.objects], len(problem.places)))

    def grow(filled: list[tuple[str, ...]]):
        if filled and faults_of(problem, bounds, filled):
            return
        if len(filled) == len(bounds) - 1:
            yield figures(problem, bounds, filled)
            return
        for row in rows:
            yield from grow([*filled, row])

    yield from grow([])


def shown(problem: Problem, bounds: list[int], filled: list[tuple[str, ...]], item: Candidate):
    """Return for each day the lux-hours that an object receives, or None where it rests."""
    days = []
    for step, row in enumerate(filled):
        at = problem.places[row.index(item.id)] if item.id in row else None
        dose = None if at is None else at.lux * problem.hours_a_day
        days += [dose] * (bounds[step + 1] - bounds[step])
    return days


def doses(item: Candidate, days: list[float | None]):
    for budget in item.budgets:
        stop = len(days) if budget.to_day is None else budget.to_day
        part = [dose or 0.0 for dose in days[budget.from_day : stop]]
        width = budget.any_days or max(1, len(part))
        most = max((sum(part[n : n + width]) for n in range(len(part))), default=0)
        yield most, budget.lux_hours


def faults_of(problem: Problem, bounds: list[int], filled: list[tuple[str, ...]]) -> bool:
    for item in problem.objects:
        days = shown(problem, bounds, filled, item)
        stood = [problem.places[row.index(item.id)] for row in filled if item.id in row]
        if item.max_lux is not None and any(place.lux > item.max_lux for place in stood):
            return True
        if any(
            days[d] is not None
            for a in item.away
            for d in range(a.from_day, min(a.to_day, len(days)))
        ):
            return True
        if any(most > limit for most, limit in doses(item, days)):
            return True
        length, gap, seen = 0, 0, False
        for dose in days:
            if dose is None:
                length, gap = 0, gap + 1
                continue
            if length == 0 and seen and gap < item.rest_days:
                return True
            length, gap, seen = length + 1, 0, True
            if item.longest_days is not None and length > item.longest_days:
                return True
    return False


def figures(problem: Problem, bounds: list[int], filled: list[tuple[str, ...]]) -> tuple[int, int]:
    effort = 0
    for before, row in itertools.pairwise(filled):
        for at, old, new in zip(problem.places, before, row, strict=True):
            if old != new:
                effort += problem.candidate(new).effort + at.effort
    peak = 0
    for item in problem.objects:
        days = shown(problem, bounds, filled, item)
        shares = [most / limit for most, limit in doses(item, days) if limit]
        if not item.budgets:
            shares = [sum(dose is not None for dose in days) / len(days)]
        # Doses here are multiples of 5 lx h and budgets of 1,000: the rounding is safe.
        peak = max(peak, *(-int(-round(1000 * share, 6) // 1) for share in shares), 0)
    return effort, peak


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(tiny())
def test_search_agrees_with_every_way_to_rotate(data):
    problem = Problem.from_dict(data)
    best = min(every_plan(problem), default=None)
    plan = solve(problem)
    if best is None:
        assert plan.status == "infeasible"
        assert plan.conflicts
        return
    assert plan.status == "optimal"
    assert (plan.measures.effort, plan.measures.peak_use_permille) == best
    assert (plan.bound.effort, plan.bound.peak_use_permille) == best
    assert check(problem, plan) == []


def ways_of(problem: Problem, item: Candidate, filled: tuple[tuple[str, ...], ...] = ()):
    """Yield the cells filled, effort and use of every way in which one object alone may stand."""
    bounds = [0, *problem.changeovers, problem.days]
    alone = replace(problem, objects=(item,))
    if filled and faults_of(alone, bounds, list(filled)):
        return
    if len(filled) < len(bounds) - 1:
        spots = range(len(problem.places))
        for at in (-1, *spots):
            row = tuple(item.id if n == at else "" for n in spots)
            yield from ways_of(problem, item, (*filled, row))
        return
    effort = sum(
        item.effort + problem.places[row.index(item.id)].effort
        for before, row in itertools.pairwise(filled)
        if item.id in row and row != before
    )
    limits = doses(item, shown(problem, bounds, list(filled), item))
    use = max(-int(-round(1000 * most / limit, 6) // 1) for most, limit in limits)
    cells = [name != "" for row in filled for name in row]
    yield sum(1 << n for n, cell in enumerate(cells) if cell), effort, use


def least_effort(ways: list[list[tuple[int, int, int]]], cells: int) -> int | None:
    """Join every way of every object, for every set of cells that they may fill together."""
    far = 10_000
    least = np.full(1 << cells, far)
    least[0] = 0
    for mine in ways:
        there, before = np.flatnonzero(least < far), least.copy()
        least[:] = far
        for more, effort, _ in mine:
            apart = there[there & more == 0]
            least[apart | more] = np.minimum(least[apart | more], before[apart] + effort)
    return int(least[-1]) if least[-1] < far else None


def demanding(seed: int) -> dict:
    dice = random.Random(seed)  # noqa: S311
    objects = [
        thing(
            f"O{n}",
            max_lux=None if n < 2 else 50,
            budgets=[{"lux_hours": dice.choice([50_000, 60_000, 80_000])}],
            longest_days=dice.choice([60, 90]),
            rest_days=30,
            effort=dice.randint(0, 3),
        )
        for n in range(5)
    ]
    places = [place(f"P{n}", lux, effort=dice.choice([0, 1])) for n, lux in enumerate([40, 50, 60])]
    return rotation(objects, places, days=180)


@pytest.mark.parametrize("seed", [2])
def test_search_agrees_on_5_objects_3_places_6_steps(seed):
    problem = Problem.from_dict(demanding(seed))
    ways = [list(ways_of(problem, item)) for item in problem.objects]
    plan = solve(problem)
    least = least_effort(ways, 18)
    if least is None:
        assert plan.status == "infeasible"
        return
    assert plan.status == "optimal"
    assert plan.measures.effort == least
    peak = plan.measures.peak_use_permille
    evener = least_effort([[way for way in mine if way[2] < peak] for mine in ways], 18)
    assert evener is None or evener > least


@settings(max_examples=40, deadline=None)
@given(tiny())
def test_verifier_and_enumeration_agree_on_arrangements(data):
    """Rotate blindly, object after object, and ask both what is broken."""
    problem = Problem.from_dict(data)
    bounds = [0, *problem.changeovers, problem.days]
    names = [item.id for item in problem.objects]
    filled = [
        tuple(names[(step // 2 + n) % len(names)] for n in range(len(problem.places)))
        for step in range(len(bounds) - 1)
    ]
    stays = tuple(
        Stay(name, place.id, bounds[step], bounds[step + 1])
        for step, row in enumerate(filled)
        for place, name in zip(problem.places, row, strict=True)
    )
    plan = Plan("feasible", stays, tuple(Use(n, 0, 0, 0) for n in names), Measures())
    broken = [fault for fault in check(problem, plan) if fault.rule not in FIGURES]
    assert bool(broken) == faults_of(problem, bounds, filled)
    assert check(problem, replace(plan, stays=plan.stays[1:]))
