"""Make a large hang even by solving a few neighbouring runs at a time.

From the first to the last, the first run of the few is brought near the gap sought, and what is
over is handed on to the next. Then the few round the run that is furthest off are made alike, again
and again. Sections keep the order that they have.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from layouts.blocks import Block
from layouts.search.allowed import allowed
from layouts.search.model import Task
from layouts.search.options import Option

if TYPE_CHECKING:
    from layouts.search.assign import Hang
    from layouts.search.solver import Allowance

FEW = 5
NEAR_AND_LOOSE_MM = ((0, 3), (0, 6), (1, 6), (0, 12), (1, 12), (3, 12), (1, 25), (3, 25), (6, 25))
STEP_WORK = 0.1
SHIFTS = (2, 1, 3, 0, 4)


def rolled(task: Task, hang: Hang, limit_mm: int, allowance: Allowance) -> Hang:
    """Return a hang with its gaps nearer the limit, or the hang as it was."""
    from layouts.search.assign import hang_of

    free = all(piece.x_mm is None for piece in task.problem.pieces)
    if len(task.runs) <= FEW or task.bordered or task.homes or not free:
        return hang
    options = {o.block: o for o in hang.options}
    names = _sections(task, hang.options)
    last = len(task.runs) - FEW
    for first in range(last + 1):
        for near, loose in NEAR_AND_LOOSE_MM:
            rest = near if first == last else loose
            bands = [near] + [rest] * (FEW - 1)
            if _step(task, options, names, first, limit_mm, bands, allowance):
                break
    while _levelled(task, options, names, limit_mm, allowance):
        pass
    better = hang_of(task, tuple(options.values()))
    evener = better.most_mm - better.least_mm < hang.most_mm - hang.least_mm
    return better if evener and allowed(task, better.options) else hang


def _levelled(
    task: Task,
    options: dict[int, Option],
    names: tuple[str, ...] | None,
    limit_mm: int,
    allowance: Allowance,
) -> bool:
    """Bring the run that is furthest off nearer with its neighbours; tells whether that worked."""
    from layouts.search.assign import own_gap_mm

    held: list[list[Block]] = [[] for _ in task.runs]
    for o in options.values():
        held[o.run].append(task.blocks[o.block])
    off = [
        abs(own_gap_mm(task.problem, run, here) - limit_mm) if here else 0
        for run, here in zip(task.runs, held, strict=True)
    ]
    worst = off.index(max(off))
    for near in sorted({1, 2, 3, off[worst] // 3, off[worst] // 2, off[worst] - 1}):
        for shift in SHIFTS:
            first = worst - shift
            if (
                1 <= near < off[worst]
                and 0 <= first <= len(task.runs) - FEW
                and _step(task, options, names, first, limit_mm, [near] * FEW, allowance)
            ):
                return True
    return False


def _sections(task: Task, options: Sequence[Option]) -> tuple[str, ...] | None:
    rule = task.problem.arrangement
    if rule.kind != "by_section" or rule.sections:
        return rule.sections
    ranked = sorted(options, key=lambda o: (o.first, o.last))
    names = (task.blocks[o.block].section for o in ranked)
    return tuple(dict.fromkeys(name for name in names if name is not None))


def _step(
    task: Task,
    options: dict[int, Option],
    names: tuple[str, ...] | None,
    first: int,
    limit_mm: int,
    near_mm: Sequence[int],
    allowance: Allowance,
) -> bool:
    """Solve runs first to first + FEW - 1 again; returns whether that was done."""
    from layouts.search.assign import Hang, ask

    runs = range(first, first + FEW)
    blocks = [i for i, o in options.items() if o.run in runs]
    number = {i: n for n, i in enumerate(blocks)}
    walls = {task.runs[r].wall.id for r in runs}
    part = Task(
        replace(
            task.problem,
            walls=tuple(wall for wall in task.problem.walls if wall.id in walls),
            arrangement=replace(task.problem.arrangement, sections=names),
        ),
        [task.blocks[i] for i in blocks],
        [task.runs[r] for r in runs],
        [replace(task.cells[r], run=n) for n, r in enumerate(runs)],
        task.demands,
        bands=tuple((max(0, limit_mm - mm), limit_mm + mm) for mm in near_mm),
    )
    now = tuple(_moved(options[i], number[i], -first) for i in blocks)
    hint = Hang(now, 0, 0)
    widest = max(near_mm)
    band = (max(0, limit_mm - widest), limit_mm + widest)
    found, _ = ask(part, band, allowance, hint=hint, most_work=STEP_WORK)
    if found is None:
        return False
    for o in found.options:
        i = blocks[o.block]
        options[i] = _moved(o, i, first)
    return True


def _moved(option: Option, block: int, runs: int) -> Option:
    """Return an option under another numbering of blocks and runs; a run is one cell."""
    return replace(
        option,
        block=block,
        run=option.run + runs,
        first=option.first + 2 * runs,
        last=option.last + 2 * runs,
    )
