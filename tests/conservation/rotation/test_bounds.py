"""Bounds hold against every plan, whatever the prices, and with changeovers passed over."""

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from conservation.rotation import Problem, check, solve
from conservation.rotation import likely as likely_module
from conservation.rotation.arithmetic import least_use
from conservation.rotation.likely import likely
from conservation.rotation.prices import UNIT, Priced, Prices
from conservation.rotation.steps import Steps, sets_of
from conservation.rotation.stretches import Reach, Stretch, stretches_of
from tests.bench.rotation import generated
from tests.conservation.rotation.problems import place, rotation, thing, tiny


def random_prices(steps, here, dice) -> Prices:
    places = {
        (g, step): dice.randint(-UNIT, 2 * UNIT)
        for g in range(len(here.groups))
        for step in range(steps.count)
    }
    budgets = {
        (n, window): dice.randint(0, UNIT) // max(1, window.limit)
        for n, item in enumerate(here.objects)
        for window in steps.windows(item)
    }
    return Prices(places, budgets)


@settings(max_examples=20, deadline=None)
@given(tiny(), st.integers(0, 9))
def test_no_plan_undercuts_the_bound_at_any_prices(data, seed):
    """Lagrangian duality (textbook): the bound holds at every price."""
    problem = Problem.from_dict(data)
    steps, (here,) = Steps(problem), sets_of(problem)
    plan = solve(problem)
    if not plan.stays:
        return
    assert plan.status == "optimal"  # As every way to rotate confirms, in test_brute_force.py.
    dice = random.Random(seed)  # noqa: S311
    priced = Priced(Reach(steps, here), random_prices(steps, here, dice))
    assert priced.bound <= plan.measures.effort
    order = likely(steps, here, 60)
    assert order is None or order.bound <= plan.measures.effort


@settings(max_examples=20, deadline=None)
@given(tiny())
def test_slack_tells_what_the_stays_of_a_plan_add(data):
    problem = Problem.from_dict(data)
    steps, (here,) = Steps(problem), sets_of(problem)
    order, plan = likely(steps, here, 60), solve(problem)
    if order is None or not plan.stays:
        return
    for stretch in stretches_of(rows_of(steps, here, plan)):
        # The stay in one piece may also be passed on from another group: then it is not listed.
        at = order.stretches.index(stretch)
        assert order.exact + order.slacks[at] <= plan.measures.effort * UNIT


@settings(max_examples=20, deadline=None)
@given(tiny())
def test_no_plan_is_evener_than_the_sums_allow(data):
    problem = Problem.from_dict(data)
    plan = solve(problem)
    if plan.stays:
        assert least_use(problem) <= plan.measures.peak_use_permille


def rows_of(steps, here, plan):
    numbers = {item.id: n for n, item in enumerate(here.objects)}
    groups = {place.id: g for g, group in enumerate(here.groups) for place in group.places}
    return frozenset(
        (numbers[stay.object], groups[stay.place], step)
        for stay in plan.stays
        for step in range(steps.count)
        if stay.from_day <= steps.bounds[step] < stay.to_day
    )


def test_stretches_are_every_stay_that_can_be_borne():
    data = rotation([thing("A", longest_days=60, away=[{"from_day": 90, "to_day": 95}])], [place()])
    problem = Problem.from_dict(data)
    reach = Reach(Steps(problem), sets_of(problem)[0])
    spans = [(stretch.first, stretch.last) for stretch in reach.all()]
    assert spans == [(0, 0), (0, 1), (1, 1), (1, 2), (2, 2)]
    assert reach.count() == len(spans)
    assert list(Stretch(0, 0, 1, 2).shown()) == [(0, 0, 1), (0, 0, 2)]


def test_a_known_rotation_is_bounded_sharply():
    """Four prints of 30 days each fill 120 days with three changes; no plan needs fewer."""
    problem = Problem.from_dict(
        rotation([thing(name, longest_days=30, rest_days=120) for name in "ABCD"], [place()])
    )
    assert likely(Steps(problem), sets_of(problem)[0], 60).bound == 3


@pytest.mark.parametrize("most", [4_000])
def test_bound_and_plan_stand_when_changeovers_are_passed_over(monkeypatch, most):
    """The whole instance has more than 10,000 stays; its best plan is known to cost 66."""
    monkeypatch.setattr(likely_module, "MOST_COLUMNS", most)
    problem = Problem.from_dict(generated(sets=1, seed=0))
    order = likely(Steps(problem), sets_of(problem)[0], 60)
    assert 50 <= order.bound <= 66
    assert len(order.stretches) <= most


def test_many_changeovers_are_planned_with_a_bound(monkeypatch):
    monkeypatch.setattr(likely_module, "MOST_COLUMNS", 60)
    objects = [thing(f"O{n}", longest_days=40, rest_days=30, effort=1 + n % 2) for n in range(4)]
    problem = Problem.from_dict(rotation(objects, [place("a"), place("b", 40)], every_days=10))
    plan = solve(problem)
    assert plan.status in ("feasible", "optimal")
    assert check(problem, plan) == []
    assert 0 < plan.bound.effort <= plan.measures.effort
    assert plan.bound.peak_use_permille <= plan.measures.peak_use_permille
