"""After a change as little as possible moves."""

from dataclasses import replace

import pytest

from layouts.cases import CasesProblem, check_cases, solve_cases
from tests.layouts.cases.problems import kind, problem, showcases, thing


@pytest.fixture(scope="module")
def before():
    task = CasesProblem.from_dict(showcases(40, 3))
    return task, solve_cases(task)


def again(task, answer, **changes):
    return replace(task, previous=answer.to_dict(), **changes)


def test_nothing_moves_without_a_change(before):
    task, answer = before
    second = solve_cases(again(task, answer))
    assert (second.places, second.cases) == (answer.places, answer.cases)
    assert second.measures.moved == 0


def test_a_newcomer_moves_nobody(before):
    task, answer = before
    new = replace(task.objects[0], id="new", width_mm=40, depth_mm=40, height_mm=40)
    second = solve_cases(again(task, answer, objects=(*task.objects, new)))
    old = {place.id: place for place in answer.places}
    assert second.measures.moved == 0
    assert all(old[p.id].case == p.case for p in second.places if p.id != "new")
    assert check_cases(again(task, answer, objects=(*task.objects, new)), second) == []


def test_an_object_that_leaves_moves_nobody(before):
    task, answer = before
    fewer = replace(task, objects=task.objects[1:], conflicts=task.conflicts[:8])
    second = solve_cases(again(fewer, answer))
    old = {place.id: place for place in answer.places}
    assert all(old[place.id] == place for place in second.places)


def test_a_new_conflict_moves_one(before):
    task, answer = before
    case = next(c.id for c in answer.cases if sum(p.case == c.id for p in answer.places) > 2)
    pair = [p.id for p in answer.places if p.case == case][:2]
    rule = replace(task.conflicts[-1], objects=tuple(pair), tags=())
    changed = again(task, answer, conflicts=(*task.conflicts, rule))
    second = solve_cases(changed)
    assert second.measures.moved == 1
    assert check_cases(changed, second) == []
    none = solve_cases(replace(changed, moves_at_most=0))
    assert none.status == "unknown"
    assert "at most 0" in none.reasons[0].sentence


def test_moves_allowed_buy_fewer_cases():
    """Three lone objects in three cases: no move keeps three, two moves bring them into one."""
    asked = problem([kind(count=3)], [thing("A"), thing("B"), thing("C")])
    places = [
        {"id": name, "case": f"case-{n}", "shelf": 0, "x_mm": 20, "y_mm": 20}
        for n, name in enumerate("ABC", 1)
    ]
    old = {"places": places, "cases": [{"id": f"case-{n}"} for n in (1, 2, 3)]}
    least = solve_cases(asked | {"previous": old})
    assert (least.measures.moved, least.measures.cases) == (0, 3)
    assert [(o.moves, o.cases) for o in least.offers] == [(0, 3), (2, 1)]
    for allowed, cases in ((0, 3), (1, 2), (2, 1)):
        some = solve_cases(asked | {"previous": old, "moves_at_most": allowed})
        assert (some.measures.moved, some.measures.cases) == (allowed, cases)
