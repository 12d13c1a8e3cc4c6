"""Hang in rows: first even, then low.

Where one stretch of wall takes all and nothing else asks, the search starts from rows split evenly.
"""

from __future__ import annotations

from dataclasses import replace

from layouts.geometry import reach_mm
from layouts.search.assign import Found, Hang, NothingKnown, assign, hang_of
from layouts.search.heights import rows_fit
from layouts.search.limits import largest_gap_mm
from layouts.search.lowering import lower
from layouts.search.model import Task
from layouts.search.options import Option, fits
from layouts.search.solver import Allowance

LOWERED_MM = 5


def assign_rows(task: Task, allowance: Allowance, *, hint: Hang | None = None) -> Found:
    """Return the best hang of rows with bounds, its stacks as low as found for gaps so even.

    Raises NothingKnown.
    """
    found = _evenest(task, allowance, hint)
    return found if found.hang is None else replace(found, hang=lower(task, found.hang, allowance))


def _evenest(task: Task, allowance: Allowance, hint: Hang | None) -> Found:
    split = None if hint or task.forbidden else even_split(task, allowance)
    if split is None:
        return assign(task, allowance, hint=hint)
    limit = largest_gap_mm(task.problem, task.blocks, task.runs)
    if split.least_mm == split.most_mm == limit:
        return Found(split, limit, limit)
    try:
        found = assign(task, allowance, hint=split)
    except NothingKnown:
        return Found(split, limit, split.least_mm)
    if found.hang is None or _worth(found.hang) >= _worth(split):
        return found
    same = found.hang.least_mm == split.least_mm
    return Found(split, found.bound_mm, found.most_bound_mm if same else split.least_mm)


def _worth(hang: Hang) -> tuple[int, int]:
    return hang.least_mm, -hang.most_mm


def even_split(task: Task, allowance: Allowance) -> Hang | None:
    """Return evenly split rows, made lower where they are too high; None where that cannot be."""
    from layouts.rowing import split_rows

    if not _plain(task):
        return None
    rule, run = task.problem.arrangement, task.runs[0]
    left, right = (2, 2) if rule.ends == "free" else (run.left, run.right)
    pieces = [block.pieces[0] for block in task.blocks]
    for lowered in (None, LOWERED_MM):
        split = split_rows(
            [piece.block_mm for piece in pieces],
            rule.rows,
            heights_mm=[max(0, sum(reach_mm(piece, rule))) for piece in pieces],
            length_mm=run.length_mm,
            left=left,
            right=right,
            spread_at_most_mm=lowered,
            seed=allowance.seed,
            seconds=max(0.1, allowance.left_seconds / 3),
            cancelled=allowance.cancelled,
        )
        if min(split.levels_mm) < rule.min_gap_mm:
            return None
        rows = sorted(split.rows, key=lambda row: -sum(pieces[i].block_mm for i in row))
        options = [Option(i, r, 2 * r, 2 * r, (0,)) for r, row in enumerate(rows) for i in row]
        hang = hang_of(task, options)
        if not rows_fit(task, hang.options):
            hang = lower(task, hang, allowance)
        if rows_fit(task, hang.options):
            return hang
    return None


def _plain(task: Task) -> bool:
    """Tell whether every piece stands alone and may hang in any row of the only stretch."""
    rule, runs = task.problem.arrangement, task.runs
    metred = any(f.max_kg_per_m for wall in task.problem.walls for f in wall.fixings)
    return (
        len(runs) == len(task.cells) == rule.rows <= len(task.blocks)
        and not (metred or rule.order or rule.section_gap_mm is not None)
        and all(block.count == 1 for block in task.blocks)
        and all(
            fits(block.pieces[0], cell, run, task.demands)
            for block in task.blocks
            for cell, run in zip(task.cells, runs, strict=True)
        )
    )
