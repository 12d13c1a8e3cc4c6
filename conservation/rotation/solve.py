"""Plan a rotation: the least effort of changes, then the evenest use; or say why there is none."""

from __future__ import annotations

import time
from collections import defaultdict
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from conservation.rotation.arithmetic import alone, least_use, shortfalls
from conservation.rotation.cautions import cautions
from conservation.rotation.checks import check
from conservation.rotation.plan import Bound, Conflict, Plan, Stay
from conservation.rotation.problem import InvalidRotation, Problem
from conservation.rotation.search import Found, Limits, Search
from conservation.rotation.steps import Key, SetOf, Steps, sets_of
from conservation.rotation.uses import measure, uses_of
from conservation.tables import OURS, Tables

WORK = 0.9
REASON_WORK = 3.0


def solve(
    problem: Problem | dict[str, Any],
    *,
    seconds: float = 60.0,
    seed: int = 0,
    thorough: float = 1.0,
    cancelled: Callable[[], bool] = lambda: False,
    tables: Tables = OURS,
) -> Plan:
    """Return a plan that leaves no place empty and breaks nothing, or why there is none.

    The same problem and seed give the same plan. `thorough` (above 0) is how many times the usual
    work may go into the search: 1 takes two to five seconds for 60 objects at 12 places over 24
    months, whether in one set or in twelve.
    `seconds` (above 0) is a safety net for each step of the search; a plan that it cut short says
    `stopped_by_clock`. Bad input gives status
    `invalid` with a sentence for each fault. Source: computed here; the budgets are the asker's.

    >>> case = {"days": 60, "every_days": 30, "hours_a_day": 8,
    ...         "places": [{"id": "case 1", "set": "prints", "lux": 50}],
    ...         "objects": [{"id": name, "set": "prints", "longest_days": 30} for name in "AB"]}
    >>> plan = solve(case)
    >>> plan.status, plan.measures.changes
    ('optimal', 1)
    """
    began = time.perf_counter()
    if not isinstance(problem, Problem):
        try:
            problem = Problem.from_dict(problem)
        except InvalidRotation as error:
            rows = tuple(Conflict("invalid", "", (), (), words) for words in error.faults)
            return Plan("invalid", conflicts=rows, seed=seed)
    limits = Limits(WORK * thorough, seconds, seed, cancelled)
    plan = _plan(problem, limits, tables)
    return _dated(plan, seed, time.perf_counter() - began)


def _plan(problem: Problem, limits: Limits, tables: Tables) -> Plan:
    from conservation.rotation.reasons import explain

    short = shortfalls(problem)
    if short:
        blamed = tuple(dict.fromkeys(conflict.set for conflict in short))
        return explain(problem, short, blamed, _shared(limits, REASON_WORK))
    steps = Steps(problem)
    found: list[tuple[SetOf, Found]] = []
    every = sets_of(problem)
    sizes = [len(here.objects) * len(here.groups) for here in every]
    for here, size in zip(every, sizes, strict=True):
        share = limits.work * size / sum(sizes)
        found.append((here, Search(steps, here, _shared(limits, share)).best()))
    blamed = tuple(here.name for here, one in found if one.impossible)
    if blamed:
        return explain(problem, (), blamed, _shared(limits, REASON_WORK))
    clock = any(one.by_clock for _, one in found)
    lost = [here for here, one in found if one.rows is None]
    if lost:
        rows = tuple(
            Conflict(
                "unknown",
                here.name,
                (),
                (),
                f"Set {here.name}: no plan was found and none was excluded with the work allowed.",
            )
            for here in lost
        )
        return Plan("unknown", conflicts=rows, stopped_by_clock=clock)
    plan = _joined(problem, steps, found, clock)
    return replace(plan, cautions=cautions(problem, plan.stays, tables=tables))


def _shared(limits: Limits, work: float) -> Limits:
    return Limits(work, limits.seconds, limits.seed, limits.cancelled)


def _joined(problem: Problem, steps: Steps, found: list[tuple[SetOf, Found]], clock: bool) -> Plan:
    stays = tuple(
        stay for here, one in found for stay in stays_of(steps, here, one.rows or frozenset())
    )
    uses = uses_of(problem, stays)
    measures = measure(problem, stays, uses)
    bound = Bound(
        effort=sum(one.effort_bound for _, one in found),
        peak_use_permille=sum(
            one.peak_bound or least_use(alone(problem, here.name)) for here, one in found
        ),
    )
    proved = all(one.proved for _, one in found)
    above = measures.effort - bound.effort
    gap = round(100 * above / measures.effort, 1) if measures.effort else 0.0
    plan = Plan(
        "optimal" if proved else "feasible",
        stays,
        uses,
        measures,
        bound,
        gap,
        stopped_by_clock=clock,
    )
    if faults := check(problem, plan):
        raise RuntimeError(f"The plan found breaks a demand: {faults[0].sentence}")
    return plan


def stays_of(steps: Steps, here: SetOf, rows: frozenset[Key]) -> list[Stay]:
    """Return the stays at places of who is shown by (object, group, step).

    Within a group of alike places an object keeps its place until it leaves. Days from the
    opening; nothing is raised. Source: the search's answer.

    >>> from conservation.rotation.example import TWO_PRINTS
    >>> steps, (here,) = Steps(TWO_PRINTS), sets_of(TWO_PRINTS)
    >>> stays = stays_of(steps, here, frozenset({(0, 0, 0), (1, 0, 1)}))
    >>> [(stay.object, stay.place, stay.from_day, stay.to_day) for stay in stays]
    [('A', 'case', 0, 30), ('B', 'case', 30, 60)]
    """
    stays: list[Stay] = []
    shown: dict[int, list[set[int]]] = defaultdict(lambda: [set() for _ in range(steps.count)])
    for n, g, s in rows:
        shown[g][s].add(n)
    for g, group in enumerate(here.groups):
        held: dict[str, tuple[int, int]] = {}
        for step in range(steps.count + 1):
            now = shown[g][step] if step < steps.count else set()
            for place, (n, since) in list(held.items()):
                if n not in now:
                    stays.append(_stay(steps, here, n, place, since, step))
                    del held[place]
            free = [place.id for place in group.places if place.id not in held]
            new = sorted(now - {n for n, _ in held.values()})
            held.update({p: (n, step) for p, n in zip(free, new, strict=False)})
    return sorted(stays, key=lambda stay: (stay.from_day, stay.place))


def _stay(steps: Steps, here: SetOf, n: int, place: str, since: int, until: int) -> Stay:
    start, stop = steps.bounds[since], steps.bounds[until]
    first, last = steps.problem.date_of(start), steps.problem.date_of(stop - 1)
    return Stay(
        here.objects[n].id,
        place,
        start,
        stop,
        first.isoformat() if first else "",
        last.isoformat() if last else "",
    )


def _dated(plan: Plan, seed: int, seconds: float) -> Plan:
    return replace(plan, seed=seed, seconds=round(seconds, 2))
