"""How even the gaps of a group are, and what blanks it encloses.

Gaps: from each side of each piece, the distance to the nearest piece that it faces, in any part of
the side. A side that faces no piece belongs to the outline and has no gap. Blanks: what is left of
the box when each piece has taken its gap with it; a blank that the box's edge does not meet is a
hole.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]
Size = tuple[int, int]
Place = tuple[int, int]


@dataclass(frozen=True)
class Gaps:
    """The least and the largest gap in mm, and the share of sides whose gap is just the one asked.

    A group without facing sides has the gap asked throughout.
    """

    least_mm: int
    largest_mm: int
    even_share: float

    @property
    def spread_mm(self) -> int:
        return self.largest_mm - self.least_mm


def facing_mm(places: Sequence[Place], sizes: Sequence[Size]) -> Ints:
    """Return the gap of every side that faces a piece, in no particular order."""
    corner, size = np.array(places, dtype=np.int64), np.array(sizes, dtype=np.int64)
    found = []
    for along, across in ((0, 1), (1, 0)):
        low, low_end = corner[:, across], corner[:, across] + size[:, across]
        faces = (low[:, None] < low_end[None, :]) & (low[None, :] < low_end[:, None])
        start, end = corner[:, along], corner[:, along] + size[:, along]
        ahead = start[None, :] - end[:, None]
        none = np.iinfo(np.int64).max
        distance = np.where(faces & (start[None, :] > start[:, None]), ahead, none)
        found += [distance.min(axis=1), distance.min(axis=0)]
    sides = np.concatenate(found)
    return sides[sides < np.iinfo(np.int64).max]


def gaps(places: Sequence[Place], sizes: Sequence[Size], gap_mm: int) -> Gaps:
    """Measure the gaps of a group."""
    sides = facing_mm(places, sizes)
    if not len(sides):
        return Gaps(gap_mm, gap_mm, 1.0)
    return Gaps(int(sides.min()), int(sides.max()), float((sides == gap_mm).mean()))


def holes_mm2(places: Sequence[Place], sizes: Sequence[Size], gap_mm: int) -> tuple[int, ...]:
    """Return the areas of the holes, the largest first."""
    boxes = [
        (x, y, x + w + gap_mm, y + h + gap_mm) for (x, y), (w, h) in zip(places, sizes, strict=True)
    ]
    xs = sorted({x for box in boxes for x in box[::2]})
    ys = sorted({y for box in boxes for y in box[1::2]})
    blank = np.ones((len(xs) - 1, len(ys) - 1), dtype=bool)
    for left, low, right, high in boxes:
        blank[xs.index(left) : xs.index(right), ys.index(low) : ys.index(high)] = False
    areas = np.outer(np.diff(xs), np.diff(ys))
    found = []
    while blank.any():
        cells, at_edge = _taken(blank)
        if not at_edge:
            found.append(int(sum(areas[cell] for cell in cells)))
    return tuple(sorted(found, reverse=True))


def _taken(blank: NDArray[np.bool_]) -> tuple[list[tuple[int, int]], bool]:
    """Take one connected blank out; say whether it meets the edge of the box."""
    start = np.unravel_index(int(blank.argmax()), blank.shape)
    cells = [(int(start[0]), int(start[1]))]
    blank[cells[0]] = False
    at_edge = False
    for a, b in cells:
        for near in ((a - 1, b), (a + 1, b), (a, b - 1), (a, b + 1)):
            if not (0 <= near[0] < blank.shape[0] and 0 <= near[1] < blank.shape[1]):
                at_edge = True
            elif blank[near]:
                blank[near] = False
                cells.append(near)
    return cells, at_edge
