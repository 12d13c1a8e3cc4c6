"""Plan a hang over several runs: who hangs where, then in which order, until all demands hold."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from layouts.blocks import Block
from layouts.checks import check
from layouts.geometry import Cell, Stretch
from layouts.measures import measure
from layouts.nearness import settle_runs
from layouts.placing import gaps_and_starts, place_all, runs_of
from layouts.problem import Problem
from layouts.search.apart import cuts_of, keep_apart
from layouts.search.order import arrange_row, section_ranks
from layouts.solution import Solution

if TYPE_CHECKING:
    from layouts.search.assign import Hang
    from layouts.search.model import Task

MOST_CUTS = 20

Progress = Callable[[int, str], None]
FIRST_PERCENT, LAST_PERCENT = 15, 60


@dataclass(frozen=True)
class Effort:
    """How long to search and from which seed, whether it is still wanted, and whom to tell."""

    seconds: float = 30.0
    seed: int = 0
    cancelled: Callable[[], bool] = lambda: False
    tell: Progress = lambda percent, words: None
    on_better: Callable[[Solution], None] | None = None

    def part(self, share: float) -> Effort:
        """Return an effort of a share of the time."""
        return replace(self, seconds=self.seconds * share)


@dataclass(frozen=True)
class Plan:
    """Blocks, their numbers in groups by run, whether no better plan exists, and the bound on the
    spread."""

    blocks: Sequence[Block]
    sequences: list[list[list[int]]]
    proved: bool
    spread_bound_mm: int
    relation_bound_mm: float | None = None


def answer_of(problem: Problem, runs: list[Stretch], plan: Plan) -> Solution:
    """Return the hang that a plan makes, with its measures and bounds."""
    placements = place_all(problem, plan.blocks, runs, plan.sequences)
    measures = measure(problem, runs, placements)
    spread, cost = measures.gap_spread_mm, measures.relation_cost_mm
    bound: dict[str, float] = {
        "gap_spread_mm": spread if plan.proved else min(spread, plan.spread_bound_mm)
    }
    if problem.arrangement.kind == "related":
        bound["relation_cost_mm"] = (
            cost if plan.proved else min(cost, math.floor(plan.relation_bound_mm or 0))
        )
    return Solution(
        "optimal" if plan.proved else "feasible",
        placements=tuple(placements),
        runs=tuple(runs_of(runs, plan.blocks, plan.sequences, problem)),
        measures=measures,
        bound=bound,
    )


def many_runs(
    problem: Problem,
    blocks: Sequence[Block],
    runs: list[Stretch],
    cells: list[Cell],
    effort: Effort,
    demands: Any = None,
    *,
    near: bool = False,
    homes: tuple[int | None, ...] | None = None,
) -> Plan | None:
    """Return blocks in order on each run, or None when there is provably no hang; raises
    NothingKnown."""
    from layouts.search.assign import NothingKnown, assign, fewest_moves
    from layouts.search.even_rows import assign_rows
    from layouts.search.model import Task
    from layouts.search.options import EVERY_DEMAND
    from layouts.search.solver import Allowance

    task = Task(problem, blocks, runs, cells, demands or EVERY_DEMAND, homes=homes)
    allowance = Allowance(effort.seconds, effort.seed, effort.cancelled)
    allowance.on_hang = _reporter(task, effort)
    if homes is not None:
        fewest = fewest_moves(task, allowance)
        if fewest is None:
            return None
        allowed = max(fewest, problem.moves_at_most or 0)
        task = replace(task, moves_at_most=allowed)
    share = assign_rows if problem.arrangement.kind == "rows" and homes is None else assign
    hint = None
    for _ in range(MOST_CUTS):
        found = share(task, allowance, hint=hint)
        if found.hang is None:
            break
        hint = found.hang
        inside, sequences, close = in_order(task, hint, effort, near=near)
        proved = found.proved and not task.forbidden
        plan = Plan(inside, sequences, proved, found.most_bound_mm - hint.least_mm)
        if not close or not check(problem, answer_of(problem, runs, plan)):
            return plan
        task = replace(_cut(task, sequences, close), chain=found.chain)
    if task.forbidden:
        raise NothingKnown("No order was found that keeps all apart that must be.")
    return None


def _cut(
    task: Task, sequences: Sequence[Sequence[Sequence[int]]], close: Sequence[tuple[int, ...]]
) -> Task:
    """Return the task with what it takes to part pairs that came too near, or that forbids them."""
    from layouts.search.parted import parting_of

    here = {i: r for r, groups in enumerate(sequences) for group in groups for i in group}
    found = [parting_of(task, here[pair[0]], pair) for pair in close]
    new = [parting for parting in found if parting and parting not in task.parted]
    if len(new) == len(close):
        return replace(task, parted=(*task.parted, *new))
    cuts = cuts_of(task.blocks, sequences, close)
    return replace(task, forbidden=(*task.forbidden, *cuts))


def in_order(
    task: Task, hang: Hang, effort: Effort, *, near: bool = False
) -> tuple[list[Block], list[list[list[int]]], list[tuple[int, ...]]]:
    """Return the blocks, their numbers run by run in the order that the arrangement asks, and the
    pairs that hang too near each other all the same."""
    from layouts.search.assign import ordered_blocks, slots_of
    from layouts.search.model import pin_slot

    problem, runs = task.problem, list(task.runs)
    slots = slots_of(task, hang)
    inside = ordered_blocks(task, hang)
    pins = [(pin_slot(task, p), p.section) for p in problem.pieces if p.x_mm is not None]
    ranks = section_ranks(problem, task.blocks, [slot for row in slots for slot in row], pins)
    sequences = [arrange_row(problem, inside, row, ranks) for row in slots]
    if near:
        inside, sequences = settle_runs(
            problem,
            inside,
            runs,
            slots,
            seed=effort.seed,
            seconds=effort.seconds,
            cancelled=effort.cancelled,
        )
    gaps, starts = gaps_and_starts(problem, inside, runs, sequences)
    walls = [run.wall.id for run in runs]
    close = keep_apart(problem, inside, sequences, gaps, starts, walls, effort.seed, slots)
    return inside, sequences, close


def _reporter(task: Task, effort: Effort) -> Callable[[Hang, float], None]:
    """Return what tells of each better hang as it is found, and hands it on once verified."""

    def report(hang: Hang, share: float) -> None:
        percent = round(FIRST_PERCENT + share * (LAST_PERCENT - FIRST_PERCENT))
        effort.tell(percent, f"Gaps of {hang.least_mm} to {hang.most_mm} mm so far")
        if effort.on_better is None:
            return
        inside, sequences, close = in_order(task, hang, effort)
        answer = answer_of(task.problem, list(task.runs), Plan(inside, sequences, False, 0))
        if not close and not check(task.problem, answer):
            effort.on_better(answer)

    return report
