"""Arrange showcases: arithmetic first, then the search, how things stand, and the verifier."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from layouts.cases.answer import CasesAnswer, Offer, Reason
from layouts.cases.assemble import answer_of, name_in_order
from layouts.cases.checks import check_cases
from layouts.cases.greedy import Plan
from layouts.cases.previous import homes, moved, old_layouts, rename
from layouts.cases.problem import CasesProblem, InvalidCases
from layouts.cases.reasons import impossible
from layouts.cases.search import Clock, Outcome, Search
from layouts.cases.sequence import gather, in_order
from layouts.cases.showing import show
from layouts.cases.task import Task

GATHER_MOVES = 400

Progress = Callable[[int, str], None]


class FaultyCases(RuntimeError):  # noqa: N818
    """The search gave an answer that the verifier rejects; it is never handed on as right."""


def solve_cases(
    problem: CasesProblem | dict[str, Any],
    *,
    seconds: float = 30.0,
    seed: int = 0,
    on_progress: Progress | None = None,
    cancelled: Callable[[], bool] = lambda: False,
) -> CasesAnswer:
    """Return the arrangement that keeps every demand, or say why there is none.

    Aims, in this order: every demand is kept; least cost; fewest cases; sections in as few cases as
    can be found; few interruptions of sections along the cases, and their order; even use of the
    cases; few surfaces without a line, few objects hidden. Cost and number of cases are proved or
    bounded, what follows is sought and measured. Equal input and seed give equal answers; `seconds`
    is a safety net, and `cut_short` says when it bit.
    """
    began = time.monotonic()
    tell = on_progress or (lambda percent, words: None)
    try:
        asked = problem if isinstance(problem, CasesProblem) else CasesProblem.from_dict(problem)
    except InvalidCases as error:
        reasons = tuple(Reason("invalid", (), fault) for fault in error.faults)
        return CasesAnswer("invalid", reasons=reasons, seed=seed)
    clock = Clock.of(seconds, cancelled)
    tell(5, "Checking the arithmetic")
    task = Task(asked)
    if reasons := tuple(impossible(task)):
        tell(60, "Looking for the demands that clash")
        answer = _none(asked, "infeasible", (*reasons, *_clashing(task, clock, seed)))
    else:
        tell(15, "Sharing the objects out over the cases")
        answer = _search(task, clock, seed, tell)
    taken = round(time.monotonic() - began, 3)
    return replace(answer, seconds=taken, seed=seed, cut_short=clock.rang)


def _none(problem: CasesProblem, status: str, reasons: tuple[Reason, ...]) -> CasesAnswer:
    return CasesAnswer(
        status, unplaced=tuple(thing.id for thing in problem.objects), reasons=reasons
    )


def _search(task: Task, clock: Clock, seed: int, tell: Progress) -> CasesAnswer:
    search = Search(task, seed, clock)
    found = search.free()
    if found.plan is None and not found.proved:
        words = (
            "No arrangement was found and none excluded: it may exist. Ask again with more time."
        )
        return _none(task.problem, "unknown", (Reason("not_found", (), words),))
    if found.plan is None:
        tell(60, "Looking for the demands that clash")
        return _none(task.problem, "infeasible", _clashing(task, clock, seed))
    tell(70, "Standing the objects")
    if task.problem.previous:
        answer = _changed(task, found, clock, seed)
    else:
        answer = finish(task, found, clock)
    if faults := check_cases(task.problem, answer):
        raise FaultyCases(" ".join(fault.sentence for fault in faults[:5]))
    return answer


def _clashing(task: Task, clock: Clock, seed: int) -> tuple[Reason, ...]:
    from layouts.cases.minimal import explain

    return tuple(explain(task, clock, seed))


def finish(task: Task, found: Outcome, clock: Clock) -> CasesAnswer:
    """Share sections out, order and name the cases, and stand everything as it will be seen."""
    assert found.plan is not None  # noqa: S101
    plan = gather(task, found.plan, moves=GATHER_MOVES, stop=clock.stop)
    cases = in_order(task, [case for case in plan.cases if case.items])
    name_in_order(task, cases)
    shown = [show(task, case.k, case.layout) for case in cases]
    return answer_of(task, cases, shown, bound=found.bound, proved=found.proved)


def _changed(task: Task, free: Outcome, clock: Clock, seed: int) -> CasesAnswer:
    """Answer with the fewest moves, or the best within those allowed, and offer the other ends."""
    old = old_layouts(task)
    search = Search(task, seed, clock, homes=homes(task), layouts=old)
    assert free.plan is not None  # noqa: S101
    rename(task, free.plan)
    kept = search.near(task.problem.moves_at_most)
    offers = [Offer(moved(task, free.plan), *free.plan.score(task))]
    if kept is None:
        limit = task.problem.moves_at_most
        if limit is not None and moved(task, free.plan) > limit:
            words = f"No arrangement with at most {limit} objects in another case was found."
            return _none(task.problem, "unknown", (Reason("moves", (), words),))
        chosen = free.plan
    else:
        chosen = kept
        offers.insert(0, Offer(moved(task, kept), *kept.score(task)))
    answer = _as_it_stands(task, chosen, free, old)
    return replace(answer, offers=tuple(offers))


def _as_it_stands(task: Task, plan: Plan, free: Outcome, old: dict[str, Any]) -> CasesAnswer:
    """Leave cases in their old order, and show anew only those where objects had to be moved."""
    before = [row["id"] for row in (task.problem.previous or {}).get("cases", [])]
    place = {name: n for n, name in enumerate(before)}
    used = [case for case in plan.cases if case.items]
    cases = sorted(used, key=lambda case: (place.get(case.name or "", len(place)), case.name or ""))
    shown = []
    for case in cases:
        stood = set(old.get(case.name or "", ()))
        kept = len(stood & set(case.layout)) == min(len(stood), len(case.layout))
        shown.append(case.layout if stood and kept else show(task, case.k, case.layout))
    return answer_of(
        task,
        cases,
        shown,
        bound=free.bound,
        proved=plan.score(task) <= free.bound,
        moved=moved(task, plan),
    )
