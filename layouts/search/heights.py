"""Keep stacks of rows within the height of their walls."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from layouts.blocks import Block
from layouts.geometry import reach_mm, room_mm
from layouts.problem import Arrangement, Piece
from layouts.stacking import stack_mm

if TYPE_CHECKING:
    from layouts.search.model import Model, Task
    from layouts.search.options import Option


def block_reach_mm(block: Block, rule: Arrangement) -> tuple[int, int]:
    reaches = [reach_mm(piece, rule) for piece in block.pieces]
    return max(up for up, _ in reaches), max(down for _, down in reaches)


def rows_fit(task: Task, options: Sequence[Option]) -> bool:
    """Tell whether the rows that these options make are not too high for their walls."""
    rule = task.problem.arrangement
    if rule.kind != "rows" or not task.demands.height:
        return True
    room = {wall.id: room_mm(wall, rule) for wall in task.problem.walls}
    return all(high <= room[wall] for wall, high in _stacks(task, options).items())


def stacks_mm(task: Task, options: Sequence[Option]) -> int:
    """Return the heights of all walls' stacks together."""
    return sum(_stacks(task, options).values())


def _stacks(task: Task, options: Sequence[Option]) -> dict[str, int]:
    rule = task.problem.arrangement
    rows: dict[str, list[list[Piece]]] = {}
    for o in options:
        run = task.runs[o.run]
        here = rows.setdefault(run.wall.id, [[] for _ in range(rule.rows)])
        here[run.row] += task.blocks[o.block].pieces
    return {wall: stack_mm(rule, stack) for wall, stack in rows.items()}


def constrain_rows(build: Model) -> None:
    """Hold each wall's stack within its room; of rows that are all alike the widest comes first."""
    task = build.task
    for wall in task.problem.walls:
        here = [r for r, run in enumerate(task.runs) if run.wall.id == wall.id]
        if task.demands.height:
            _stack(build, here, room_mm(wall, task.problem.arrangement))
        if len(here) == task.problem.arrangement.rows and not task.problem.arrangement.order:
            widths = [
                sum(var * task.blocks[o.block].width_mm for var, o in build.by_run[r]) for r in here
            ]
            for upper, lower in pairwise(widths):
                build.model.add(upper >= lower)


def _stack(build: Model, here: Sequence[int], room: int) -> None:
    task, model = build.task, build.model
    rule = task.problem.arrangement
    total: Any = 0
    for row in range(rule.rows):
        runs = [r for r in here if task.runs[r].row == row]
        chosen = [pair for r in runs for pair in build.by_run[r]]
        if not chosen:
            continue
        reaches = [block_reach_mm(task.blocks[o.block], rule) for _, o in chosen]
        low, high = min(min(pair) for pair in reaches), max(max(pair) for pair in reaches)
        up, down = (model.new_int_var(min(0, low), max(0, high), "") for _ in range(2))
        used = build.flag([build.used[r] for r in runs])
        for (var, _), (own_up, own_down) in zip(chosen, reaches, strict=True):
            model.add(up >= own_up).only_enforce_if(var)
            model.add(down >= own_down).only_enforce_if(var)
        height = model.new_int_var(0, 2 * max(0, high) + rule.row_gap_mm, "")
        model.add(height >= up + down + rule.row_gap_mm).only_enforce_if(used)
        total += height
    model.add(total <= room + rule.row_gap_mm)
