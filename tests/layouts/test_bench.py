"""The plain ways that the search is compared with, and that a plain solver model agrees with it."""

from dataclasses import replace

import pytest

from layouts import Problem, check, solve
from layouts.bench.baselines import greedy, in_list_order, plain_model
from layouts.bench.instances import exhibition
from layouts.blocks import blocks_of
from layouts.geometry import cells_of, clear_runs
from layouts.search.assign import assign
from layouts.search.model import Forbidden, Task
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


@pytest.mark.parametrize("kind", ["by_section", "even", "mirrored"])
def test_a_planted_hang_on_many_walls_is_found_and_proved(kind):
    problem = Problem.from_dict(exhibition(225, 25, 3, planted=True, kind=kind))
    answer = solve(problem)
    assert check(problem, answer) == []
    assert answer.status == "optimal"
    assert (answer.measures.smallest_gap_mm, answer.measures.gap_spread_mm) == (180, 0)


def test_sections_in_any_order_hang_evenly():
    data = exhibition(120, 8, 1, planted=True)
    data["arrangement"]["sections"] = None
    problem = Problem.from_dict(data)
    answer = solve(problem)
    assert check(problem, answer) == []
    assert (answer.measures.smallest_gap_mm, answer.measures.gap_spread_mm) == (180, 0)


def test_a_cut_is_kept_on_many_walls():
    problem = Problem.from_dict(exhibition(225, 25, 3, planted=True))
    runs = clear_runs(problem)
    task = Task(problem, blocks_of(problem), runs, cells_of(runs, problem))
    first = assign(task, Allowance(60)).hang
    one, other = [o for o in first.options if o.run == first.options[0].run][:2]
    cut = Forbidden(((one.run, one.block), (other.run, other.block)))
    again = assign(replace(task, forbidden=(cut,)), Allowance(60)).hang
    places = {(o.run, o.block) for o in again.options}
    assert not places.issuperset(cut.places)
    assert first.least_mm >= again.least_mm > problem.arrangement.min_gap_mm
