"""The linear programme behind dimming: shares of limits, brought to one scale, solved by OR-Tools.

A piece has many points and few of them ever bind, so limits enter only once a solution breaks them.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from conservation.photometry.model import FloatArray, PhotometryError

SMALLEST = 1e-10
OVER = 1e-7
ROUNDING = 1e-7
MOST_ROUNDS = 500
ROWS_A_ROUND = 3
SLACKS = (1e-7, 1e-5, 1e-3)
LIT_SHARE = 0.1


class Levels:
    """Shares of the limits at each piece's points, by luminaire (rows) and point (columns).

    Luminaires are scaled so that 1 is the most that each may give alone: `alone` says how much of
    its output that is.
    """

    def __init__(self, shares: Sequence[FloatArray], most: FloatArray) -> None:
        highest = np.ones(len(most))
        for share in shares:
            np.maximum(highest, share.max(axis=1), out=highest)
        self.alone = most / highest
        self.points = [share * self.alone[:, None] for share in shares]
        self.means = [share.mean(axis=1) for share in self.points]

    @property
    def lit(self) -> list[FloatArray]:
        """The means of the pieces that luminaires can bring to a tenth of their limit."""
        return [mean for mean in self.means if mean.sum() >= LIT_SHARE]

    def over(self, chosen: FloatArray) -> list[tuple[int, int]]:
        """Return the pieces and points that are most over their limit."""
        found = []
        for n, share in enumerate(self.points):
            used = chosen @ share
            worst = (
                np.argpartition(used, -ROWS_A_ROUND)[-ROWS_A_ROUND:]
                if (used.size > ROWS_A_ROUND)
                else np.arange(used.size)
            )
            found += [(n, int(point)) for point in worst if used[point] > 1 + OVER]
        return found


class _Programme:
    """One programme whose limits grow from round to round."""

    def __init__(self, levels: Levels) -> None:
        from ortools.linear_solver import pywraplp

        self.levels = levels
        self.solver: Any = pywraplp.Solver.CreateSolver("GLOP")
        self.good = (pywraplp.Solver.OPTIMAL, pywraplp.Solver.FEASIBLE)
        self.use = [self.solver.NumVar(0.0, 1.0 if part else 0.0, "") for part in levels.alone]
        self.limits: dict[tuple[int, int], Any] = {}
        for n, share in enumerate(levels.points):
            self.limit(n, int(share.sum(axis=0).argmax()))

    def limit(self, piece: int, point: int) -> bool:
        """Bring in the limit of a point; return whether it is new."""
        if (piece, point) in self.limits:
            return False
        row = self.solver.Constraint(-self.solver.infinity(), 1.0)
        self._fill(row, self.levels.points[piece][:, point])
        self.limits[piece, point] = row
        return True

    def at_least(self, share: FloatArray, least: float, worst: Any = None) -> None:
        """Demand of a piece's mean that it reaches a share, or what `worst` stands for."""
        row = self.solver.Constraint(least, self.solver.infinity())
        self._fill(row, share)
        if worst is not None:
            row.SetCoefficient(worst, -1.0)

    def _fill(self, row: Any, values: FloatArray) -> None:
        for n in np.flatnonzero(values > SMALLEST):
            row.SetCoefficient(self.use[n], float(values[n]))

    def solve(self) -> FloatArray | None:
        """Return what each luminaire gives, or None where the solver finds no answer."""
        for _ in range(MOST_ROUNDS):
            if self.solver.Solve() not in self.good:
                return None
            chosen = np.clip([variable.solution_value() for variable in self.use], 0.0, 1.0)
            new = [self.limit(*place) for place in self.levels.over(chosen)]
            if not any(new):
                break
        return np.asarray(chosen)

    def prices(self) -> dict[tuple[int, int], float]:
        """Return what easing each limit would gain."""
        return {place: abs(row.dual_value()) for place, row in self.limits.items()}


def brightest(levels: Levels, gain: FloatArray) -> tuple[FloatArray, dict[tuple[int, int], float]]:
    """Return the share of its output of each luminaire, 0 to 1, and the prices of limits.

    First the worst of the lit pieces' shares is raised, then the gain with that held. Raises
    PhotometryError where the solver fails. Source: linear programming (GLOP of OR-Tools).

    >>> levels = Levels([np.array([[2.0, 1.0]])], np.ones(1))
    >>> brightest(levels, np.ones(1))[0].tolist()
    [0.5]
    """
    held, floor = _worst_share(levels)
    scaled = gain * levels.alone
    chosen, prices = None, dict[tuple[int, int], float]()
    for slack in SLACKS:
        programme = _Programme(levels)
        for share in levels.lit:
            programme.at_least(share, floor * (1 - slack))
        aim = programme.solver.Objective()
        aim.SetMaximization()
        for n in np.flatnonzero(scaled):
            aim.SetCoefficient(programme.use[n], float(scaled[n] / scaled.max()))
        chosen = programme.solve()
        if chosen is not None:
            prices = programme.prices()
            break
    found = held if chosen is None else chosen
    if found is None:
        raise PhotometryError("The dimming could not be computed: check the levels for extremes.")
    found = np.where((gain <= 0) & (levels.alone > 0), 1.0, found)
    return _topped_up(levels, _within(levels, found)) * levels.alone, prices


def _worst_share(levels: Levels) -> tuple[FloatArray | None, float]:
    lit = levels.lit
    if not lit:
        return None, 0.0
    programme = _Programme(levels)
    worst = programme.solver.NumVar(0.0, 1.0, "")
    for share in lit:
        programme.at_least(share, 0.0, worst)
    aim = programme.solver.Objective()
    aim.SetMaximization()
    aim.SetCoefficient(worst, 1.0)
    chosen = programme.solve()
    if chosen is None:
        return None, 0.0
    chosen = _within(levels, chosen)
    return chosen, float(min(chosen @ share for share in lit))


def _within(levels: Levels, chosen: FloatArray) -> FloatArray:
    """Scale away what the solver leaves above a limit."""
    chosen = np.where(chosen < ROUNDING, 0.0, np.where(chosen > 1 - ROUNDING, 1.0, chosen))
    for share in levels.points:
        used = float((chosen @ share).max())
        if used > 1:
            chosen = np.where(share.max(axis=1) > 0, chosen / used, chosen)
    return chosen


def _topped_up(levels: Levels, chosen: FloatArray) -> FloatArray:
    """Raise each luminaire in turn by what the solver's rounding has left below the limits."""
    used = [chosen @ share for share in levels.points]
    for n in np.flatnonzero(chosen < 1):
        if not levels.alone[n]:
            continue
        more = 1 - chosen[n]
        for share, spent in zip(levels.points, used, strict=True):
            row = share[n]
            reached = row > 0
            if reached.any():
                room = np.maximum(1 - spent[reached], 0) / row[reached]
                more = min(more, float(room.min()))
        if more > 0:
            chosen[n] += more
            for share, spent in zip(levels.points, used, strict=True):
                spent += more * share[n]
    return chosen
