"""Fill cases one item after another, and empty cases whose items fit elsewhere."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from layouts.cases.opencase import OpenCase, room
from layouts.cases.packing import Packer
from layouts.cases.task import Task

Score = tuple[int, int]


@dataclass
class Plan:
    """Cases with what they hold; the score is cost first, then the number of cases."""

    cases: list[OpenCase]

    def score(self, task: Task) -> Score:
        used = [case for case in self.cases if case.items]
        return sum(task.kinds[case.k].cost for case in used), len(used)

    def twin(self) -> Plan:
        return Plan([case.twin() for case in self.cases])


def orders(task: Task) -> list[list[int]]:
    """Return orders in which items may be placed: large, tall, or much disputed ones first."""
    items, conflicts = task.items, task.conflicts
    numbers = range(len(items))

    def height(i: int) -> int:
        return max(task.things[n].height_mm for n in items[i].things)

    def side(i: int) -> int:
        return max(max(task.things[n].footprint_mm(False)) for n in items[i].things)

    return [
        sorted(numbers, key=lambda i: (items[i].case is None, -items[i].area, i)),
        sorted(
            numbers,
            key=lambda i: (items[i].case is None, -conflicts[i].bit_count(), -items[i].area, i),
        ),
        sorted(numbers, key=lambda i: (items[i].case is None, -height(i), -items[i].area, i)),
        sorted(numbers, key=lambda i: (items[i].case is None, -side(i), -items[i].area, i)),
    ]


def first_fit(
    packer: Packer, order: Sequence[int], *, repack: bool = True, best: bool = False
) -> Plan | None:
    """Put each item into the first case that takes it, else open the cheapest kind that does.

    With `best` the fullest case comes first. None when an item finds no case.
    """
    plan = Plan([])
    for i in order:
        if not place(packer, plan, i, repack=repack, best=best):
            return None
    return plan


def place(packer: Packer, plan: Plan, i: int, *, repack: bool = True, best: bool = False) -> bool:
    """Add one item to a plan, in a case in use or a new one."""
    cases = plan.cases
    if best:
        cases = sorted(cases, key=lambda case: -case.area)
    if any(case.add(i, repack=False) for case in cases):
        return True
    if repack and any(case.add(i) for case in cases):
        return True
    task = packer.task
    for k in sorted(range(len(task.kinds)), key=lambda k: (task.kinds[k].cost, -room(task, k), k)):
        name = free_name(task, plan.cases, k, task.items[i].case)
        if name is None:
            continue
        fresh = OpenCase(packer, k, name)
        if fresh.add(i):
            plan.cases.append(fresh)
            return True
    return False


def free_name(
    task: Task, cases: Iterable[OpenCase], k: int, wanted: str | None = None
) -> str | None:
    """Return a case of a kind that is not in use, leaving named ones to whom they are promised."""
    used = {case.name for case in cases}
    if wanted is not None:
        return wanted if wanted in task.case_names[k] and wanted not in used else None
    promised = {item.case for item in task.items}
    names = [name for name in task.case_names[k] if name not in used]
    return min(names, key=lambda name: (name in promised, task.case_names[k][name]), default=None)


def empty_cases(
    packer: Packer,
    plan: Plan,
    *,
    target: Score,
    rounds: int,
    seed: int,
    stop: Callable[[], bool] = lambda: False,
) -> Plan:
    """Empty cases, dearest and emptiest first, as long as their items find room in the others.

    Items that find none push out smaller ones for a while; `rounds` limits the attempts.
    """
    task = packer.task
    dice = random.Random(seed)  # noqa: S311
    best = plan
    for attempt in range(rounds):
        if best.score(task) <= target or stop():
            break
        found = _without_one(packer, best, attempt, dice, stop)
        if found is not None and found.score(task) < best.score(task):
            best = found
    return best


def _without_one(
    packer: Packer, plan: Plan, attempt: int, dice: random.Random, stop: Callable[[], bool]
) -> Plan | None:
    task = packer.task
    trial = plan.twin()
    ranked = sorted(trial.cases, key=lambda c: (-task.kinds[c.k].cost, c.area, c.name or ""))
    free = [case for case in ranked if all(task.items[i].case is None for i in case.items)]
    if not free:
        return None
    gone = free[min(attempt, len(free) - 1) if attempt < len(free) else _early(dice, len(free))]
    trial.cases.remove(gone)
    todo = sorted(gone.items, key=lambda i: (-task.items[i].area, i))
    tabu: dict[int, int] = {}
    steps = 4 * len(todo) + 20
    while todo and steps and not stop():
        steps -= 1
        i = todo.pop(0)
        dice.shuffle(trial.cases)
        if any(case.add(i, repack=False) for case in trial.cases):
            continue
        if any(case.add(i) for case in trial.cases):
            continue
        pushed = _push(packer, trial, i, tabu, dice)
        if pushed is None:
            return None
        tabu[i] = tabu.get(i, 0) + 1
        todo = sorted([*todo, *pushed], key=lambda j: (-task.items[j].area, j))
    return None if todo else trial


def _early(dice: random.Random, count: int) -> int:
    return min(dice.randrange(count), dice.randrange(count))


def _push(
    packer: Packer, plan: Plan, i: int, tabu: dict[int, int], dice: random.Random
) -> list[int] | None:
    """Put an item in the place of others that clash with it or are smaller; return those."""
    task = packer.task
    item = task.items[i]
    choices = []
    for number, case in enumerate(plan.cases):
        if not item.masks[case.k]:
            continue
        clash = [j for j in case.items if task.conflicts[i] >> j & 1]
        if len(clash) > 3 or any(task.items[j].case is not None for j in clash):
            continue
        smaller = [
            j
            for j in case.items
            if j not in clash and task.items[j].area < item.area and task.items[j].case is None
        ]
        if clash:
            choices.append((_cost(task, clash, tabu), number, clash))
        choices += [(_cost(task, [*clash, j], tabu), number, [*clash, j]) for j in smaller]
    choices.sort(key=lambda row: (row[0], row[1]))
    for _, number, out in choices[:12]:
        case = plan.cases[number].twin()
        for j in out:
            case.remove(j)
        if case.add(i):
            plan.cases[number] = case
            return out
    return None


def _cost(task: Task, out: list[int], tabu: dict[int, int]) -> int:
    return sum(task.items[j].area * (1 + 3 * tabu.get(j, 0)) for j in out)
