"""Large hangs without sections: give them some, so that they can be followed along the runs.

What few runs bear is first given to the run with most room left; then what hangs on one run and on
the next makes a section, half of each, from the dimmest and strongest run on. A hang of those
sections is a hang; that there is none of those says nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from layouts.blocks import Block
from layouts.search.chain import Chain
from layouts.search.model import Task
from layouts.search.options import block_fits

FREE = ("even", "mirrored", "centre_high", "rise", "related")
LEAST_BLOCKS = 90


def woven(task: Task, gap_mm: int) -> Chain | None:
    """Return a chain of sections made up for a hang that has none, or None where it is small."""
    rule, problem = task.problem.arrangement, task.problem
    if rule.kind not in FREE or rule.order or task.bordered or task.homes:
        return None
    if len(task.blocks) < LEAST_BLOCKS or len(task.runs) < 2:
        return None
    runs = sorted(range(len(task.runs)), key=lambda r: (task.cells[r].lux, -task.cells[r].max_g, r))
    bears = [_bearing(task, block) for block in task.blocks]
    if not all(bears):
        return None
    section = _sections(_shared_out(task, bears, gap_mm), bears, runs)
    names = tuple(str(n) for n in range(len(runs)))
    part = Task(
        replace(
            problem,
            pieces=tuple(piece for piece in problem.pieces if piece.x_mm is None),
            arrangement=replace(rule, kind="by_section", sections=names),
        ),
        [_in_section(block, names[section[i]]) for i, block in enumerate(task.blocks)],
        [task.runs[r] for r in runs],
        [replace(task.cells[r], run=n) for n, r in enumerate(runs)],
        task.demands,
    )
    return Chain(part, runs=runs, certain=False)


def _bearing(task: Task, block: Block) -> set[int]:
    return {
        r for r, run in enumerate(task.runs) if block_fits(block, task.cells[r], run, task.demands)
    }


def _shared_out(task: Task, bears: Sequence[set[int]], gap_mm: int) -> list[list[int]]:
    """Return blocks by run: those that the least length bears first, each where most is left."""
    left = [run.length_mm for run in task.runs]
    borne = [sum(task.runs[r].length_mm for r in here) for here in bears]
    order = sorted(range(len(bears)), key=lambda i: (borne[i], -task.blocks[i].width_mm, i))
    rows: list[list[int]] = [[] for _ in task.runs]
    for i in order:
        best = max(bears[i], key=lambda r: (left[r], -r))
        rows[best].append(i)
        left[best] -= task.blocks[i].width_mm + task.blocks[i].count * gap_mm
    return rows


def _sections(
    rows: Sequence[Sequence[int]], bears: Sequence[set[int]], runs: Sequence[int]
) -> dict[int, int]:
    """Return the section of each block: half of a run's go with those of the run before it."""
    section = {}
    for n, r in enumerate(runs):
        back = runs[n - 1] if n else None
        onward = runs[n + 1] if n + 1 < len(runs) else None
        swayed = sorted(rows[r], key=lambda i: (onward in bears[i]) - (back in bears[i]))
        for place, i in enumerate(swayed):
            section[i] = max(0, n - 1) if place < len(swayed) // 2 else min(n, len(runs) - 2)
    return section


def _in_section(block: Block, name: str) -> Block:
    return replace(block, pieces=tuple(replace(piece, section=name) for piece in block.pieces))
