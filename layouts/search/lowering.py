"""Make the stacks of a hang in rows low, with gaps no less even than they are."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from layouts.search.allowed import allowed
from layouts.search.heights import block_reach_mm, stacks_mm
from layouts.search.model import Task
from layouts.search.options import EVERY_DEMAND, Option, block_fits
from layouts.search.solver import Allowance

if TYPE_CHECKING:
    from layouts.rowing.lowering import Stack
    from layouts.rowing.task import Ints
    from layouts.search.assign import Hang

CELLS_A_SECOND = 200_000
MOST_CELLS = 6_000_000
CAPPED = 10**7
PARTS = 100
ALIKE_MM = 1


def lower(task: Task, hang: Hang, allowance: Allowance) -> Hang:
    """Return the hang with its blocks exchanged between rows so that the stacks are low.

    Gaps stay between the hang's least and its largest, and within a millimetre of each other if
    they are. Hangs whose order is given, whose light changes within a stretch or whose sections
    have wider gaps between them stay as they are.
    """
    rule = task.problem.arrangement
    bound = task.bordered or rule.order or rule.section_gap_mm is not None
    if bound or task.demands != EVERY_DEMAND or len({o.run for o in hang.options}) < 2:
        return hang
    import numpy as np

    from layouts.rowing.lowering import Work, caps_of, lowered
    from layouts.search.assign import hang_of

    def options_of(where: Ints) -> tuple[Option, ...]:
        runs = where.tolist()
        return tuple(
            Option(o.block, runs[o.block], 2 * runs[o.block], 2 * runs[o.block], o.order)
            for o in hang.options
        )

    def height_mm(where: Ints) -> int | None:
        options = options_of(where)
        if not allowed(task, options):
            return None
        other = hang_of(task, options)
        if other.least_mm < hang.least_mm or other.most_mm > hang.most_mm:
            return None
        return stacks_mm(task, options)

    cells = min(MOST_CELLS, int(CELLS_A_SECOND * allowance.seconds))
    work = Work(cells, lambda: allowance.spent, np.random.default_rng(allowance.seed))
    where = np.zeros(len(task.blocks), dtype=np.int64)
    for o in hang.options:
        where[o.block] = o.run
    stack = _stack(task, hang).narrowed(where, PARTS * ALIKE_MM)
    lowest = 0
    if len(task.runs) == rule.rows:
        lowest = int(caps_of(stack).sum()) + rule.row_gap_mm * (rule.rows - 1)
    found = lowered(stack, where, height_mm, work, lowest_mm=lowest)
    return hang_of(task, options_of(found))


def _stack(task: Task, hang: Hang) -> Stack:
    import numpy as np

    from layouts.rowing.lowering import Stack
    from layouts.search.assign import own_gap_mm

    rule, runs, blocks = task.problem.arrangement, task.runs, task.blocks
    free = rule.ends == "free"
    lines = list(dict.fromkeys((run.wall.id, run.row) for run in runs))
    used = {o.run for o in hang.options}
    gaps = [
        own_gap_mm(task.problem, runs[r], [blocks[o.block] for o in hang.options if o.run == r])
        for r in sorted(used)
    ]
    most = max(gaps)
    bears = [
        [
            r in used and block_fits(block, task.cells[r], run, task.demands)
            for r, run in enumerate(runs)
        ]
        for block in blocks
    ]
    return Stack(
        widths=_ints(PARTS * block.width_mm for block in blocks),
        counts=_ints(block.count for block in blocks),
        reaches=_ints(max(0, sum(block_reach_mm(block, rule))) for block in blocks),
        lengths=_ints(PARTS * run.length_mm for run in runs),
        margins=_ints(4 if free else run.left + run.right for run in runs),
        lines=_ints(lines.index((run.wall.id, run.row)) for run in runs),
        rows=_ints(run.row for run in runs),
        bears=np.array(bears, dtype=bool),
        least=PARTS * min(gaps),
        below=PARTS * (CAPPED if most == rule.max_gap_mm else most + 1),
    )


def _ints(numbers: Iterable[int]) -> Ints:
    import numpy as np

    return np.array(list(numbers), dtype=np.int64)
