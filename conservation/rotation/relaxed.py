"""Find prices for the bound: a set's stays as shares of whole ones, a linear programme.

Objects flow from step to step, through stays and rests or idly; places ask for their number.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from conservation.rotation.prices import UNIT, Prices
from conservation.rotation.steps import Window
from conservation.rotation.stretches import Reach, Stretch


class Relaxed:
    """The linear programme over the stretches added."""

    def __init__(self, reach: Reach, seconds: float) -> None:
        from ortools.linear_solver import pywraplp

        self.reach, self.steps, self.here = reach, reach.steps, reach.here
        self.optimal = pywraplp.Solver.OPTIMAL
        self.solver = pywraplp.Solver.CreateSolver("GLOP")
        self.solver.SetTimeLimit(max(1, int(seconds * 1000)))
        self.goal = self.solver.Objective()
        self.goal.SetMinimization()
        objects, count = self.here.objects, self.steps.count
        # Rows of successive steps are subtracted from each other, which leaves few entries.
        self.places = {
            (g, step): self._row(0 if step else len(group.places))
            for g, group in enumerate(self.here.groups)
            for step in range(count)
        }
        self.at = {
            (number, step): self._row(0 if step else 1)
            for number in range(len(objects))
            for step in range(count)
        }
        self.days = [
            {window: self.steps.days_in(window.days_of) for window in self.steps.windows(item)}
            for item in objects
        ]
        self.budgets = {
            (number, window): self._row(1, least=-self.solver.infinity())
            for number, windows in enumerate(self.days)
            for window in windows
        }
        for number, step in self.at:
            self._enter(self._share(), self.at, number, step, step + 1)

    def add(self, stretches: Iterable[Stretch]) -> None:
        """Add stretches that are not there yet."""
        for stretch in stretches:
            number, g, first, last = stretch
            share = self._share()
            self.goal.SetCoefficient(share, self.reach.effort(stretch))
            self._enter(share, self.places, g, first, last + 1)
            self._enter(share, self.at, number, first, self.reach.busy_until(number, last))
            rate = self.here.groups[g].rate
            for window, days in self.days[number].items():
                if dose := rate * (days[last + 1] - days[first]):
                    self.budgets[number, window].SetCoefficient(share, dose / _unit(window))

    def allow_empty(self) -> None:
        """Let a place stand empty for a step, at the cost of 1."""
        for g, step in self.places:
            share = self._share()
            self.goal.SetCoefficient(share, 1)
            self._enter(share, self.places, g, step, step + 1)

    def solve(self) -> Prices | None:
        """Return the prices of the best shares; None where there are none or the time ran out."""
        if self.solver.Solve() != self.optimal:
            return None
        duals = {key: row.dual_value() for key, row in self.places.items()}
        places = {
            (g, step): round((dual - duals.get((g, step + 1), 0.0)) * UNIT)
            for (g, step), dual in duals.items()
        }
        budgets = {
            (number, window): price
            for (number, window), row in self.budgets.items()
            if (price := round(-row.dual_value() / _unit(window) * UNIT)) > 0
        }
        return Prices(places, budgets)

    def _share(self) -> Any:
        return self.solver.NumVar(0, self.solver.infinity(), "")

    def _row(self, most: int, *, least: float | None = None) -> Any:
        return self.solver.Constraint(most if least is None else least, most)

    def _enter(self, share: Any, rows: dict[Any, Any], key: int, start: int, stop: int) -> None:
        rows[key, start].SetCoefficient(share, 1)
        if stop < self.steps.count:
            rows[key, stop].SetCoefficient(share, -1)


def _unit(window: Window) -> int:
    """Return what doses are divided by, so that all rows are of the same size."""
    return max(1, window.limit)
