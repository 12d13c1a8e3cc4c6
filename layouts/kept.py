"""Disturb a hang as little as what has changed allows.

Objective, in this order: as few pieces as can be change run or order; the sum of how far all go is
least; of what is alike in both, the most even. Pieces fixed in place stay.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from layouts.blocks import Block
from layouts.checks import check
from layouts.geometry import Cell, Stretch
from layouts.keeping.many import fewest_leaving, fewest_of, settled
from layouts.keeping.moves import Allowed, Kept, Plan, least_moves, old_of
from layouts.keeping.rows import Rows
from layouts.measures import measure
from layouts.placing import place_all, runs_of
from layouts.previous import homes_of, in_old_order
from layouts.problem import Problem
from layouts.search.model import Forbidden, Task
from layouts.search.solver import Allowance
from layouts.solution import Solution

MOST_TRIES = 6
"""How often the solver is asked anew where what it says cannot be hung."""


def least_disturbed(
    problem: Problem,
    blocks: Sequence[Block],
    runs: Sequence[Stretch],
    cells: Sequence[Cell],
    allowance: Allowance,
) -> Solution | None:
    """Return the verified hang that disturbs the previous one least; None if none is found.

    It is `optimal` where no other disturbs less: wherever one or two pieces have to leave.
    """
    blocks = in_old_order(problem, blocks)
    if not blocks:
        return None
    rows, allowed = Rows(problem, blocks, runs), Allowed()
    old = old_of(rows)

    def accepts(plan: Plan) -> tuple[int, ...] | None:
        answer = _answer(rows, plan)
        if check(problem, answer):
            return None
        return -answer.measures.smallest_gap_mm, answer.measures.gap_spread_mm

    kept = least_moves(rows, old, allowed, accepts)
    if not kept.proved:
        kept = _many(rows, kept, cells, allowance, accepts)
    if kept.plan is None:
        return None
    answer = _answer(rows, kept.plan)
    spread, moved = answer.measures.gap_spread_mm, answer.measures.moved_mm
    bound: dict[str, float] = {
        "gap_spread_mm": spread if kept.proved else 0,
        "relocated": kept.fewest,
        "moved_mm": moved if kept.proved else 0,
    }
    if problem.arrangement.kind == "related":
        bound["relation_cost_mm"] = 0
    return replace(answer, status="optimal" if kept.proved else "feasible", bound=bound)


def _many(
    rows: Rows,
    few: Kept,
    cells: Sequence[Cell],
    allowance: Allowance,
    accepts: Callable[[Plan], tuple[int, ...] | None],
) -> Kept:
    """Return the better of what was found and of what the solver finds, with the best bound."""
    problem = rows.problem
    homes = homes_of(problem, rows.blocks, rows.runs)
    task = Task(problem, rows.blocks, rows.runs, cells, homes=homes)
    fewest, many = few.fewest, None
    for attempt in range(MOST_TRIES):
        found = fewest_leaving(task, allowance)
        if found is None:
            break
        targets, sure = found
        if attempt == 0 and sure and _plain(task):
            fewest = max(fewest, _leaving(task, targets))
        allowed = Allowed(rows.placed + 60_000, 1, 60)
        settles = settled(rows, old_of(rows), targets, allowed, accepts)
        if isinstance(settles, Kept):
            many = settles
            break
        cut = Forbidden(tuple((targets[i], i) for i in settles))
        task = replace(task, forbidden=(*task.forbidden, cut))
    both = [kept for kept in (few, many) if kept and kept.plan is not None]
    best = min(both, key=lambda kept: kept.key, default=None)
    if best is None:
        return few
    return replace(best, fewest=min(fewest, fewest_of(best.key)), proved=False)


def _plain(task: Task) -> bool:
    """Tell whether the solver's model asks no more of a hang than its demands do."""
    return not task.bordered and task.problem.arrangement.kind in ("even", "by_section")


def _leaving(task: Task, targets: Sequence[int]) -> int:
    """Return how many pieces do not hang in the run where they hung."""
    return sum(
        task.blocks[i].count
        for i, home in enumerate(task.homes or ())
        if home is not None and home != targets[i]
    )


def _answer(rows: Rows, plan: Plan) -> Solution:
    blocks = [Block((rows.pieces[n],)) for row in plan for n in row]
    numbers = iter(range(len(blocks)))
    sequences = [[[next(numbers)] for _ in row] for row in plan]
    runs = list(rows.runs)
    placements = place_all(rows.problem, blocks, runs, sequences)
    return Solution(
        "feasible",
        placements=tuple(placements),
        runs=tuple(runs_of(runs, blocks, sequences, rows.problem)),
        measures=measure(rows.problem, runs, placements),
    )
