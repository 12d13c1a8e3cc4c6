"""Find which block hangs in which cell of which run, so that all gaps come as close as they can.

Objective, in this order: the least gap is as large as possible; then the largest gap is as small
as possible. Both are found by asking, for one band of gaps after another, whether a hang exists.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from layouts.blocks import Block
from layouts.geometry import Stretch
from layouts.problem import Problem
from layouts.search.allowed import allowed
from layouts.search.chain import Chain, chain_of
from layouts.search.fluid import denied
from layouts.search.free_order import in_some_order
from layouts.search.limits import largest_gap_mm
from layouts.search.model import Model, Task
from layouts.search.options import Option
from layouts.search.polish import polish
from layouts.search.solver import Allowance
from layouts.search.trace import paths
from layouts.search.walk import Walk
from layouts.search.windows import windows_of
from layouts.search.woven import woven

NEAR_MM = (10, 60)
NEAR_WORK = 2.0
MOVES_WORK = 2.0
PART_MM = 40
EVENED_MM = (1, 3)
FEW_TRIES = 6
MOST_PLACES = 6_000
"""Above so many pairs of block and run, sections are first sought near where they must come."""


@dataclass(frozen=True)
class Hang:
    """An option for each block, with the least and largest gap of its runs, rounded down."""

    options: tuple[Option, ...]
    least_mm: int
    most_mm: int


@dataclass(frozen=True)
class Found:
    """The best hang known; no hang has a least gap above `bound_mm`, and none with this least gap
    has a largest below `most_bound_mm`. `hang` is None when there is provably none. `chain` serves
    the same task again under further cuts."""

    hang: Hang | None
    bound_mm: int
    most_bound_mm: int
    chain: Chain | None = None

    @property
    def proved(self) -> bool:
        return self.hang is None or (
            self.hang.least_mm == self.bound_mm and self.hang.most_mm == self.most_bound_mm
        )


class NothingKnown(TimeoutError):  # noqa: N818
    """Neither a hang nor a proof that there is none within the allowance."""


def assign(task: Task, allowance: Allowance, *, hint: Hang | None = None) -> Found:
    """Return the best hang found with bounds; raises NothingKnown."""
    rule = task.problem.arrangement
    limit = largest_gap_mm(task.problem, task.blocks, task.runs)
    if task.chain is None:
        task = replace(task, chain=_chain(task, limit, allowance))
    widest = max((run.length_mm for run in task.runs), default=0)
    if limit < rule.min_gap_mm:
        return Found(None, limit, limit)
    hang = _first(task, allowance, limit, widest, hint)
    none = task.bordered and hang is None
    if none and not _none_above(task, allowance, rule.min_gap_mm - 1, widest):
        hang, _ = ask(replace(task, fine=True), (rule.min_gap_mm, widest), allowance)
        if hang is None:
            raise NothingKnown("A hang may exist whose edges meet a border to the millimetre.")
    if hang is None:
        return Found(None, limit, limit)
    allowance.found(hang)
    hang, bound = _raise_least(task, allowance, hang, limit, widest)
    if task.bordered and bound < limit:
        bound = hang.least_mm if _none_above(task, allowance, hang.least_mm, widest) else limit
    if rule.ends == "free":
        return Found(hang, bound, hang.most_mm, task.chain)
    if hang.least_mm < bound:
        return Found(hang, bound, hang.least_mm, task.chain)
    hang, most = _lower_most(task, allowance, hang)
    if task.bordered and hang.least_mm < hang.most_mm:
        band = (hang.least_mm, hang.most_mm - 1)
        certain = ask(replace(task, lenient=True), band, allowance) == (None, True)
        most = hang.most_mm if certain else hang.least_mm
    return Found(hang, bound, most, task.chain)


def _chain(task: Task, limit: int, allowance: Allowance) -> Chain | None:
    return chain_of(task) or woven(task, limit) or in_some_order(task, limit, allowance)


def fewest_moves(task: Task, allowance: Allowance) -> int | None:
    """Return how many pieces must leave the run where they hung; None if no hang is found."""
    from ortools.sat.python import cp_model

    widest = max((run.length_mm for run in task.runs), default=0)
    band = (task.problem.arrangement.min_gap_mm, widest)
    build = Model(cp_model.CpModel(), task, band)
    if not build.constrain():
        return None
    moves = build.model.new_int_var(0, len(task.problem.pieces), "moves")
    build.model.add(moves == build.moves())
    build.model.minimize(moves)
    for var, o in build.options:
        build.model.add_hint(var, task.homes is not None and task.homes[o.block] == o.run)
    solver, status = allowance.solve(build.model, most=MOVES_WORK)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return int(solver.value(moves))
    return None


def _none_above(task: Task, allowance: Allowance, least: int, widest: int) -> bool:
    """Tell whether it is certain that no hang has a larger least gap, borders read leniently."""
    band = (least + 1, widest)
    return ask(replace(task, lenient=True), band, allowance) == (None, True)


def _first(
    task: Task, allowance: Allowance, limit: int, widest: int, hint: Hang | None
) -> Hang | None:
    """Return some hang, at best one whose gaps are all near the largest that can be."""
    rule = task.problem.arrangement
    if task.chain and (found := _first_walked(task, task.chain, allowance, limit, widest)):
        return _evened(task, found, limit, allowance)
    large = not task.chain and len(task.blocks) * len(task.runs) > MOST_PLACES
    windows = windows_of(task, limit) if large else None
    for near in NEAR_MM:
        band = (max(rule.min_gap_mm, limit - near), limit + near)
        nearby = replace(task, windows=windows)
        hang, _ = ask(nearby, band, allowance, hint=hint, most_work=NEAR_WORK)
        if hang:
            return _evened(task, hang, limit, allowance)
    hang, known = ask(task, (rule.min_gap_mm, widest), allowance, hint=hint)
    if hang is None and not known:
        raise NothingKnown("No hang was found and none excluded in the time given.")
    return hang


def _first_walked(
    task: Task, chain: Chain, allowance: Allowance, limit: int, widest: int
) -> Hang | None:
    """Return a hang section by section, the least gap as near the largest as doubled steps find."""
    step = 0
    while True:
        least = max(task.problem.arrangement.min_gap_mm, limit - step)
        band = (least, widest) if step else (limit, limit)
        hang, _ = _walk(task, chain, band, allowance)
        if hang or limit - least < step or allowance.spent:
            return hang
        step = max(1, 2 * step)


def _evened(task: Task, hang: Hang, limit: int, allowance: Allowance) -> Hang:
    """Return the hang with gaps as near the largest that can be as small changes bring them."""
    if task.chain and task.chain.certain:
        return hang
    if better := polish(task, hang, (limit, limit), allowance.seed):
        return better
    for near in EVENED_MM:
        band = (limit - near, limit + near)
        if better := polish(task, hang, band, allowance.seed, tries=FEW_TRIES):
            return better
    return hang


def _raise_least(
    task: Task, allowance: Allowance, hang: Hang, limit: int, widest: int
) -> tuple[Hang, int]:
    """Close in on the largest least gap from the top, where it mostly is; then by halves."""
    if hang.least_mm < limit:
        ideal, _ = ask(task, (limit, limit), allowance, hint=hang, most_work=NEAR_WORK)
        hang = ideal or hang
    sought, step, halve = limit, 1, False
    while hang.least_mm < sought and not allowance.spent:
        step = max(1, (sought - hang.least_mm) // 2) if halve else step
        wanted = max(hang.least_mm + 1, sought - step + 1)
        better, known = ask(task, (wanted, widest), allowance, hint=hang, most_work=NEAR_WORK)
        if better:
            hang, halve = better, True
            allowance.found(hang)
        else:
            limit = wanted - 1 if known and sought == limit else limit
            sought = wanted - 1
        step *= 2
    return hang, limit


def _lower_most(task: Task, allowance: Allowance, hang: Hang) -> tuple[Hang, int]:
    """Close in on the smallest largest gap while the least gap stays, from the bottom; then by
    halves."""
    least = low = sought = hang.least_mm
    step, halve = 1, False
    while sought < hang.most_mm and not allowance.spent:
        step = max(1, (hang.most_mm - sought) // 2) if halve else step
        wanted = min(hang.most_mm - 1, sought + step - 1)
        band, better, known = (least, wanted), None, False
        if not (task.chain and task.chain.certain):
            better = polish(task, hang, band, allowance.seed, tries=FEW_TRIES)
        if better is None:
            better, known = ask(task, band, allowance, hint=hang, most_work=NEAR_WORK)
        if better:
            hang, halve = better, True
            allowance.found(hang)
        else:
            low = wanted + 1 if known and sought == low else low
            sought = wanted + 1
        step *= 2
    return hang, low


def ask(
    task: Task,
    band: tuple[int, int],
    allowance: Allowance,
    *,
    hint: Hang | None = None,
    most_work: float | None = None,
) -> tuple[Hang | None, bool]:
    """Return a hang whose gaps lie in a band, and whether the answer is certain."""
    from ortools.sat.python import cp_model

    if task.chain:
        walked, known = _walk(task, task.chain, band, allowance)
        if walked or (known and task.chain.certain):
            return walked, True
    certain = task.chain and task.chain.certain
    if not certain and not task.forbidden and denied(task, band, allowance):
        return None, True
    if certain and task.problem.apart and band[1] - band[0] > PART_MM:
        # What must part is held against the largest gap: a narrow band says more of it.
        near = (band[0], band[0] + PART_MM)
        found, _ = ask(task, near, allowance, hint=hint, most_work=most_work)
        if found:
            return found, True
    build = Model(cp_model.CpModel(), task, band)
    if not build.constrain():
        return None, task.windows is None
    if hint:
        chosen = set(hint.options)
        for var, option in build.options:
            build.model.add_hint(var, option in chosen)
    solver, status = allowance.solve(build.model, most=most_work)
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return hang_of(task, [o for v, o in build.options if solver.value(v)]), True
    return None, status == cp_model.INFEASIBLE and task.windows is None


def _walk(
    task: Task, chain: Chain, band: tuple[int, int], allowance: Allowance
) -> tuple[Hang | None, bool]:
    """Return a hang found section by section, and whether that is certain."""
    walk = Walk(chain, band)
    for strict in (False, True):
        walk = walk.stricter() if strict else walk
        if walk.denied:
            return None, True
        for rows in paths(walk, allowance.seed, stopped=lambda: allowance.spent):
            places = enumerate(chain.runs[r] for r in rows)
            options = tuple(
                Option(i, r, 2 * r, 2 * r, tuple(range(task.blocks[i].count))) for i, r in places
            )
            if allowed(task, options):
                return hang_of(task, options), True
    return None, False


def hang_of(task: Task, options: Sequence[Option]) -> Hang:
    """Return a hang with the gaps its runs get."""
    gaps = [
        own_gap_mm(task.problem, run, [task.blocks[o.block] for o in options if o.run == r])
        for r, run in enumerate(task.runs)
        if any(o.run == r for o in options)
    ]
    ordered = tuple(sorted(options, key=lambda o: o.block))
    if task.problem.arrangement.ends == "free":
        return Hang(ordered, min(gaps), min(gaps))
    return Hang(ordered, min(gaps), max(gaps))


def own_gap_mm(problem: Problem, run: Stretch, blocks: Sequence[Block]) -> int:
    """Return the gap that a run gives these blocks, rounded down and capped."""
    rule = problem.arrangement
    count = sum(block.count for block in blocks)
    free = run.length_mm - sum(block.width_mm for block in blocks)
    changes = 0
    if rule.section_gap_mm is not None:
        changes = len({block.section for block in blocks}) - 1
        free -= changes * rule.section_gap_mm
    inner = 2 * (count - 1 - changes)
    units = inner + (4 if rule.ends == "free" else run.left + run.right)
    gap = 2 * free // units if units else free
    if rule.ends == "free":
        gap = max(rule.min_gap_mm, gap)
    return gap if rule.max_gap_mm is None else min(gap, rule.max_gap_mm)


def slots_of(task: Task, hang: Hang) -> list[list[list[int]]]:
    """Return block numbers by run and slot: each cell, and between cells what straddles them."""
    ends = [2 * c for c in range(len(task.cells))]
    slots: list[list[list[int]]] = [[] for _ in task.runs]
    for r in range(len(task.runs)):
        own = [t for t in ends if task.cells[t // 2].run == r]
        for t in range(own[0], own[-1] + 2) if own else []:
            slots[r].append([o.block for o in hang.options if o.run == r and o.first == t])
    return slots


def ordered_blocks(task: Task, hang: Hang) -> list[Block]:
    """Return the blocks with their pieces in the order that their options ask for."""
    blocks = list(task.blocks)
    for o in hang.options:
        block = task.blocks[o.block]
        blocks[o.block] = block.ordered(block.pieces[k] for k in o.order)
    return blocks
