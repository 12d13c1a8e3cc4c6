"""Search one set's rotation: the least effort first, then the evenest use at that effort."""

from __future__ import annotations

import random
from collections.abc import Callable, Collection
from concurrent.futures import ThreadPoolExecutor, wait
from dataclasses import dataclass
from typing import Any

from conservation.rotation.greedy import by_hand
from conservation.rotation.model import Model, cost_of
from conservation.rotation.program import relaxed_bound, to_cp_sat
from conservation.rotation.steps import Key, SetOf, Steps

BETWEEN_LOOKS_SECONDS = 0.05
SMALL, LARGE = 1_000, 3_000
NEIGHBOUR_WORK = 0.08
LEAST_WORK = 0.02


@dataclass(frozen=True)
class Limits:
    """How much work may be spent; the clock is only a safety net, for it never repeats itself."""

    work: float
    seconds: float
    seed: int
    cancelled: Callable[[], bool] = lambda: False


@dataclass(frozen=True)
class Found:
    """Who is shown by (object, group, step); None where nothing was found.

    `impossible` is a proof; without it None means that the work ran out.
    """

    rows: frozenset[Key] | None
    impossible: bool = False
    effort_bound: int = 0
    peak_bound: int = 0
    proved: bool = False
    by_clock: bool = False


class Search:
    """One set's search; `spent` counts deterministic work."""

    def __init__(self, steps: Steps, here: SetOf, limits: Limits) -> None:
        from ortools.sat.python import cp_model

        self.cp: Any = cp_model
        self.steps, self.here, self.limits = steps, here, limits
        self.model = Model(steps, here)
        self.spent = 0.0
        self.by_clock = False

    def any_plan(self) -> Found:
        """Return the first rotation that breaks nothing."""
        status, rows, _ = self._solve(self.limits.work)
        return Found(rows, status == self.cp.INFEASIBLE, by_clock=self.by_clock)

    def best(self) -> Found:
        """Return the best rotation that the work allows, with bounds."""
        program = self.model.program
        rows = self._by_hand()
        if rows is None:
            # Without a cost to weigh, a plan is found, or excluded, far sooner.
            first = self.any_plan()
            if first.rows is None:
                return first
            rows = first.rows
        program.cost = self.model.effort()
        bound = relaxed_bound(program, self.limits.seconds)
        if cost_of(self.here, rows) > bound:
            rows, bound = self._least_effort(rows, bound)
        least = cost_of(self.here, rows)
        if least > bound and len(program.tops) > LARGE:
            return Found(rows, effort_bound=bound, by_clock=self.by_clock)
        if self.limits.cancelled() or self.by_clock:
            return Found(rows, effort_bound=bound, by_clock=self.by_clock)
        rows, peak_bound, proved = self._evenest(rows, least)
        if least > bound:
            peak_bound, proved = 0, False
        return Found(rows, False, bound, peak_bound, proved, self.by_clock)

    def _by_hand(self) -> frozenset[Key] | None:
        found = (by_hand(self.steps, self.here, longest_first=flag) for flag in (True, False))
        full = [rows for rows, empty in found if not empty]
        return min(full, key=lambda rows: cost_of(self.here, rows), default=None)

    def _least_effort(self, rows: frozenset[Key], bound: int) -> tuple[frozenset[Key], int]:
        program = self.model.program
        program.add(program.cost, least=bound)
        small = len(program.tops) <= SMALL
        stop = self.spent + self.limits.work * 0.7
        rows = self._neighbours(
            rows, bound, self.spent + self.limits.work * (0.4 if small else 0.7)
        )
        if cost_of(self.here, rows) <= bound or not small:
            return rows, bound
        _, found, proved = self._solve(max(0.1, stop - self.spent), hint=rows)
        if found is not None and cost_of(self.here, found) <= cost_of(self.here, rows):
            rows = found
        return rows, max(bound, proved)

    def _neighbours(self, rows: frozenset[Key], bound: int, stop: float) -> frozenset[Key]:
        """Free some objects or some steps at a time and solve these again."""
        dice = random.Random(self.limits.seed)  # noqa: S311
        count, width = len(self.here.objects), max(4, self.steps.count * 2 // 5)
        turn = 0
        while self.spent < stop and not self.by_clock and not self.limits.cancelled():
            if cost_of(self.here, rows) <= bound:
                break
            turn += 1
            some: Collection[int] = range(count)
            when = range(self.steps.count)
            if turn % 2:
                some = set(dice.sample(range(count), min(count, max(3, count * 2 // 5))))
            else:
                start = dice.randrange(max(1, self.steps.count - width + 1))
                when = range(start, start + width)
            held = self.model.outside(rows, some, when)
            found = self._within(rows, held)
            if found is not None and cost_of(self.here, found) <= cost_of(self.here, rows):
                rows = found
        return rows

    def _evenest(self, rows: frozenset[Key], least: int) -> tuple[frozenset[Key], int, bool]:
        program = self.model.program
        program.add(self.model.effort(), most=least)
        peak = self.model.peak()
        program.cost = {peak: 1}
        self.model.order_twins()
        status, found, bound = self._solve(
            max(self.limits.work * 0.3, self.limits.work - self.spent), hint=rows
        )
        proved = status == self.cp.OPTIMAL
        return (rows if found is None else found), bound, proved

    def _within(self, rows: frozenset[Key], held: dict[int, int]) -> frozenset[Key] | None:
        """Return the best rotation that keeps the values held."""
        small, number = self.model.program.held(held)
        model, made = to_cp_sat(self.cp, small)
        values = self.model.values(rows)
        for var, n in number.items():
            model.add_hint(made[n], values[var])
        solver = self._solver(NEIGHBOUR_WORK)
        if self._run(solver, model) not in (self.cp.OPTIMAL, self.cp.FEASIBLE):
            return None
        return frozenset(
            key
            for key, var in self.model.shown.items()
            if (held[var] if var in held else solver.value(made[number[var]]))
        )

    def _solve(
        self, work: float, *, hint: frozenset[Key] | None = None
    ) -> tuple[Any, frozenset[Key] | None, int]:
        model, made = to_cp_sat(self.cp, self.model.program)
        if hint is not None:
            for var, value in self.model.values(hint).items():
                model.add_hint(made[var], value)
        solver = self._solver(work)
        status = self._run(solver, model)
        if status not in (self.cp.OPTIMAL, self.cp.FEASIBLE):
            return status, None, 0
        rows = frozenset(k for k, v in self.model.shown.items() if solver.value(made[v]))
        return status, rows, int(-((-solver.best_objective_bound + 1e-6) // 1))

    def _solver(self, work: float) -> Any:
        """One worker, a seed and deterministic work repeat themselves."""
        solver = self.cp.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = self.limits.seed
        solver.parameters.max_deterministic_time = work
        solver.parameters.max_time_in_seconds = self.limits.seconds
        solver.parameters.linearization_level = 2
        return solver

    def _run(self, solver: Any, model: Any) -> Any:
        """Solve in a thread beside this one, which looks whether the answer is still wanted."""
        with ThreadPoolExecutor(max_workers=1) as pool:
            running = pool.submit(solver.solve, model)
            while not running.done():
                wait([running], timeout=BETWEEN_LOOKS_SECONDS)
                if not running.done() and self.limits.cancelled():
                    solver.stop_search()
            status = running.result()
        self.spent += max(solver.response_proto.deterministic_time, LEAST_WORK)
        self.by_clock = self.by_clock or solver.wall_time >= self.limits.seconds
        return status
