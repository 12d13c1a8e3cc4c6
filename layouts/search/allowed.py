"""What exchanges of blocks between runs must keep beside single limits: cuts, stacks, loads."""

from __future__ import annotations

from collections.abc import Sequence

from layouts.search.apart import can_part
from layouts.search.heights import rows_fit
from layouts.search.model import Task
from layouts.search.options import Option


def allowed(task: Task, options: Sequence[Option]) -> bool:
    """Tell whether options that each may be chosen may be chosen together; a run is one cell."""
    places = {(o.run, o.block) for o in options}
    if any(cut.broken_by(places) for cut in task.forbidden):
        return False
    if task.homes and task.moves_at_most is not None:
        homes = task.homes
        away = [o for o in options if homes[o.block] not in (None, o.run)]
        if sum(task.blocks[o.block].count for o in away) > task.moves_at_most:
            return False
    rows = {o.block: o.run for o in options}
    if not can_part(task, rows):
        return False
    return rows_fit(task, options) and all(carried(task, rows, r) for r in range(len(task.runs)))


def carried(task: Task, rows: dict[int, int], r: int) -> bool:
    """Tell whether a run's wall bears what hangs there, each mass counted in full."""
    if not task.demands.load_per_metre:
        return True
    wall = task.runs[r].wall
    for fixing in wall.fixings:
        if fixing.max_kg_per_m is None:
            continue
        touched = {
            n
            for n, run in enumerate(task.runs)
            if run.wall.id == wall.id and run.from_mm < fixing.to_mm and run.to_mm > fixing.from_mm
        }
        load = sum(task.blocks[i].mass_g for i, x in rows.items() if x in touched)
        pieces = task.problem.pieces
        load += sum(p.mass_g for p in pieces if p.x_mm is not None and p.wall == wall.id)
        if load > int(fixing.max_kg_per_m * (fixing.to_mm - fixing.from_mm)):
            return False
    return True
