"""Search one set's rotation: the least effort first, then the evenest use at that effort."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor, wait
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from conservation.rotation.core import Core
from conservation.rotation.form import Form
from conservation.rotation.greedy import by_hand
from conservation.rotation.likely import Likely, filling, likely
from conservation.rotation.model import Model, cost_of
from conservation.rotation.program import to_cp_sat
from conservation.rotation.steps import Key, SetOf, Steps
from conservation.rotation.stretches import Reach, stretches_of

BETWEEN_LOOKS_SECONDS = 0.05
SMALL_CELLS, LARGE_CELLS, MOST_CELLS = 300, 900, 20_000
FIRST_STAYS = 20
FOR_EFFORT = 0.8
LEAST_WORK = 0.02
WORK_A_STAY = 3e-5

Rows = frozenset[Key]


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

    rows: Rows | None
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
        self.cells = len(here.objects) * len(here.groups) * steps.count
        self.reach = Reach(steps, here)
        self.spent = 0.0
        self.by_clock = False

    @cached_property
    def model(self) -> Model:
        """Return the statement by steps, which leaves out no plan."""
        return Model(self.steps, self.here)

    @property
    def stopped(self) -> bool:
        """Return whether the answer is no longer wanted, or the safety net of time was reached."""
        return self.by_clock or self.limits.cancelled()

    def any_plan(self, *, most_cells: int = MOST_CELLS) -> Found:
        """Return the first rotation that breaks nothing.

        A set of more cells than given is not stated by steps, which takes long.
        """
        rows = self._by_hand()
        if rows is not None:
            return Found(rows)
        order = filling(self.steps, self.here, self.limits.seconds)
        if order is not None:
            self.spent += WORK_A_STAY * len(order.stretches)
            if order.bound:
                return Found(None, impossible=True)
            core = self._core(order, 2 * FIRST_STAYS * len(self.here.objects), None)
            _, rows, _ = self._solve(core, self.limits.work)
            if rows is not None or self.stopped or self.cells > most_cells:
                return Found(rows, by_clock=self.by_clock)
        status, rows, _ = self._solve(self.model, self.limits.work)
        return Found(rows, status == self.cp.INFEASIBLE, by_clock=self.by_clock)

    def best(self) -> Found:
        """Return the best rotation that the work allows, with bounds."""
        rows, bound = self._by_hand(), 0
        order = likely(self.steps, self.here, self.limits.seconds)
        if order is not None:
            rows, bound = self._by_stays(order, rows)
        if rows is None:
            # Without a cost to weigh, a plan is found, or excluded, far sooner.
            first = self.any_plan()
            if first.rows is None:
                return first
            rows = first.rows
        if self.cells <= SMALL_CELLS and cost_of(self.here, rows) > bound and not self.stopped:
            rows, bound = self._by_steps(rows, bound)
        least = cost_of(self.here, rows)
        if self.stopped:
            return Found(rows, effort_bound=bound, by_clock=self.by_clock)
        if least > bound or self.cells > LARGE_CELLS:
            if order is not None:
                form = self._core(order, FIRST_STAYS * len(self.here.objects), rows)
                rows, _, _ = self._evenest(form, rows, least)
            return Found(rows, effort_bound=bound, by_clock=self.by_clock)
        self.model.order_twins()
        rows, peak_bound, proved = self._evenest(self.model, rows, least)
        return Found(rows, False, bound, peak_bound, proved, self.by_clock)

    def _by_hand(self) -> Rows | None:
        found = (by_hand(self.reach, longest_first=flag) for flag in (True, False))
        full = [rows for rows, empty in found if not empty]
        return min(full, key=lambda rows: cost_of(self.here, rows), default=None)

    def _core(self, order: Likely, count: int, rows: Rows | None) -> Core:
        """Return the statement by the likeliest stays and those of the plan at hand."""
        mine = stretches_of(rows or ())
        return Core(self.reach, {*order.stretches[:count], *mine})

    def _by_stays(self, order: Likely, rows: Rows | None) -> tuple[Rows | None, int]:
        """Look for less effort among the likeliest stays, then among more of them."""
        count, bound = FIRST_STAYS * len(self.here.objects), order.bound
        stop = self.spent + self.limits.work * FOR_EFFORT
        while not self.stopped and (rows is None or cost_of(self.here, rows) > bound):
            core = self._core(order, count, rows)
            core.program.cost = core.effort()
            core.program.add(core.program.cost, least=bound)
            status, found, proved = self._solve(core, max(LEAST_WORK, stop - self.spent), hint=rows)
            if found is not None and (
                rows is None or cost_of(self.here, found) <= cost_of(self.here, rows)
            ):
                rows = found
            if status == self.cp.OPTIMAL:
                bound = max(bound, min(proved, order.beyond(count)))
            if self.spent >= stop or count >= len(order.stretches):
                break
            count *= 2
        return rows, bound

    def _by_steps(self, rows: Rows, bound: int) -> tuple[Rows, int]:
        program = self.model.program
        program.cost = self.model.effort()
        program.add(program.cost, least=bound)
        work = max(0.1, self.limits.work * FOR_EFFORT - self.spent)
        _, found, proved = self._solve(self.model, work, hint=rows)
        if found is not None and cost_of(self.here, found) <= cost_of(self.here, rows):
            rows = found
        return rows, max(bound, proved)

    def _evenest(self, form: Form, rows: Rows, least: int) -> tuple[Rows, int, bool]:
        """Return the evenest plan of this effort, its bound, and whether no other is evener."""
        form.program.add(form.effort(), most=least)
        form.program.cost = {form.peak(): 1}
        work = max(self.limits.work * (1 - FOR_EFFORT), self.limits.work - self.spent)
        status, found, bound = self._solve(form, work, hint=rows)
        return (rows if found is None else found), bound, status == self.cp.OPTIMAL

    def _solve(
        self, form: Form, work: float, *, hint: Rows | None = None
    ) -> tuple[Any, Rows | None, int]:
        model, made = to_cp_sat(self.cp, form.program)
        if hint is not None:
            for var, value in form.values(hint).items():
                model.add_hint(made[var], value)
        solver = self._solver(work)
        status = self._run(solver, model)
        if status not in (self.cp.OPTIMAL, self.cp.FEASIBLE):
            return status, None, 0
        rows = form.rows(lambda variable: int(solver.value(made[variable])))
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
