"""Gather many sets of items known to share a case, and choose the fewest that hold everything.

After Monaci and Toth 2006 (a set-covering approach to two-dimensional bin packing), from memory.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from layouts.cases.emptying import Emptying, Found, Held
from layouts.cases.greedy import Plan
from layouts.cases.opencase import OpenCase
from layouts.cases.packing import Layout, Packer, Spot
from layouts.cases.task import Task

Sets = dict[frozenset[int], Layout]
MOST_SETS = 6_000
ROUNDS = 4


@dataclass(frozen=True)
class Limits:
    """What one choice among the sets may cost: deterministic work, and seconds left."""

    work: float
    seconds: Callable[[], float]
    seed: int


def pooled(
    packer: Packer,
    plan: Plan,
    *,
    least: int,
    passes: int,
    steps: int,
    work: float,
    seconds: Callable[[], float],
    stop: Callable[[], bool],
    seed: int,
) -> Plan:
    """Return a plan with as few cases as the sets gathered allow, or the plan given.

    Only for one kind of case and no item bound to a case.
    """
    task = packer.task
    if len(task.kinds) != 1 or any(item.case for item in task.items):
        return plan
    limits = Limits(work, seconds, seed)
    if is_plain(task):
        return _emptied(packer, plan, least, steps, stop, limits)
    dice = random.Random(seed)  # noqa: S311
    sets: Sets = {frozenset(case.items): case.layout for case in plan.cases}
    best = plan
    for _ in range(ROUNDS):
        for _ in range(passes // ROUNDS):
            if stop() or len(sets) > MOST_SETS:
                break
            sets.update(_one_pass(packer, dice))
        chosen = _cover(len(task.items), sets, len(best.cases), least, limits)
        if chosen is not None:
            best = _plan(packer, chosen, sets)
        if len(best.cases) <= least or stop():
            break
    return best


def is_plain(task: Task) -> bool:
    """Say whether boxes on the floors of like cases are all there is: no rules, ties, shelves."""
    return (
        len(task.kinds) == 1
        and len(task.surfaces[0]) == len(task.settings[0]) == 1
        and not any(task.ruled)
        and all(len(item.things) == 1 and item.case is None for item in task.items)
    )


def _emptied(
    packer: Packer,
    plan: Plan,
    least: int,
    steps: int,
    stop: Callable[[], bool],
    limits: Limits,
) -> Plan:
    task = packer.task
    surface, gap = task.surfaces[0][0], task.problem.clearances.between_mm
    things = [task.things[item.things[0]] for item in task.items]
    emptying = Emptying(
        [(t.width_mm + gap, t.depth_mm + gap, t.turns) for t in things],
        surface.width_mm + gap,
        surface.depth_mm + gap,
        [t.mass_g for t in things],
        surface.max_g,
        limits.seed,
    )

    def choose(found: Iterable[Held], below: int) -> list[Held] | None:
        return _cover(len(task.items), [*found][-MOST_SETS:], below, least, limits)

    start = [frozenset(case.items) for case in plan.cases]
    for case, held in zip(plan.cases, start, strict=True):
        emptying.found[held] = {
            task.item_of[s.thing]: (s.x_mm - surface.left_mm, s.y_mm - surface.front_mm, s.turned)
            for s in case.layout
        }
    bins = emptying.fewest(start, least=least, steps=steps, choose=choose, stop=stop)
    if len(bins) >= len(plan.cases):
        return plan
    return _plan(packer, bins, {held: _layout(task, emptying.found, held) for held in bins})


def _layout(task: Task, found: Found, held: Held) -> Layout:
    surface = task.surfaces[0][0]
    return tuple(
        Spot(
            task.items[i].things[0],
            surface.number,
            x + surface.left_mm,
            y + surface.front_mm,
            turned,
        )
        for i, (x, y, turned) in found[held].items()
    )


def _one_pass(packer: Packer, dice: random.Random) -> Sets:
    """Fill case after case, each with what comes first in an order shuffled a little."""
    task = packer.task
    power, noise = dice.choice((0.0, 0.5, 1.0, 1.0)), dice.choice((0.1, 0.3, 0.8))
    weights = {
        i: _size(task, i, power) * (1 - noise * dice.random()) for i in range(len(task.items))
    }
    order = sorted(weights, key=lambda i: (-weights[i], i))
    found: Sets = {}
    while order:
        held, layout = _scan(packer, order)
        if not held:
            break
        found[frozenset(held)] = layout
        order = [i for i in order if i not in held]
    return found


def _size(task: Task, i: int, power: float) -> float:
    """Weigh an item between its longest side (0) and its ground (1)."""
    things = [task.things[n] for n in task.items[i].things]
    side = sum(max(thing.width_mm, thing.depth_mm) for thing in things)
    weight: float = float(task.items[i].area) ** power * float(side) ** (2 - 2 * power)
    return weight


def _scan(packer: Packer, order: list[int]) -> tuple[set[int], Layout]:
    case = OpenCase(packer, 0)
    for i in order:
        case.add(i, repack=False)
    packer.spent += 1 + len(order) // 4
    return set(case.items), case.layout


def _cover(
    count: int, sets: Iterable[Held], below: int, least: int, limits: Limits
) -> list[Held] | None:
    """Choose fewer than so many sets that hold all of `count` items; None if none were found."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    rows = sorted(sets, key=sorted)
    use = [model.new_bool_var("") for _ in rows]
    holding: list[list[Any]] = [[] for _ in range(count)]
    for var, row in zip(use, rows, strict=True):
        for i in row:
            holding[i].append(var)
    for those in holding:
        model.add_bool_or(those)
    model.add(sum(use) <= below - 1)
    model.add(sum(use) >= least)
    model.minimize(sum(use))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = limits.seed
    solver.parameters.max_deterministic_time = limits.work
    solver.parameters.max_time_in_seconds = limits.seconds()
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    return [row for var, row in zip(use, rows, strict=True) if solver.value(var)]


def _plan(packer: Packer, chosen: list[frozenset[int]], sets: Sets) -> Plan:
    """Make cases of the sets chosen; an item held twice stays in the first."""
    task = packer.task
    names = iter(task.case_names[0])
    done: set[int] = set()
    cases = []
    for row in chosen:
        items = sorted(row - done)
        done |= row
        things = {n for i in items for n in task.items[i].things}
        case = OpenCase(packer, 0, next(names))
        case.fill_with(items, tuple(spot for spot in sets[row] if spot.thing in things))
        cases.append(case)
    return Plan([case for case in cases if case.items])
