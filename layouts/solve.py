"""Find a hang: arithmetic first, then the search, then the verifier."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from layouts.blocks import Block, blocks_of
from layouts.bounds import impossible
from layouts.checks import check
from layouts.geometry import Cell, Stretch, cells_of, clear_runs, whole_runs
from layouts.measures import measure
from layouts.nearness import (
    least_cost_mm,
    orders_to_cut,
    row_gap,
    seeks_nearness,
    settle,
    settle_runs,
)
from layouts.one_run import one_run
from layouts.placing import gaps_and_starts, place_all, runs_of
from layouts.previous import follow, homes_of, in_old_order, moves_of
from layouts.problem import InvalidProblem, Problem
from layouts.search.order import arrange_row, keep_apart, section_ranks
from layouts.solution import Conflict, Solution

MOST_CUTS = 20
WHOLE_RUNS = ("mirrored", "centre_high")

Progress = Callable[[int, str], None]


class FaultyAnswer(RuntimeError):  # noqa: N818
    """The search gave an answer that the verifier rejects; it is never handed on as right."""


def solve(
    problem: Problem | dict[str, Any],
    *,
    seconds: float = 30.0,
    seed: int = 0,
    on_progress: Progress | None = None,
    cancelled: Callable[[], bool] = lambda: False,
) -> Solution:
    """Return the most even hang that keeps every demand, or say why there is none.

    Objective, in this order: every demand is kept; the least gap is as large as possible; the
    largest gap is as small as possible. Equal input and seed give equal answers; `seconds` is a
    safety net, and an answer that it cut short is `feasible`, never `optimal`. `seconds` in the
    answer is the time taken.
    """
    began = time.monotonic()
    tell = on_progress or (lambda percent, words: None)
    try:
        task = problem if isinstance(problem, Problem) else Problem.from_dict(problem)
    except InvalidProblem as error:
        conflicts = tuple(Conflict("invalid", (), (), fault) for fault in error.faults)
        return Solution("invalid", conflicts=conflicts, seed=seed)
    tell(5, "Checking the arithmetic")
    conflicts = tuple(impossible(task))
    if conflicts:
        answer = _explained(task, conflicts, seconds, seed, cancelled)
    else:
        tell(15, "Sharing the objects out over the walls")
        answer = _search(task, seconds, seed, cancelled, tell)
    moves = moves_of(task, clear_runs(task), answer.placements) if task.previous else ()
    return replace(answer, moves=moves, seconds=round(time.monotonic() - began, 3), seed=seed)


def _explained(
    problem: Problem,
    conflicts: tuple[Conflict, ...],
    seconds: float,
    seed: int,
    cancelled: Callable[[], bool],
) -> Solution:
    from layouts.reasons import explain

    found = explain(problem, conflicts, seconds=seconds, seed=seed, cancelled=cancelled)
    names = tuple(piece.id for piece in problem.pieces)
    return Solution("infeasible", unplaced=names, conflicts=tuple(found))


def _search(
    problem: Problem,
    seconds: float,
    seed: int,
    cancelled: Callable[[], bool],
    tell: Progress,
) -> Solution:
    try:
        found = arrange(problem, seconds=seconds, seed=seed, cancelled=cancelled)
    except TimeoutError as error:
        from layouts.reasons import unknown

        words = f"{error} Nothing is proved: it may exist. Ask again with more time."
        return Solution(
            "feasible" if not problem.pieces else "infeasible",
            unplaced=tuple(p.id for p in problem.pieces),
            conflicts=(unknown(problem, words, seconds=seconds, seed=seed, cancelled=cancelled),),
        )
    if found is not None:
        return found
    tell(60, "Looking for the demands that clash")
    return _explained(problem, (), seconds, seed, cancelled)


@dataclass(frozen=True)
class _Plan:
    """Blocks, their numbers in groups by run, whether no better plan exists, and the bound on the
    spread."""

    blocks: Sequence[Block]
    sequences: list[list[list[int]]]
    proved: bool
    spread_bound_mm: int
    relation_bound_mm: float | None = None


def arrange(
    problem: Problem,
    *,
    seconds: float = 30.0,
    seed: int = 0,
    demands: Any = None,
    cancelled: Callable[[], bool] = lambda: False,
) -> Solution | None:
    """Return a verified hang, or None when there is provably none.

    `demands` switches rules off to find which of them clash; the verifier then says what it finds
    in `layouts.checks` and nothing is raised.
    """
    runs = clear_runs(problem, any_wall=demands is not None and not demands.fixed_wall)
    blocks = [b for b in blocks_of(follow(problem)) if b.pieces[0].x_mm is None]
    if problem.arrangement.kind == "cluster":
        return _grouped(problem, blocks, runs, seconds, seed, demands, cancelled)
    keep = problem.previous and demands is None
    if keep and (kept := _kept(problem, blocks, runs, seconds, seed, cancelled)):
        return kept
    plan = _plan(problem, blocks, runs, seconds, seed, demands, cancelled)
    if plan is None:
        return None
    if demands is None and seeks_nearness(problem) and plan.relation_bound_mm is None:
        least = least_cost_mm(problem, cancelled=cancelled)
        plan = replace(plan, relation_bound_mm=least)
    answer = _answer(problem, runs, plan)
    if demands is None and (faults := check(problem, answer)):
        raise FaultyAnswer(" ".join(fault.sentence for fault in faults[:5]))
    return answer


def _grouped(
    problem: Problem,
    blocks: Sequence[Block],
    runs: list[Stretch],
    seconds: float,
    seed: int,
    demands: Any,
    cancelled: Callable[[], bool],
) -> Solution | None:
    from layouts.grouping import arrange_groups

    answer = arrange_groups(
        problem,
        blocks,
        runs,
        whole_runs(runs, problem),
        seconds=seconds,
        seed=seed,
        demands=demands,
        cancelled=cancelled,
    )
    if answer and demands is None and (faults := check(problem, answer)):
        raise FaultyAnswer(" ".join(fault.sentence for fault in faults[:5]))
    return answer


def _answer(problem: Problem, runs: list[Stretch], plan: _Plan) -> Solution:
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


def _kept(
    problem: Problem,
    blocks: Sequence[Block],
    runs: list[Stretch],
    seconds: float,
    seed: int,
    cancelled: Callable[[], bool],
) -> Solution | None:
    """Disturb the previous hang as little as can be.

    Where `moves_at_most` allows more pieces to leave than must, they make the gaps more even.
    """
    from layouts.kept import least_disturbed
    from layouts.search.solver import Allowance

    cells = _cells(problem, runs)
    if not problem.moves_at_most:
        kept = least_disturbed(problem, blocks, runs, cells, Allowance(seconds, seed, cancelled))
        if kept:
            return kept
    blocks = in_old_order(problem, blocks)
    homes = homes_of(problem, blocks, runs)
    try:
        plan = _many_runs(problem, blocks, runs, cells, seconds, seed, None, cancelled, homes=homes)
    except TimeoutError:
        return None
    if plan is None:
        return None
    answer = _answer(problem, runs, plan)
    return None if check(problem, answer) else answer


def _cells(problem: Problem, runs: list[Stretch]) -> list[Cell]:
    if problem.arrangement.kind in WHOLE_RUNS:
        return whole_runs(runs, problem)
    return cells_of(runs, problem)


def _plan(
    problem: Problem,
    blocks: Sequence[Block],
    runs: list[Stretch],
    seconds: float,
    seed: int,
    demands: Any,
    cancelled: Callable[[], bool],
) -> _Plan | None:
    if not blocks:
        return _Plan(blocks, [[] for _ in runs], True, 0)
    cells = _cells(problem, runs)
    simple = len(runs) == 1 and len(cells) == 1 and not problem.apart and demands is None
    simple = simple and all(piece.x_mm is None for piece in problem.pieces)
    if simple and not any(f.max_kg_per_m for w in problem.walls for f in w.fixings):
        groups = one_run(problem, blocks, runs[0], cells[0])
        plan = None if groups is None else _Plan(blocks, [groups], True, 0)
        if plan and seeks_nearness(problem):
            return _one_run_related(problem, blocks, runs[0], seconds, seed, cancelled)
        return plan
    if demands is None and seeks_nearness(problem):
        return _related_runs(problem, blocks, runs, cells, seconds, seed, cancelled)
    plan = _many_runs(problem, blocks, runs, cells, seconds, seed, demands, cancelled)
    if plan and problem.arrangement.kind == "related" and problem.near:
        return replace(plan, proved=False)
    return plan


def _one_run_related(
    problem: Problem,
    blocks: Sequence[Block],
    run: Stretch,
    seconds: float,
    seed: int,
    cancelled: Callable[[], bool],
) -> _Plan:
    """Order the only run by nearness; its gap is known before."""
    gap = row_gap(problem, run, blocks)
    slots = [list(range(len(blocks)))]
    found = settle(problem, blocks, slots, gap, seed=seed, seconds=seconds, cancelled=cancelled)
    bound = found.bound_mm
    return _Plan(found.blocks, [found.slots], found.proved, 0, bound)


def _related_runs(
    problem: Problem,
    blocks: Sequence[Block],
    runs: list[Stretch],
    cells: list[Cell],
    seconds: float,
    seed: int,
    cancelled: Callable[[], bool],
) -> _Plan | None:
    """Cut the nearest order of all pieces into the runs; if that cannot be, share them freely."""
    from layouts.search.limits import largest_gap_mm

    gap = largest_gap_mm(problem, blocks, runs)
    share = seconds / 4
    plan = None
    for ordered in orders_to_cut(
        problem, blocks, gap, seed=seed, seconds=share, cancelled=cancelled
    ):
        loose = [b for b in blocks_of(ordered) if b.pieces[0].x_mm is None]
        try:
            plan = _many_runs(ordered, loose, runs, cells, share, seed, None, cancelled, near=True)
        except TimeoutError:
            continue
        if plan:
            break
    if plan is None:
        plan = _many_runs(problem, blocks, runs, cells, seconds, seed, None, cancelled, near=True)
    return plan and replace(plan, proved=False, spread_bound_mm=0)


def _many_runs(
    problem: Problem,
    blocks: Sequence[Block],
    runs: list[Stretch],
    cells: list[Cell],
    seconds: float,
    seed: int,
    demands: Any,
    cancelled: Callable[[], bool],
    *,
    near: bool = False,
    homes: tuple[int | None, ...] | None = None,
) -> _Plan | None:
    from layouts.search.assign import (
        NothingKnown,
        assign,
        fewest_moves,
        ordered_blocks,
        slots_of,
    )
    from layouts.search.even_rows import assign_rows
    from layouts.search.model import Forbidden, Task, pin_slot
    from layouts.search.options import EVERY_DEMAND
    from layouts.search.solver import Allowance

    task = Task(problem, blocks, runs, cells, demands or EVERY_DEMAND, homes=homes)
    allowance = Allowance(seconds, seed, cancelled)
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
        slots = slots_of(task, hint)
        inside = ordered_blocks(task, hint)
        pins = [(pin_slot(task, p), p.section) for p in problem.pieces if p.x_mm is not None]
        ranks = section_ranks(problem, blocks, [slot for row in slots for slot in row], pins)
        sequences = [arrange_row(problem, inside, row, ranks) for row in slots]
        if near:
            inside, sequences = settle_runs(
                problem,
                inside,
                runs,
                slots,
                seed=seed,
                seconds=allowance.left_seconds,
                cancelled=cancelled,
            )
        gaps, starts = gaps_and_starts(problem, inside, runs, sequences)
        walls = [run.wall.id for run in runs]
        close = keep_apart(problem, inside, sequences, gaps, starts, walls, seed)
        if not close:
            proved = found.proved and not task.forbidden
            return _Plan(inside, sequences, proved, found.most_bound_mm - hint.least_mm)
        here = {i: r for r, groups in enumerate(sequences) for group in groups for i in group}
        cuts = (Forbidden(tuple((here[i], i) for i in pair)) for pair in close)
        task = replace(task, forbidden=(*task.forbidden, *cuts))
    if task.forbidden:
        raise NothingKnown("No order was found that keeps all apart that must be.")
    return None
