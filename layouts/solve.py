"""Find a hang: arithmetic first, then the search, then the verifier."""

from __future__ import annotations

import itertools
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from layouts.blocks import Block, blocks_of
from layouts.bounds import impossible
from layouts.checks import check
from layouts.geometry import Cell, Stretch, cells_of, clear_runs
from layouts.measures import measure
from layouts.placing import gaps_and_starts, place_all, runs_of
from layouts.previous import follow, in_old_runs, on_old_walls
from layouts.problem import InvalidProblem, Piece, Problem
from layouts.search.order import groups_of, keep_apart, mirrored, section_ranks
from layouts.solution import Conflict, Solution
from layouts.spacing import equal_gap_mm

MOST_CUTS = 20

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
        answer = _none(task, conflicts)
    else:
        tell(15, "Sharing the objects out over the walls")
        answer = _search(task, seconds, seed, cancelled, tell)
    return replace(answer, seconds=round(time.monotonic() - began, 3), seed=seed)


def _none(problem: Problem, conflicts: tuple[Conflict, ...]) -> Solution:
    return Solution("infeasible", unplaced=tuple(p.id for p in problem.pieces), conflicts=conflicts)


def _search(
    problem: Problem,
    seconds: float,
    seed: int,
    cancelled: Callable[[], bool],
    tell: Progress,
) -> Solution:
    from layouts.reasons import explain

    try:
        found = arrange(problem, seconds=seconds, seed=seed, cancelled=cancelled)
    except TimeoutError as error:
        words = f"{error} Nothing is proved: it may exist. Ask again with more time."
        return Solution(
            "feasible" if not problem.pieces else "infeasible",
            unplaced=tuple(p.id for p in problem.pieces),
            conflicts=(Conflict("not_found", (), (), words),),
        )
    if found is not None:
        return found
    tell(60, "Looking for the demands that clash")
    return _none(problem, tuple(explain(problem, seconds=seconds, seed=seed, cancelled=cancelled)))


@dataclass(frozen=True)
class _Plan:
    """Blocks in groups by run, whether no better one exists, and the bound on the spread."""

    sequences: list[list[list[int]]]
    proved: bool
    spread_bound_mm: int


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
    runs = clear_runs(problem)
    blocks = [b for b in blocks_of(follow(problem)) if b.pieces[0].x_mm is None]
    keep = problem.previous and demands is None
    if keep and (kept := _kept(problem, blocks, runs, seconds, seed, cancelled)):
        return kept
    plan = _plan(problem, blocks, runs, seconds, seed, demands, cancelled)
    if plan is None:
        return None
    answer = _answer(problem, blocks, runs, plan)
    if demands is None and (faults := check(problem, answer)):
        raise FaultyAnswer(" ".join(fault.sentence for fault in faults[:5]))
    return answer


def _answer(
    problem: Problem, blocks: Sequence[Block], runs: list[Stretch], plan: _Plan
) -> Solution:
    placements = place_all(problem, blocks, runs, plan.sequences)
    measures = measure(problem, runs, placements)
    settled = plan.proved or measures.gap_spread_mm <= 1
    return Solution(
        "optimal" if settled else "feasible",
        placements=tuple(placements),
        runs=tuple(runs_of(runs, blocks, plan.sequences, problem)),
        measures=measures,
        bound={"gap_spread_mm": measures.gap_spread_mm if plan.proved else plan.spread_bound_mm},
    )


def _kept(
    problem: Problem,
    blocks: Sequence[Block],
    runs: list[Stretch],
    seconds: float,
    seed: int,
    cancelled: Callable[[], bool],
) -> Solution | None:
    """Keep every piece in its run and order if all demands allow, else every piece on its wall."""
    if (sequences := in_old_runs(problem, blocks, runs)) is not None:
        answer = _answer(problem, blocks, runs, _Plan(sequences, False, 0))
        if not check(problem, answer):
            return answer
    bound = replace(on_old_walls(problem), previous=None)
    try:
        ordered = replace(bound, pieces=follow(replace(bound, previous=problem.previous)).pieces)
        answer_there = arrange(ordered, seconds=seconds, seed=seed, cancelled=cancelled)
    except TimeoutError:
        return None
    if answer_there is None:
        return None
    measures = measure(problem, runs, answer_there.placements)
    return replace(answer_there, measures=measures)


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
        return _Plan([[] for _ in runs], True, 0)
    cells = _whole_runs(runs, problem) if problem.arrangement.kind == "mirrored" else None
    cells = cells or cells_of(runs, problem)
    simple = len(runs) == 1 and len(cells) == 1 and not problem.apart and demands is None
    if simple and not any(f.max_kg_per_m for w in problem.walls for f in w.fixings):
        return _one_run(problem, blocks, runs[0], cells[0])
    return _many_runs(problem, blocks, runs, cells, seconds, seed, demands, cancelled)


