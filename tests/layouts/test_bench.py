"""The plain ways that the search is compared with, and that a plain solver model agrees with it."""

from dataclasses import replace

import pytest

from layouts import Problem, check, solve
from layouts.bench.baselines import greedy, in_list_order, plain_model
from layouts.bench.instances import exhibition
from layouts.blocks import blocks_of
from layouts.geometry import cells_of, clear_runs
from layouts.search.assign import ask
from layouts.search.model import Forbidden, Task
from layouts.search.rolling import rolled
from layouts.search.solver import Allowance


@pytest.mark.parametrize("seed", range(4))
def test_plain_model_finds_no_larger_least_gap_and_the_search_no_smaller(seed):
    data = exhibition(12, 2, seed, planted=True)
    data["apart"] = []
    for wall in data["walls"]:
        wall["fixings"][0]["max_kg_per_m"] = None
    problem = Problem.from_dict(data)
    answer = solve(problem)
    plain = plain_model(problem, 20)
    assert answer.status == "optimal"
    assert min(run.gap_mm for run in answer.runs) == plain.least_mm


def test_planted_exhibition_has_equal_gaps():
    problem = Problem.from_dict(exhibition(40, 3, 1, planted=True))
    answer = solve(problem)
    assert check(problem, answer) == []
    assert (answer.measures.smallest_gap_mm, answer.measures.gap_spread_mm) == (180, 0)


def test_list_order_sees_no_limits_and_greedy_keeps_them():
    problem = Problem.from_dict(exhibition(60, 4, 0, planted=False))
    assert in_list_order(problem).broken > 0
    assert greedy(problem).broken == 0
    assert greedy(problem).spread_mm > solve(problem).measures.gap_spread_mm


def test_many_runs_are_levelled_a_few_at_a_time():
    """A hang whose gaps lie up to 10 mm to either side comes nearer, each piece once, in bounds."""
    problem = Problem.from_dict(exhibition(225, 25, 3, planted=True))
    runs = clear_runs(problem)
    task = Task(problem, blocks_of(problem), runs, cells_of(runs, problem))
    allowance = Allowance(60)
    rough, _ = ask(task, (170, 190), allowance)
    level = rolled(task, rough, 180, allowance)
    assert level.most_mm - level.least_mm < rough.most_mm - rough.least_mm
    assert [o.block for o in level.options] == list(range(len(task.blocks)))
    again, certain = ask(task, (level.least_mm, level.most_mm), allowance, hint=level)
    assert certain
    assert again is not None


def test_levelling_keeps_pairs_apart_that_a_cut_forbids():
    problem = Problem.from_dict(exhibition(225, 25, 3, planted=True))
    runs = clear_runs(problem)
    task = Task(problem, blocks_of(problem), runs, cells_of(runs, problem))
    rough, _ = ask(task, (170, 190), Allowance(60))
    level = rolled(task, rough, 180, Allowance(60))
    came = next(b for a, b in zip(rough.options, level.options, strict=True) if a.run != b.run)
    mate = next(o for o in level.options if o.run == came.run and o.block != came.block)
    cut = Forbidden(((came.run, came.block), (came.run, mate.block)))
    again = rolled(replace(task, forbidden=(cut,)), rough, 180, Allowance(60))
    places = {(o.run, o.block) for o in again.options}
    assert not places.issuperset(cut.places)
