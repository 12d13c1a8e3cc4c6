"""Stand cases in a row so that sections follow each other, and share sections out over them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

from layouts.cases.greedy import Plan
from layouts.cases.opencase import OpenCase, room
from layouts.cases.task import Task

MOST_PASSES = 6
EXACT_UP_TO = 9


def ranks(task: Task) -> dict[str, int]:
    """Return the place of each section, in the order asked for or of first mention."""
    named = list(task.problem.sections)
    named += [t.section for t in task.things if t.section and t.section not in named]
    return {section: n for n, section in enumerate(dict.fromkeys(named))}


def sections_in(task: Task, case: OpenCase) -> frozenset[str]:
    """Return the sections that a case holds."""
    found = (task.things[n].section for i in case.items for n in task.items[i].things)
    return frozenset(section for section in found if section)


def breaks(cases: Sequence[frozenset[str]]) -> int:
    """Count how often a section is taken up again after other cases came between.

    >>> breaks([frozenset("a"), frozenset("b"), frozenset("a")])
    1
    """
    seen: set[str] = set()
    count = 0
    before: frozenset[str] = frozenset()
    for here in cases:
        count += len((here - before) & seen)
        seen |= here
        before = here
    return count


def backward(cases: Sequence[frozenset[str]], rank: dict[str, int]) -> int:
    """Count neighbouring cases whose sections run against their order."""

    def middle(case: frozenset[str]) -> float:
        return sum(rank[s] for s in case) / len(case)

    return sum(middle(a) > middle(b) for a, b in pairwise([case for case in cases if case]))


def in_order(task: Task, cases: Sequence[OpenCase]) -> list[OpenCase]:
    """Return the cases in the order with the fewest breaks, then the fewest steps back.

    Found by moving single cases until none helps.
    """
    rank = ranks(task)
    held = {id(case): sections_in(task, case) for case in cases}

    def mean(case: OpenCase) -> float:
        here = held[id(case)]
        return sum(rank[s] for s in here) / len(here) if here else len(rank)

    order = sorted(cases, key=lambda case: (mean(case), case.name or ""))

    def worth(row: Sequence[OpenCase]) -> tuple[int, int]:
        sets = [held[id(case)] for case in row]
        return breaks(sets), backward(sets, rank)

    best = worth(order)
    for _ in range(MOST_PASSES):
        better = False
        for start in range(len(order)):
            for end in range(len(order)):
                trial = list(order)
                trial.insert(end, trial.pop(start))
                if (found := worth(trial)) < best:
                    order, best, better = trial, found, True
        if not better or best == (0, 0):
            break
    return order


def gather(task: Task, plan: Plan, *, moves: int, stop: Callable[[], bool]) -> Plan:
    """Move single items so that sections meet in fewer cases, then so that cases fill evenly.

    Cost and number of cases stay as they are; `moves` limits the attempts.
    """
    for worth in (_scatter, _unevenness):
        changed = True
        while changed and moves > 0 and not stop():
            changed = False
            for a in range(len(plan.cases)):
                for i in sorted(plan.cases[a].items):
                    if moves <= 0 or task.items[i].case is not None:
                        continue
                    moves -= _try_moves(task, plan, a, i, worth)
                    if i not in plan.cases[a].items:
                        changed = True
    return plan


def _try_moves(
    task: Task, plan: Plan, a: int, i: int, worth: Callable[[Task, Plan], tuple[int, int]]
) -> int:
    """Move one item to the first case where that is better; return the attempts it took."""
    if len(plan.cases[a].items) < 2:
        return 0
    before, source, tried = worth(task, plan), plan.cases[a], 0
    without = source.twin()
    without.remove(i)
    for b in range(len(plan.cases)):
        if a == b or not plan.cases[b].admits(i):
            continue
        target = plan.cases[b]
        trial = Plan(list(plan.cases))
        shadow = target.twin()
        shadow.items.append(i)
        trial.cases[a], trial.cases[b] = without, shadow
        if worth(task, trial) >= before:
            continue
        tried += 1
        taken = target.twin()
        if taken.add(i):
            plan.cases[a], plan.cases[b] = without, taken
            break
    return tried


def _scatter(task: Task, plan: Plan) -> tuple[int, int]:
    """Count in how many cases each section stands, in all."""
    return sum(len(sections_in(task, case)) for case in plan.cases), 0


def _unevenness(task: Task, plan: Plan) -> tuple[int, int]:
    """Return the scatter and the sum of squared shares of surface in use, in parts of 10,000."""
    shares = [10_000 * case.area // max(1, room(task, case.k)) for case in plan.cases]
    return _scatter(task, plan)[0], sum(share * share for share in shares)
