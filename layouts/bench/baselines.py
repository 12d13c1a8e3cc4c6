"""What people do without a search, and what a solver does with the plain model."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from layouts.blocks import Block, blocks_of
from layouts.geometry import Cell, Stretch, cells_of, clear_runs
from layouts.problem import Problem
from layouts.search.options import EVERY_DEMAND, block_fits


@dataclass(frozen=True)
class Outcome:
    """How a hang came out: spread and least of the runs' gaps in mm, limits broken, blocks left
    out."""

    spread_mm: int | None
    least_mm: int = 0
    broken: int = 0
    left_out: int = 0

    @property
    def words(self) -> str:
        if self.spread_mm is None:
            return "nothing"
        parts = [f"{self.least_mm} + {self.spread_mm} mm"]
        parts += [f"{self.broken} broken"] if self.broken else []
        parts += [f"{self.left_out} left out"] if self.left_out else []
        return ", ".join(parts)


def _outcome(runs: Sequence[Stretch], rows: list[list[Block]], broken: int, left: int) -> Outcome:
    gaps = [
        2
        * (run.length_mm - sum(b.width_mm for b in row))
        // (2 * sum(b.count for b in row) - 2 + run.left + run.right)
        for run, row in zip(runs, rows, strict=True)
        if row
    ]
    return Outcome(max(gaps) - min(gaps), min(gaps), broken, left) if gaps else Outcome(None)


def _bears(block: Block, cell: Cell, run: Stretch) -> bool:
    return block_fits(block, cell, run, EVERY_DEMAND)


def in_list_order(problem: Problem) -> Outcome:
    """Fill wall after wall in the order of sections, as a spreadsheet does; limits are not seen."""
    runs = clear_runs(problem)
    cells = cells_of(runs, problem)
    names = list(problem.arrangement.sections or ())
    blocks = sorted(blocks_of(problem), key=lambda b: names.index(b.section or ""))
    gap = (sum(r.length_mm for r in runs) - sum(b.width_mm for b in blocks)) / (
        sum(b.count for b in blocks) + len(runs)
    )
    rows: list[list[Block]] = [[] for _ in runs]
    r, used, broken = 0, gap, 0
    for block in blocks:
        need = block.width_mm + block.count * gap
        if used + need / 2 > runs[r].length_mm and r < len(runs) - 1:
            r, used = r + 1, gap
        rows[r].append(block)
        used += need
        broken += not _bears(block, cells[r], runs[r])
    return _outcome(runs, rows, broken, 0)


def greedy(problem: Problem) -> Outcome:
    """Hang each block, widest first, where its limits allow and most room is left."""
    runs = clear_runs(problem)
    cells = cells_of(runs, problem)
    rows: list[list[Block]] = [[] for _ in runs]
    left = 0
    for block in sorted(blocks_of(problem), key=lambda b: -b.width_mm):
        room = {
            r: (run.length_mm - sum(b.width_mm for b in rows[r]) - block.width_mm)
            / (len(rows[r]) + 2)
            for r, run in enumerate(runs)
            if _bears(block, cells[r], run)
        }
        best = max(room, key=lambda r: room[r], default=None)
        if best is None or room[best] < problem.arrangement.min_gap_mm:
            left += 1
        else:
            rows[best].append(block)
    return _outcome(runs, rows, 0, left)


def plain_model(problem: Problem, seconds: float) -> Outcome:
    """Write the hang down as one model with a variable for each gap, and let the solver search.

    It seeks what the search seeks, but knows neither loads by the metre nor pieces kept apart.
    """
    from ortools.sat.python import cp_model

    runs, blocks = clear_runs(problem), blocks_of(problem)
    cells = cells_of(runs, problem)
    model = cp_model.CpModel()
    longest = max(run.length_mm for run in runs)
    least, most = (model.new_int_var(0, longest, name) for name in ("least", "most"))
    hangs = {
        (i, r): model.new_bool_var("")
        for i, block in enumerate(blocks)
        for r, run in enumerate(runs)
        if _bears(block, cells[r], run)
    }
    place = [model.new_int_var(0, len(runs) - 1, "") for _ in blocks]
    for i in range(len(blocks)):
        options = [r for r in range(len(runs)) if (i, r) in hangs]
        model.add_exactly_one([hangs[i, r] for r in options])
        model.add(place[i] == sum(r * hangs[i, r] for r in options))
    names = list(problem.arrangement.sections or ())
    for n, name in enumerate(names[:-1]):
        for i, a in enumerate(blocks):
            for j, b in enumerate(blocks):
                if a.section == name and b.section == names[n + 1]:
                    model.add(place[i] <= place[j])
    for r, run in enumerate(runs):
        here = [i for i in range(len(blocks)) if (i, r) in hangs]
        gap = model.new_int_var(0, longest, "")
        units = model.new_int_var(1, 2 * len(problem.pieces) + 4, "")
        filled = model.new_int_var(0, 4 * longest, "")
        model.add(units == sum(2 * blocks[i].count * hangs[i, r] for i in here) + 2)
        model.add_multiplication_equality(filled, [units, gap])
        free = 2 * run.length_mm - sum(2 * blocks[i].width_mm * hangs[i, r] for i in here)
        model.add(filled <= free)
        model.add(filled + units > free)
        model.add(least <= gap)
        model.add(most >= gap)
    model.maximize(longest * least - most)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Outcome(None)
    return Outcome(solver.value(most) - solver.value(least), solver.value(least))
