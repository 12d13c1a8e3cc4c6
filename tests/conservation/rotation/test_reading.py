"""Bad input ends in sentences that name field, value and cure, and never in a traceback."""

import contextlib
import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from conservation.rotation import InvalidRotation, Plan, Problem, solve
from tests.conservation.rotation.problems import place, rotation, thing, tiny

GOOD = rotation([thing("A")], [place()])


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"days": 0}, "rotation.days is 0: give a whole number from 1"),
        ({"days": "90"}, "rotation.days is '90': give a whole number from 1"),
        ({"days": True}, "give a whole number"),
        ({"hours_a_day": 25}, "must lie from 0 to 24"),
        ({"hours_a_day": float("nan")}, "must lie from 0 to 24"),
        ({"hours_a_day": 7.333}, "at most two decimals"),
        ({"hours_a_day": None}, "give the mean hours of light a day"),
        ({"changeovers": [200], "every_days": None}, "day 200: it must lie from 1 to 119"),
        ({"changeovers": ["x"], "every_days": None}, "must be a list of whole days"),
        ({"changeovers": [10]}, "give one of them"),
        ({"changeovers": list(range(1, 120)) * 9, "every_days": None}, "at most 399"),
        ({"every_days": 0}, "rotation.every_days is 0"),
        ({"first_day": "1 March"}, "give a date like 2027-03-01"),
        ({"first_day": "9999-12-31"}, "would end after 9999"),
        ({"colour": 1}, "unknown field 'colour'"),
        ({"places": []}, "places is empty"),
        ({"objects": []}, "objects is empty"),
        ({"objects": "A"}, "objects must be a list"),
        ({"objects": [thing("A"), thing("A")]}, "stands twice"),
        ({"objects": [thing("")]}, "give text of 1 to 200 characters"),
        ({"objects": [thing("A", effort=-1)]}, "objects[0].effort is -1"),
        ({"objects": [thing("A", budgets=[{"lux_hours": -5}])]}, "budgets[0].lux_hours is -5"),
        ({"objects": [thing("A", budgets=[{"lux_hours": 5, "from_day": 500}])]}, "ends before"),
        ({"objects": [thing("A", away=[{"from_day": 5, "to_day": 5}])]}, "must be later"),
        ({"objects": [thing("A", hazards="mercury")]}, "must be a list of names"),
        ({"objects": [thing("A", longest_days=0)]}, "longest_days is 0"),
        ({"objects": [{"id": "A", "set": "coins"}]}, "no object belongs to set 'prints'"),
        ({"places": [place(lux=10**9)]}, "places[0].lux is 1000000000"),
        ({"places": [place(glass="yes")]}, "give true or false"),
    ],
)
def test_fault_is_named(change, words):
    with pytest.raises(InvalidRotation) as caught:
        Problem.from_dict({**GOOD, **change})
    assert words in str(caught.value)
    assert all(fault.endswith(".") for fault in caught.value.faults)


@pytest.mark.parametrize("data", [None, [], "x", 3, {}])
def test_what_is_no_rotation_is_refused(data):
    plan = solve(data)
    assert plan.status == "invalid"
    assert plan.conflicts


def test_too_much_is_refused_before_any_search():
    many = [thing(f"O{n}") for n in range(1000)]
    places = [place(f"P{n}") for n in range(100)]
    plan = solve(rotation(many, places, days=1000, every_days=10))
    assert "split it by set" in plan.conflicts[0].sentence


ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner),
    max_leaves=8,
)


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(sorted(GOOD)), ANYTHING)
def test_any_value_in_any_field_is_read_or_refused(key, value):
    data = {**GOOD, key: value}
    if key in ("places", "objects"):
        plan = solve(data)
        assert plan.status != "invalid" or plan.conflicts
        return
    with contextlib.suppress(InvalidRotation):
        assert Problem.from_dict(data).days > 0


@settings(max_examples=30, deadline=None)
@given(tiny())
def test_contract_survives_json(data):
    problem = Problem.from_dict(data)
    assert Problem.from_dict(json.loads(json.dumps(problem.to_dict()))) == problem


@pytest.mark.parametrize(
    "data",
    [
        None,
        {},
        {"status": "x", "stays": [1]},
        {"status": "x", "stays": [{"object": "A", "place": "B", "from_day": "0", "to_day": 3}]},
    ],
)
def test_what_is_no_plan_is_refused_in_a_sentence(data):
    with pytest.raises(ValueError, match="not a rotation plan"):
        Plan.from_dict(data)
