"""Find which block hangs in which cell of which run, so that all gaps come as close as they can.

Objective, in this order: the least gap is as large as possible; then the largest gap is as small
as possible.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor, wait
from dataclasses import dataclass
from itertools import combinations
from typing import Any

from layouts.blocks import Block
from layouts.geometry import Cell, Stretch
from layouts.problem import Problem
from layouts.search.model import EVERY_DEMAND, Demands, Forbidden, Model

DETERMINISTIC_SECONDS = 4.0
PROBE_SECONDS = 1.0
BANDS_MM = (0, 2, 10)
BETWEEN_LOOKS_SECONDS = 0.2


@dataclass
class Assignment:
    """`runs[r]` lists, cell by cell, the numbers of the blocks that hang there, in order.

    `spread_bound_mm` is what the spread of gaps cannot go below when the least gap is as here.
    """

    runs: list[list[list[int]]]
    proved: bool
    least_mm: int
    most_mm: int
    spread_bound_mm: int


def assign(
    problem: Problem,
    blocks: Sequence[Block],
    runs: Sequence[Stretch],
    cells: Sequence[Cell],
    *,
    demands: Demands = EVERY_DEMAND,
    forbidden: Sequence[Forbidden] = (),
    lenient: bool = False,
    seed: int = 0,
    seconds: float = 30.0,
    cancelled: Callable[[], bool] = lambda: False,
) -> Assignment | None:
    """Return the assignment with the largest least gap, or None when there is provably none.

    Raises TimeoutError when neither is known in the time given.
    """
    from ortools.sat.python import cp_model

    build = Model(cp_model.CpModel(), problem, blocks, runs, cells, tuple(forbidden), lenient)
    if not build.constrain(demands):
        return None
    return _solve(build, cp_model, demands, seed, seconds, cancelled)


def _solve(
    build: Model,
    cp: Any,
    demands: Demands,
    seed: int,
    seconds: float,
    cancelled: Callable[[], bool],
) -> Assignment | None:
    model, problem, runs = build.model, build.problem, build.runs
    longest = max(run.length_mm for run in runs)
    least = model.new_int_var(0, longest, "least gap")
    most = model.new_int_var(0, longest, "largest gap")
    for r, gap in build.gaps.items():
        model.add(least <= gap).only_enforce_if(build.used[r])
        if problem.arrangement.ends == "free":
            model.add(gap <= least).only_enforce_if(build.used[r])
        model.add(most >= gap).only_enforce_if(build.used[r])
    limit = largest_gap_mm(build.blocks, runs, problem.arrangement.section_gap_mm)
    model.add(least <= limit)
    if (ideal := _near(build, cp, demands, limit, seed, seconds, cancelled)) is not None:
        return ideal
    solver = _solver(cp, seed, seconds)
    model.maximize(least)
    status = _run(solver, model, cancelled)
    if status == cp.INFEASIBLE:
        return None
    if status not in (cp.OPTIMAL, cp.FEASIBLE):
        raise TimeoutError("No hang was found and none excluded in the time given.")
    proved = status == cp.OPTIMAL
    best = int(solver.objective_value)
    answer = _read(build, solver)
    if problem.arrangement.ends == "free" or cancelled():
        return Assignment(answer, proved, best, solver.value(most), 0)
    model.add(least >= best)
    model.add(most >= best)
    model.clear_hints()
    for var in [*build.inside.values(), *build.across.values()]:
        model.add_hint(var, solver.value(var))
    model.minimize(most)
    second = _solver(cp, seed, seconds)
    status = _run(second, model, cancelled)
    if status in (cp.OPTIMAL, cp.FEASIBLE):
        answer = _read(build, second)
        spread = max(0, int(second.best_objective_bound) - best)
        proved = proved and status == cp.OPTIMAL
        return Assignment(answer, proved, best, second.value(most), spread)
    return Assignment(answer, False, best, solver.value(most), 0)


def _near(
    build: Model,
    cp: Any,
    demands: Demands,
    limit: int,
    seed: int,
    seconds: float,
    cancelled: Callable[[], bool],
) -> Assignment | None:
    """Return a hang whose gaps are all the largest possible, or hint at one that comes near.

    Gaps in a narrow band make the products of counts and gaps almost linear: a good hang is found
    in moments where the open model takes seconds.
    """
    for near in BANDS_MM:
        band = (max(0, limit - near), limit + near)
        probe = build.within(cp.CpModel(), band)
        if not probe.constrain(demands):
            return None
        solver = _solver(cp, seed, seconds, work=PROBE_SECONDS)
        if _run(solver, probe.model, cancelled) not in (cp.OPTIMAL, cp.FEASIBLE):
            continue
        if near == 0 and not build.lenient:
            return Assignment(_read(probe, solver), True, limit, limit, 0)
        build.hint_at(probe, solver.value)
        return None
    return None


def largest_gap_mm(
    blocks: Sequence[Block], runs: Sequence[Stretch], section_gap_mm: int | None
) -> int:
    """Return a least gap that no hang can exceed: all free length shared among all gaps.

    Which runs stay empty is free, so the best choice of runs counts; with many runs all length is
    counted and only the gaps that must exist.
    """
    width = sum(block.width_mm for block in blocks)
    inner = 2 * sum(block.count for block in blocks)
    if section_gap_mm is not None:
        inner -= 2 * (len({block.section for block in blocks}) - 1)
    if len(runs) > 12:
        free = 2 * (sum(run.length_mm for run in runs) - width)
        return max(0, free // max(1, inner - 2 * len(runs)))
    best = 0
    for count in range(1, len(runs) + 1):
        for chosen in combinations(runs, count):
            free = 2 * (sum(run.length_mm for run in chosen) - width)
            units = inner + sum(run.left + run.right - 2 for run in chosen)
            best = max(best, free // max(1, units))
    return best


def _solver(cp: Any, seed: int, seconds: float, *, work: float = DETERMINISTIC_SECONDS) -> Any:
    """One worker and deterministic work repeat themselves; the clock is only the safety net."""
    solver = cp.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = work
    solver.parameters.max_time_in_seconds = seconds
    return solver


def _run(solver: Any, model: Any, cancelled: Callable[[], bool]) -> Any:
    """Solve in a thread beside this one, which looks whether the answer is still wanted."""
    with ThreadPoolExecutor(max_workers=1) as pool:
        status = pool.submit(solver.solve, model)
        while not status.done():
            wait([status], timeout=BETWEEN_LOOKS_SECONDS)
            if not status.done() and cancelled():
                solver.stop_search()
        return status.result()


def _read(build: Model, solver: Any) -> list[list[list[int]]]:
    """Return block numbers by run and slot: each cell, and between cells what straddles them."""
    slots: list[list[list[int]]] = [[] for _ in build.runs]
    for c, cell in enumerate(build.cells):
        slots[cell.run].append(
            [i for (i, k), v in build.inside.items() if k == c and solver.value(v)]
        )
        slots[cell.run].append(
            [i for (i, k), v in build.across.items() if k == c and solver.value(v)]
        )
    return slots