def _whole_runs(runs: list[Stretch], problem: Problem) -> list[Cell]:
    """Count a mirrored run as bright, and as weak, as its worst part: its halves must match."""
    parts = cells_of(runs, problem)
    whole = []
    for number, run in enumerate(runs):
        here = [cell for cell in parts if cell.run == number]
        lux, max_g = max(c.lux for c in here), min(c.max_g for c in here)
        whole.append(Cell(number, run.from_mm, run.to_mm, lux, max_g))
    return whole


def _one_run(problem: Problem, blocks: Sequence[Block], run: Stretch, cell: Cell) -> _Plan | None:
    """Hang everything in the only run: the gap follows in closed form."""
    from layouts.search.model import Demands, fits

    rule = problem.arrangement
    if not all(fits(block, cell, run, Demands()) for block in blocks):
        return None
    slots = [list(range(len(blocks)))]
    groups = groups_of(problem, blocks, slots, section_ranks(problem, blocks, slots))
    if rule.kind == "mirrored":
        groups = _mirror(blocks, groups)
    changes = sum(1 for a, b in _pairs(groups, blocks) if a.section != b.section)
    widths = [piece.block_mm for block in blocks for piece in block.pieces]
    if rule.section_gap_mm is not None:
        free = run.length_mm - sum(widths) - changes * rule.section_gap_mm
        units = run.left + run.right + 2 * (len(widths) - 1 - changes)
        gap = 2 * free // units if units else free
    else:
        gap = equal_gap_mm(
            length_mm=run.length_mm, widths_mm=widths, left=run.left, right=run.right
        )
    if gap < rule.min_gap_mm:
        return None
    return _Plan([groups], True, 0)


def _pairs(groups: list[list[int]], blocks: Sequence[Block]) -> list[tuple[Piece, Piece]]:
    row = [piece for group in groups for i in group for piece in blocks[i].pieces]
    return list(itertools.pairwise(row))


def _many_runs(
    problem: Problem,
    blocks: Sequence[Block],
    runs: list[Stretch],
    cells: list[Cell],
    seconds: float,
    seed: int,
    demands: Any,
    cancelled: Callable[[], bool],
) -> _Plan | None:
    from layouts.search.assign import assign
    from layouts.search.model import Demands, Forbidden

    forbidden: list[Forbidden] = []
    ask = partial(
        assign,
        problem,
        blocks,
        runs,
        cells,
        demands=demands or Demands(),
        seed=seed,
        seconds=seconds,
        cancelled=cancelled,
    )
    bordered = len(cells) > len(runs)
    for _ in range(MOST_CUTS):
        found = ask(forbidden=forbidden)
        if found is None:
            if forbidden:
                raise TimeoutError("No order was found that keeps all apart that must be.")
            if bordered and ask(lenient=True) is not None:
                raise TimeoutError("A hang may exist whose edges meet the light to the millimetre.")
            return None
        every = [slot for slots in found.runs for slot in slots]
        ranks = section_ranks(problem, blocks, every)
        sequences = [groups_of(problem, blocks, slots, ranks) for slots in found.runs]
        if problem.arrangement.kind == "mirrored":
            sequences = [_mirror(blocks, groups) for groups in sequences]
        gaps, starts = gaps_and_starts(problem, blocks, runs, sequences)
        walls = [run.wall.id for run in runs]
        close = keep_apart(problem, blocks, sequences, gaps, starts, walls, seed)
        if not close:
            proved = found.proved and not forbidden
            if bordered and proved and found.most_mm - found.least_mm > 1 and demands is None:
                bound = ask(lenient=True)
                same = bound and (bound.least_mm, bound.most_mm) == (found.least_mm, found.most_mm)
                if not (bound and bound.proved and same):
                    spread_mm = bound.most_mm - bound.least_mm if bound and bound.proved else 0
                    return _Plan(sequences, False, spread_mm)
            return _Plan(sequences, proved, found.spread_bound_mm)
        here = {i: r for r, groups in enumerate(sequences) for group in groups for i in group}
        forbidden += [Forbidden(((here[a], a), (here[b], b))) for a, b in close]
    raise TimeoutError("No order was found that keeps all apart that must be.")


def _mirror(blocks: Sequence[Block], groups: list[list[int]]) -> list[list[int]]:
    row = [i for group in groups for i in group]
    order = mirrored([blocks[i].width_mm for i in row])
    return [[row[n]] for n in order]
