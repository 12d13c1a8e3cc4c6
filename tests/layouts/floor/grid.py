"""The widest way through a room by another method: clearances on a grid, and a widest path.

No geometry library: distances to boxes, rounds and walls are worked out with arrays. With a grid
of step h, neighbours also diagonal, the answer is within h times the square root of two of the
true one: the nearest grid point to any point is at most h / sqrt(2) away, and so is the middle of
a step from its ends, which costs that much radius, so twice as much width.
"""

from __future__ import annotations

from heapq import heappop, heappush
from math import cos, radians, sin, sqrt

import numpy as np

from layouts.floor.problem import Floor

STEP_MM = 50
ERROR_MM = STEP_MM * sqrt(2)


def clearances(floor: Floor) -> np.ndarray:
    """Return the radius of the disc that each point of the grid takes; room with square corners."""
    width, deep = floor.outline[2]
    x, y = np.meshgrid(np.arange(0, width + 1, STEP_MM), np.arange(0, deep + 1, STEP_MM))
    free = np.minimum.reduce([x, width - x, y, deep - y]).astype(float)
    for piece in floor.pieces:
        dx, dy = x - piece.x_mm, y - piece.y_mm
        if piece.shape == "round":
            far = np.hypot(dx, dy) - piece.width_mm / 2
        else:
            c, s = cos(radians(piece.turn_deg)), sin(radians(piece.turn_deg))
            u = np.abs(dx * c + dy * s) - piece.width_mm / 2
            v = np.abs(dy * c - dx * s) - piece.depth_mm / 2
            far = np.hypot(np.maximum(u, 0), np.maximum(v, 0))
            far = np.where((u <= 0) & (v <= 0), 0, far)
        free = np.minimum(free, np.maximum(far, 0))
    return free


def widest(floor: Floor, from_y: int, to_y: int) -> float:
    """Return the widest disc that gets from one height to another."""
    free = clearances(floor)
    rows, columns = free.shape
    best = np.full(free.shape, -1.0)
    queue: list[tuple[float, int, int]] = []
    for n in range(columns):
        best[from_y // STEP_MM, n] = free[from_y // STEP_MM, n]
        heappush(queue, (-free[from_y // STEP_MM, n], from_y // STEP_MM, n))
    while queue:
        value, row, column = heappop(queue)
        if -value < best[row, column]:
            continue
        if row == to_y // STEP_MM:
            return -2 * value
        for dr in (-1, 0, 1):
            for dc in (-1, 0, 1):
                r, c = row + dr, column + dc
                if 0 <= r < rows and 0 <= c < columns:
                    reach = min(-value, free[r, c])
                    if reach > best[r, c]:
                        best[r, c] = reach
                        heappush(queue, (-reach, r, c))
    return 0.0
