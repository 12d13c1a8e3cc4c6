"""What hides behind what, from eyes at given heights: shares of fronts, by central projection.

One stands in the middle before each object, so far from the front. The front of an object is
looked at along level lines; on each the shadows of all boxes before it are exact.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from layouts.cases.answer import Hidden

LINES = 24


@dataclass(frozen=True)
class Solid:
    """A box in a case; x and y as for places, z from the case's floor. Shelves have no name."""

    name: str
    x0: int
    x1: int
    y0: int
    y1: int
    z0: int
    z1: int


def hidden_shares(
    targets: Sequence[Solid],
    opaque: Sequence[Solid],
    *,
    eye_mm: int,
    floor_mm: int,
    distance_mm: int,
) -> list[Hidden]:
    """Return for one eye height each object of whose front at least one percent is hidden."""
    found = []
    for target in targets:
        solids = [s for s in (*targets, *opaque) if s is not target and s.y0 < target.y0]
        percent, behind = _hidden(target, solids, eye_mm - floor_mm, distance_mm)
        if percent:
            found.append(Hidden(target.name, eye_mm, percent, behind))
    return found


def _hidden(
    target: Solid, solids: Sequence[Solid], eye_z: int, distance: int
) -> tuple[int, tuple[str, ...]]:
    eye_x = (target.x0 + target.x1) / 2
    width, height = target.x1 - target.x0, target.z1 - target.z0
    lost, behind = 0.0, set()
    for line in range(LINES):
        z = target.z0 + height * (line + 0.5) / LINES
        shadows = []
        for solid in solids:
            shadow = _shadow(solid, target.y0, z - eye_z, eye_x, eye_z, distance)
            if shadow and shadow[0] < target.x1 and shadow[1] > target.x0:
                shadows.append(shadow)
                behind.add(solid.name)
        lost += _covered(shadows, target.x0, target.x1) / width
    return round(100 * lost / LINES), tuple(sorted(name for name in behind if name))


def _shadow(
    solid: Solid, plane: int, up: float, eye_x: float, eye_z: float, distance: int
) -> tuple[float, float] | None:
    """Return where a box covers a level line of a plane behind it; `up` is the line over the eye.

    A slice of the box at depth y appears scaled about the eye by s = (plane + d) / (y + d).
    """
    least = (plane + distance) / (min(solid.y1, plane) + distance)
    most = (plane + distance) / (solid.y0 + distance)
    low, high = solid.z0 - eye_z, solid.z1 - eye_z
    if up < 0:
        up, low, high = -up, -high, -low
    if high <= 0:
        return None
    least = max(least, up / high)
    if low > 0:
        most = min(most, up / low)
    if least >= most:
        return None
    left = min(eye_x + (solid.x0 - eye_x) * s for s in (least, most))
    right = max(eye_x + (solid.x1 - eye_x) * s for s in (least, most))
    return left, right


def _covered(shadows: list[tuple[float, float]], left: float, right: float) -> float:
    total, reach = 0.0, left
    for start, end in sorted(shadows):
        start, end = max(start, reach), min(end, right)
        if end > start:
            total += end - start
            reach = end
    return total
