"""A floor as a raster of points with the room round each, for the verifier. Lengths in mm.

No geometry library: distances to edges are worked out with arrays. Points lie `step_mm` apart; any
point of the floor has one of them within 0.71 steps, and so has the middle of a step between two.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import ceil, sqrt
from typing import Any

from layouts.floor.facts import Facts
from layouts.floor.plain import Solid, Vec

FINEST_MM, MOST_POINTS = 50, 24_000
FARTHEST_MM = 1300.0
NEAR = 0.71


@dataclass(frozen=True)
class Raster:
    """Points by row and column; `clear` is the disc's radius that each takes, to 1.3 m."""

    left: float
    low: float
    step_mm: float
    clear: Any

    def near(self, solid: Solid, most: float) -> Any:
        """Return which points are at most so far from a thing."""
        import numpy as np

        found = np.zeros(self.clear.shape, dtype=bool)
        rows, columns = _window(solid, self.left, self.low, self.step_mm, most)
        x, y = _grid(self.left, self.low, self.step_mm, self.clear.shape)
        found[rows, columns] = _distance(solid, x[rows, columns], y[rows, columns]) <= most
        return found

    def at(self, point: Vec) -> tuple[int, int]:
        """Return row and column of the raster point next to a point."""
        rows, columns = self.clear.shape
        row = round((point[1] - self.low) / self.step_mm)
        column = round((point[0] - self.left) / self.step_mm)
        return min(max(row, 0), rows - 1), min(max(column, 0), columns - 1)

    def distance(self, mask: Any, point: Vec) -> float:
        """Return how far the nearest of some points is from a point; inf where there is none."""
        import numpy as np

        rows, columns = np.nonzero(mask)
        if not len(rows):
            return float("inf")
        x, y = self.left + columns * self.step_mm, self.low + rows * self.step_mm
        return float(np.hypot(x - point[0], y - point[1]).min())

    def grown(self, mask: Any, by_mm: float) -> Any:
        """Return the points within a distance of some points."""
        import numpy as np

        by = by_mm / self.step_mm
        rows, columns = mask.shape
        found = np.zeros_like(mask)
        for up in range(-int(by), int(by) + 1):
            side = int(sqrt(by * by - up * up))
            total = np.zeros((rows, columns + 2 * side + 2), dtype=np.int32)
            total[:, side + 1 : side + 1 + columns] = mask
            total = total.cumsum(axis=1)
            wide = total[:, 2 * side + 1 : 2 * side + 1 + columns] > total[:, :columns]
            if up >= 0:
                found[up:] |= wide[: rows - up]
            else:
                found[:up] |= wide[-up:]
        return found


def raster_of(facts: Facts) -> Raster:
    """Return the raster of a floor, finer for smaller rooms."""
    import numpy as np

    xs, ys = zip(*facts.floor.outline, strict=True)
    wide, deep = max(xs) - min(xs), max(ys) - min(ys)
    step = max(FINEST_MM, ceil(sqrt(wide * deep / MOST_POINTS)))
    # Half a step in from the left and below, so that walls do not lie on points.
    left, low = min(xs) + step / 2, min(ys) + step / 2
    shape = (max(1, int(deep // step)), max(1, int(wide // step)))
    x, y = _grid(left, low, step, shape)
    clear = np.where(_inside(facts.floor.outline, x, y), FARTHEST_MM, 0.0)
    for solid in facts.all:
        rows, columns = _window(solid, left, low, step, FARTHEST_MM)
        part = clear[rows, columns]
        if part.size:
            far = _distance(solid, x[rows, columns], y[rows, columns])
            np.minimum(part, far, out=part)
    return Raster(left, low, step, clear)


def _grid(left: float, low: float, step: float, shape: tuple[int, int]) -> tuple[Any, Any]:
    import numpy as np

    x, y = np.meshgrid(left + step * np.arange(shape[1]), low + step * np.arange(shape[0]))
    return x, y


def _window(solid: Solid, left: float, low: float, step: float, most: float) -> tuple[slice, slice]:
    """Return the rows and columns that may lie at most so far from a thing."""
    reach = solid.radius + most
    found = []
    for axis, start in ((1, low), (0, left)):
        values = [point[axis] for point in solid.points]
        first = (min(values) - reach - start) // step
        last = (max(values) + reach - start) // step + 2
        found.append(slice(max(0, int(first)), max(0, int(last))))
    return found[0], found[1]


def _distance(solid: Solid, x: Any, y: Any) -> Any:
    import numpy as np

    if len(solid.points) == 1:
        (px, py) = solid.points[0]
        return np.maximum(0.0, np.hypot(x - px, y - py) - solid.radius)
    far = np.full(x.shape, np.inf)
    for (ax, ay), (bx, by) in solid.edges():
        dx, dy = bx - ax, by - ay
        share = np.clip(((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy), 0.0, 1.0)
        np.minimum(far, np.hypot(x - ax - share * dx, y - ay - share * dy), out=far)
    if len(solid.points) > 2:
        far = np.where(_inside(solid.points, x, y), 0.0, far)
    return far


def _inside(points: Sequence[Vec], x: Any, y: Any) -> Any:
    """Return which points a polygon holds, by counting crossings of rays to the left."""
    import numpy as np

    inside = np.zeros(x.shape, dtype=bool)
    for n, (ax, ay) in enumerate(points):
        bx, by = points[n - 1]
        if ay != by:
            crosses = (ay > y) != (by > y)
            inside ^= crosses & (x > ax + (y - ay) / (by - ay) * (bx - ax))
    return inside


def parts(mask: Any) -> list[Any]:
    """Return the connected parts of a mask, diagonal neighbours included, as masks."""
    import numpy as np

    runs = [(row, *run) for row in range(mask.shape[0]) for run in _runs(mask[row])]
    root = list(range(len(runs)))

    def find(n: int) -> int:
        while root[n] != n:
            root[n] = root[root[n]]
            n = root[n]
        return n

    for a, b in _touching(runs):
        root[find(b)] = find(a)
    found: dict[int, Any] = {}
    for n, (row, start, stop) in enumerate(runs):
        part = found.setdefault(find(n), np.zeros_like(mask))
        part[row, start:stop] = True
    return list(found.values())


def _runs(row: Any) -> Iterable[tuple[int, int]]:
    import numpy as np

    edges = np.flatnonzero(np.diff(np.concatenate(([0], row.astype(np.int8), [0]))))
    return zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True)


def _touching(runs: Sequence[tuple[int, int, int]]) -> Iterator[tuple[int, int]]:
    """Yield pairs of runs of neighbouring rows that touch, corners included."""
    below = 0
    for n, (row, start, stop) in enumerate(runs):
        while below < n and (
            runs[below][0] < row - 1 or (runs[below][0] == row - 1 and runs[below][2] < start)
        ):
            below += 1
        for m in range(below, n):
            if runs[m][0] != row - 1 or runs[m][1] > stop:
                break
            yield m, n
