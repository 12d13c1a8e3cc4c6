"""What the height of even rows cannot go below."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import numpy as np

from layouts.rowing.task import Task


def least_height_mm(task: Task, spread_mm: Fraction) -> int:
    """Return a sum of row heights that no split with at most this spread comes below.

    Pieces taller than h stand in rows taller than h, so that at least as many rows are taller than
    h as those pieces need; a row holds no more than an even row with the least gap, or the largest
    width, that the spread allows.
    """
    if task.length_mm is None:
        gap = Fraction(0)
        holds = task.even_level + spread_mm * Fraction(task.rows - 1, task.rows)
    else:
        gap = task.even_level - spread_mm
        holds = task.length_mm - gap * Fraction(task.margins - 2, 2)
    steps = sorted({0, *task.heights.tolist()})
    total = 0
    for low, high in pairwise(steps):
        taller = np.flatnonzero(task.heights > low)
        needed = int(task.widths[taller].sum()) + gap * len(taller)
        rows = -(-needed // holds) if holds > 0 and needed > 0 else 1
        rest = len(task.heights) - len(taller)
        total += (high - low) * max(1, min(task.rows, int(rows)), task.rows - rest)
    return total
