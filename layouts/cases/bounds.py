"""Bound from below how many cases any arrangement needs, by arithmetic."""

from __future__ import annotations

from layouts.cases.folds import least_rectangles
from layouts.cases.opencase import room
from layouts.cases.task import Task


def least_cases(task: Task) -> tuple[int, list[int]]:
    """Return a number of cases below which nothing goes, and items that need a case each."""
    if not task.items:
        return 0, []
    clique = task.clique
    largest = max((room(task, k) for k in range(len(task.kinds))), default=0)
    area = -(-sum(item.area for item in task.items) // largest) if largest else 0
    return max(len(clique), area, _folded(task)), clique


def _folded(task: Task) -> int:
    """Bound by folded sides; only for one kind without shelves."""
    if len(task.kinds) != 1 or len(task.surfaces[0]) != 1:
        return 0
    surface, gap = task.surfaces[0][0], task.problem.clearances.between_mm
    boxes = [(t.width_mm + gap, t.depth_mm + gap, t.turns) for t in task.things]
    return least_rectangles(boxes, surface.width_mm + gap, surface.depth_mm + gap)
