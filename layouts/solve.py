"""Find a hang: arithmetic first, then the search, then the verifier."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from layouts.blocks import Block, blocks_of
from layouts.bounds import impossible
from layouts.checks import check
from layouts.geometry import Cell, Stretch, clear_runs, run_cells, whole_runs
from layouts.many_runs import LAST_PERCENT, Effort, Plan, Progress, answer_of, many_runs
from layouts.nearing import nearer_plan, unevenness
from layouts.nearness import (
    least_cost_mm,
    orders_to_cut,
    row_gap,
    seeks_nearness,
    settle,
)
from layouts.one_run import one_run
from layouts.previous import follow, homes_of, in_old_order, moves_of
from layouts.problem import InvalidProblem, Problem
from layouts.solution import Conflict, Solution


class FaultyAnswer(RuntimeError):  # noqa: N818
    """The search gave an answer that the verifier rejects; it is never handed on as right."""


def solve(
    problem: Problem | dict[str, Any],
    *,
    seconds: float = 30.0,
    seed: int = 0,
    on_progress: Progress | None = None,
    on_better: Callable[[Solution], None] | None = None,
    cancelled: Callable[[], bool] = lambda: False,
) -> Solution:
    """Return the most even hang that keeps every demand, or say why there is none.

    Objective, in this order: every demand is kept; the least gap is as large as possible; the
    largest gap is as small as possible. Equal input and seed give equal answers; `seconds` is a
    safety net, and an answer that it cut short is `feasible`, never `optimal`, and says that it was
    `stopped`. `seconds` in the answer is the time taken. `on_better` is given each better hang of
    several runs as it is found, verified like the last; when `cancelled`, the best known is
    returned.
    """
    began = time.monotonic()
    tell = on_progress or (lambda percent, words: None)
    effort = Effort(seconds, seed, cancelled, tell, on_better)
    try:
        task = problem if isinstance(problem, Problem) else Problem.from_dict(problem)
    except InvalidProblem as error:
        conflicts = tuple(Conflict("invalid", (), (), fault) for fault in error.faults)
        return Solution("invalid", conflicts=conflicts, seed=seed)
    tell(5, "Checking the arithmetic")
    conflicts = tuple(impossible(task))
    if conflicts:
        answer = _explained(task, conflicts, effort)
    else:
        tell(15, "Sharing the objects out over the walls")
        answer = _search(task, effort)
    moves = moves_of(task, clear_runs(task), answer.placements) if task.previous else ()
    taken = time.monotonic() - began
    cut = "cancelled" if cancelled() else "clock" if taken >= seconds else ""
    stopped = "" if answer.status == "optimal" else cut
    return replace(answer, moves=moves, seconds=round(taken, 3), seed=seed, stopped=stopped)


def _explained(
    problem: Problem,
    conflicts: tuple[Conflict, ...],
    effort: Effort,
) -> Solution:
    from layouts.reasons import explain

    found = explain(
        problem,
        conflicts,
        seconds=effort.seconds,
        seed=effort.seed,
        cancelled=effort.cancelled,
    )
    names = tuple(piece.id for piece in problem.pieces)
    return Solution("infeasible", unplaced=names, conflicts=tuple(found))


def _search(
    problem: Problem,
    effort: Effort,
) -> Solution:
    try:
        found = _arranged(problem, effort)
    except TimeoutError as error:
        from layouts.reasons import unknown

        words = f"{error} Nothing is proved: it may exist. Ask again with more time."
        return Solution(
            "feasible" if not problem.pieces else "infeasible",
            unplaced=tuple(p.id for p in problem.pieces),
            conflicts=(
                unknown(
                    problem,
                    words,
                    seconds=effort.seconds,
                    seed=effort.seed,
                    cancelled=effort.cancelled,
                ),
            ),
        )
    if found is not None:
        return found
    effort.tell(LAST_PERCENT, "Looking for the demands that clash")
    return _explained(problem, (), effort)


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
    return _arranged(problem, Effort(seconds, seed, cancelled), demands)


def _arranged(problem: Problem, effort: Effort, demands: Any = None) -> Solution | None:
    runs = clear_runs(problem, any_wall=demands is not None and not demands.fixed_wall)
    blocks = [b for b in blocks_of(follow(problem)) if b.pieces[0].x_mm is None]
    if problem.arrangement.kind == "cluster":
        return _grouped(problem, blocks, runs, effort, demands)
    keep = problem.previous and demands is None
    if keep and (kept := _kept(problem, blocks, runs, effort)):
        return kept
    plan = _plan(problem, blocks, runs, effort, demands)
    if plan is None:
        return None
    if demands is None and seeks_nearness(problem) and plan.relation_bound_mm is None:
        least = least_cost_mm(problem, cancelled=effort.cancelled)
        plan = replace(plan, relation_bound_mm=least)
    answer = answer_of(problem, runs, plan)
    if demands is None and (faults := check(problem, answer)):
        raise FaultyAnswer(" ".join(fault.sentence for fault in faults[:5]))
    return answer


def _grouped(
    problem: Problem,
    blocks: Sequence[Block],
    runs: list[Stretch],
    effort: Effort,
    demands: Any,
) -> Solution | None:
    from layouts.grouping import arrange_groups

    answer = arrange_groups(
        problem,
        blocks,
        runs,
        whole_runs(runs, problem),
        seconds=effort.seconds,
        seed=effort.seed,
        demands=demands,
        cancelled=effort.cancelled,
    )
    if answer and demands is None and (faults := check(problem, answer)):
        raise FaultyAnswer(" ".join(fault.sentence for fault in faults[:5]))
    return answer


def _kept(
    problem: Problem,
    blocks: Sequence[Block],
    runs: list[Stretch],
    effort: Effort,
) -> Solution | None:
    """Disturb the previous hang as little as can be.

    Where `moves_at_most` allows more pieces to leave than must, they make the gaps more even.
    """
    from layouts.kept import least_disturbed
    from layouts.search.solver import Allowance

    cells = run_cells(problem, runs)
    if not problem.moves_at_most:
        allowance = Allowance(effort.seconds, effort.seed, effort.cancelled)
        kept = least_disturbed(problem, blocks, runs, cells, allowance)
        if kept:
            return kept
    blocks = in_old_order(problem, blocks)
    homes = homes_of(problem, blocks, runs)
    try:
        plan = many_runs(problem, blocks, runs, cells, effort, homes=homes)
    except TimeoutError:
        return None
    if plan is None:
        return None
    answer = answer_of(problem, runs, plan)
    if not problem.moves_at_most:  # the most even of few moves is not the least disturbing
        answer = replace(answer, status="feasible", bound=answer.bound | {"relocated": 0})
    return None if check(problem, answer) else answer


def _plan(
    problem: Problem,
    blocks: Sequence[Block],
    runs: list[Stretch],
    effort: Effort,
    demands: Any,
) -> Plan | None:
    if not blocks:
        return Plan(blocks, [[] for _ in runs], True, 0)
    cells = run_cells(problem, runs)
    simple = len(runs) == 1 and len(cells) == 1 and not problem.apart and demands is None
    simple = simple and all(piece.x_mm is None for piece in problem.pieces)
    if simple and not any(f.max_kg_per_m for w in problem.walls for f in w.fixings):
        groups = one_run(problem, blocks, runs[0], cells[0])
        plan = None if groups is None else Plan(blocks, [groups], True, 0)
        if plan and seeks_nearness(problem):
            return _one_run_related(problem, blocks, runs[0], effort)
        return plan
    if demands is None and seeks_nearness(problem):
        return _related_runs(problem, blocks, runs, cells, effort)
    plan = many_runs(problem, blocks, runs, cells, effort, demands)
    if plan and problem.arrangement.kind == "related" and problem.near:
        return replace(plan, proved=False)
    return plan


def _one_run_related(
    problem: Problem,
    blocks: Sequence[Block],
    run: Stretch,
    effort: Effort,
) -> Plan:
    """Order the only run by nearness; its gap is known before."""
    gap = row_gap(problem, run, blocks)
    slots = [list(range(len(blocks)))]
    found = settle(
        problem,
        blocks,
        slots,
        gap,
        seed=effort.seed,
        seconds=effort.seconds,
        cancelled=effort.cancelled,
    )
    bound = found.bound_mm
    return Plan(found.blocks, [found.slots], found.proved, 0, bound)


def _related_runs(
    problem: Problem,
    blocks: Sequence[Block],
    runs: list[Stretch],
    cells: list[Cell],
    effort: Effort,
) -> Plan | None:
    """Cut the nearest order of all pieces into the runs; where gaps are uneven so, share the pieces
    freely. Then bring near what can be."""
    from layouts.search.limits import largest_gap_mm

    gap = largest_gap_mm(problem, blocks, runs)
    share = effort.part(1 / 4)
    plans = []
    for ordered in orders_to_cut(
        problem, blocks, gap, seed=share.seed, seconds=share.seconds, cancelled=share.cancelled
    ):
        loose = [b for b in blocks_of(ordered) if b.pieces[0].x_mm is None]
        try:
            cut = many_runs(ordered, loose, runs, cells, share, near=True)
        except TimeoutError:
            continue
        if cut:
            plans.append(cut)
            break
    if not plans or unevenness(problem, runs, plans[0]):
        try:
            free = many_runs(problem, blocks, runs, cells, effort, near=True)
        except TimeoutError:
            if not plans:
                raise
            free = None
        plans += [free] if free else []
    if not plans:
        return None
    plan = min(plans, key=lambda plan: unevenness(problem, runs, plan))
    plan = replace(plan, proved=False, spread_bound_mm=0)
    return nearer_plan(problem, runs, cells, plan, effort)
