"""Prove how even rows can be, with a solver that starts from rows already found."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from layouts.rowing.task import Task
from layouts.watch import solved

PARTS_OF_MM = 100
DETERMINISTIC_SECONDS = 3.0


@dataclass(frozen=True)
class Proof:
    """The evenest rows found and the spread in mm that no rows can go below.

    `stopped` names what cut the solver short of its work: "clock", "cancelled" or nothing.
    """

    rows: list[list[int]]
    bound_mm: Fraction
    stopped: str = ""


def evenest(
    task: Task,
    hint: Sequence[Sequence[int]],
    *,
    seed: int,
    seconds: float,
    work: float = DETERMINISTIC_SECONDS,
    cancelled: Callable[[], bool] = lambda: False,
) -> Proof:
    """Return the evenest rows; levels are known to a hundredth of a millimetre.

    Pieces of equal size are counted, not named, and rows stand in falling order of width, so that
    nothing is looked at twice.
    """
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    kinds = sorted(Counter(task.widths.tolist()).items(), reverse=True)
    rows = range(task.rows)
    ranked = sorted(hint, key=lambda row: -int(task.widths[list(row)].sum()))
    counts = [[model.new_int_var(0, many, "") for _ in rows] for _, many in kinds]
    for k, (width, many) in enumerate(kinds):
        model.add(sum(counts[k]) == many)
        for r in rows:
            model.add_hint(counts[k][r], sum(int(task.widths[i]) == width for i in ranked[r]))
    widths = [sum(w * counts[k][r] for k, (w, _) in enumerate(kinds)) for r in rows]
    for r in rows:
        model.add(sum(line[r] for line in counts) >= 1)
        if r:
            model.add(widths[r - 1] >= widths[r])
    if task.length_mm is None:
        total = int(task.widths.sum())
        model.add(widths[0] >= -(-total // task.rows))
        model.add(widths[-1] <= total // task.rows)
        model.minimize(widths[0] - widths[-1])
    else:
        _spread_of_gaps(model, task, counts, widths, ranked)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = work
    solver.parameters.max_time_in_seconds = seconds
    status, stopped = solved(solver, model, cancelled)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Proof([list(row) for row in hint], Fraction(0), stopped)
    if not stopped and status != cp_model.OPTIMAL and solver.wall_time >= seconds:
        stopped = "clock"
    bound = Fraction(max(0, math.ceil(solver.best_objective_bound - 1e-6)))
    if task.length_mm is not None:
        bound = max(Fraction(0), (bound - 2) / PARTS_OF_MM)
    found = [[solver.value(line[r]) for line in counts] for r in rows]
    return Proof(_named(task, [width for width, _ in kinds], found), bound, stopped)


def _spread_of_gaps(
    model: Any,
    task: Task,
    counts: Sequence[Sequence[Any]],
    widths: Sequence[Any],
    hint: Sequence[Sequence[int]],
) -> None:
    """Hold each row's gap between the least and the largest, one bound for each count of pieces."""
    length = task.length_mm or 0
    most = 2 * PARTS_OF_MM * (length + int(task.widths.sum()))
    least = model.new_int_var(-most, most, "least gap")
    largest = model.new_int_var(-most, most, "largest gap")
    gaps = task.row_levels(hint)
    model.add_hint(least, math.floor(PARTS_OF_MM * min(gaps)))
    model.add_hint(largest, math.ceil(PARTS_OF_MM * max(gaps)))
    for r, width in enumerate(widths):
        options = []
        for count in range(1, len(task.widths) - task.rows + 2):
            chosen = model.new_bool_var("")
            options.append(chosen)
            model.add_hint(chosen, count == len(hint[r]))
            halves = task.margins + 2 * (count - 1)
            free = 2 * PARTS_OF_MM * (length - width)
            model.add(sum(line[r] for line in counts) == count).only_enforce_if(chosen)
            model.add(free >= halves * least).only_enforce_if(chosen)
            model.add(free <= halves * largest).only_enforce_if(chosen)
        model.add_exactly_one(options)
    even = PARTS_OF_MM * task.even_level
    model.add(least <= math.floor(even))
    model.add(largest >= math.ceil(even))
    model.minimize(largest - least)


def _named(task: Task, kinds: list[int], found: list[list[int]]) -> list[list[int]]:
    """Return numbers of pieces for numbers of each width."""
    left: dict[int, list[int]] = {}
    for i, width in enumerate(task.widths.tolist()):
        left.setdefault(width, []).append(i)
    rows = []
    for counts in found:
        taken: list[int] = []
        for width, count in zip(kinds, counts, strict=True):
            taken += left[width][:count]
            del left[width][:count]
        rows.append(taken)
    return rows
