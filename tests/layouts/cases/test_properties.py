"""What holds for any right arrangement."""

import random
from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from layouts.cases import CasesProblem, check_cases, solve_cases
from tests.layouts.cases.examples import few
from tests.layouts.cases.problems import showcases

instances = st.builds(
    lambda count, seed: CasesProblem.from_dict(showcases(count, seed)),
    st.integers(2, 26),
    st.integers(0, 10_000),
)


def score(answer):
    return answer.measures.cost, answer.measures.cases


@few(8)
@given(instances)
def test_right_bounded_and_the_same_twice(task):
    answer = solve_cases(task)
    assert answer.status in ("optimal", "feasible")
    assert check_cases(task, answer) == []
    assert (answer.bound_cost, answer.bound_cases) <= score(answer)
    assert replace(solve_cases(task), seconds=0) == replace(answer, seconds=0)


@few(5)
@given(instances, st.randoms(use_true_random=False))
def test_order_of_input_changes_no_score(task, dice: random.Random):
    rows = list(task.objects)
    dice.shuffle(rows)
    one, other = solve_cases(task), solve_cases(replace(task, objects=tuple(rows)))
    if one.status == other.status == "optimal":
        assert score(one) == score(other)


@few(5)
@given(instances)
def test_fewer_demands_never_cost_more(task):
    answer = solve_cases(task)
    looser = [
        replace(task, conflicts=task.conflicts[:-1]),
        replace(task, objects=task.objects[:-1], conflicts=task.conflicts[:8]),
        replace(task, clearances=replace(task.clearances, between_mm=0)),
    ]
    for one in looser:
        found = solve_cases(one)
        if found.status == "optimal":
            assert score(found) <= score(answer)


@few(4)
@given(instances)
def test_own_cases_are_used_before_hired_ones(task):
    """Half of the cases needed are owned: exactly the rest is hired, at its price."""
    need = solve_cases(task)
    if need.status != "optimal":
        return
    own = max(1, need.measures.cases // 2)
    kind = task.kinds[0]
    mixed = replace(
        task, kinds=(replace(kind, count=own), replace(kind, id="hired", count=30, cost=700))
    )
    answer = solve_cases(mixed)
    assert check_cases(mixed, answer) == []
    assert answer.status == "optimal"
    assert answer.measures.cost == 700 * (need.measures.cases - own)
