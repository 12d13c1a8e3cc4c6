"""Plain geometry for the verifier, without the library that the measuring uses. Lengths in mm."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import cos, hypot, radians, sin

from layouts.floor.problem import Floor, Piece

Vec = tuple[float, float]


@dataclass(frozen=True)
class Solid:
    """A thing as a polygon (two points make a wall) grown by a radius (a round is one point)."""

    name: str
    points: tuple[Vec, ...]
    radius: float = 0.0

    def edges(self) -> list[tuple[Vec, Vec]]:
        if len(self.points) < 3:
            return [(self.points[0], self.points[-1])]
        return list(pairwise([*self.points, self.points[0]]))


def solid_of(floor: Floor, piece: Piece) -> Solid:
    """Return a piece's footprint from its own fields."""
    if piece.wall is not None:
        (ax, ay), (bx, by) = floor.ends_of(piece.wall)
        long = hypot(bx - ax, by - ay)
        tx, ty = (bx - ax) / long, (by - ay) / long
        left, deep = piece.along_mm or 0, piece.depth_mm
        right = left + piece.width_mm
        box = [(left, 0), (right, 0), (right, deep), (left, deep)]
        return Solid(piece.id, tuple((ax + tx * u + ty * v, ay + ty * u - tx * v) for u, v in box))
    x, y = float(piece.x_mm or 0), float(piece.y_mm or 0)
    if piece.shape == "round":
        return Solid(piece.id, ((x, y),), piece.width_mm / 2)
    c, s = cos(radians(piece.turn_deg)), sin(radians(piece.turn_deg))
    w, d = piece.width_mm / 2, piece.depth_mm / 2
    turned = [(u * c - v * s, u * s + v * c) for u, v in ((-w, -d), (w, -d), (w, d), (-w, d))]
    return Solid(piece.id, tuple((x + u, y + v) for u, v in turned))


def apart(a: Solid, b: Solid) -> float:
    """Return how far two things are from each other; 0 if they meet."""
    if len(a.points) > 2 and holds(a.points, b.points[0]):
        return 0.0
    if len(b.points) > 2 and holds(b.points, a.points[0]):
        return 0.0
    near = min(between(*p, *q) for p in a.edges() for q in b.edges())
    return max(0.0, near - a.radius - b.radius)


def to_point(solid: Solid, point: Vec) -> float:
    """Return how far a point is from a thing; 0 inside."""
    return apart(solid, Solid("", (point,)))


def from_line(solid: Solid, a: Vec, b: Vec) -> float:
    """Return how far a thing is from a straight stretch."""
    return apart(solid, Solid("", (a, b)))


def between(a: Vec, b: Vec, c: Vec, d: Vec) -> float:
    """Return the distance of two straight stretches."""
    if _cross(a, b, c) * _cross(a, b, d) < 0 and _cross(c, d, a) * _cross(c, d, b) < 0:
        return 0.0
    return min(_off(a, b, c), _off(a, b, d), _off(c, d, a), _off(c, d, b))


def _off(a: Vec, b: Vec, p: Vec) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    square = dx * dx + dy * dy
    share = 0.0
    if square:
        share = min(1.0, max(0.0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / square))
    return hypot(p[0] - a[0] - share * dx, p[1] - a[1] - share * dy)


def _cross(a: Vec, b: Vec, c: Vec) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def holds(points: Sequence[Vec], point: Vec) -> bool:
    """Return whether a polygon holds a point, by counting crossings of a ray."""
    inside = False
    for (ax, ay), (bx, by) in pairwise([*points, points[0]]):
        if (ay > point[1]) != (by > point[1]):
            x = ax + (point[1] - ay) / (by - ay) * (bx - ax)
            inside ^= point[0] < x
    return inside


def overlap_depth(a: Solid, b: Solid) -> float:
    """Return how deep two convex things stand in each other; 0 if they only touch."""
    axes = [_normal(*edge) for solid in (a, b) for edge in solid.edges() if len(solid.points) > 2]
    if a.radius or b.radius:
        near = min(
            ((p, q) for p in a.points for q in b.points),
            key=lambda pair: hypot(pair[0][0] - pair[1][0], pair[0][1] - pair[1][1]),
        )
        axes.append(_normal((0, 0), (near[1][1] - near[0][1], near[0][0] - near[1][0])))
    depths = []
    for axis in axes:
        low_a, high_a = reach(a, axis)
        low_b, high_b = reach(b, axis)
        depths.append(min(high_a, high_b) - max(low_a, low_b))
    return max(0.0, min(depths))


def _normal(a: Vec, b: Vec) -> Vec:
    dx, dy = b[0] - a[0], b[1] - a[1]
    long = hypot(dx, dy) or 1.0
    return (-dy / long, dx / long)


def reach(solid: Solid, axis: Vec) -> tuple[float, float]:
    """Return from where to where a thing reaches along a direction."""
    values = [x * axis[0] + y * axis[1] for x, y in solid.points]
    return min(values) - solid.radius, max(values) + solid.radius


def clipped(points: Sequence[Vec], axis: Vec, least: float) -> list[Vec]:
    """Return the part of a polygon, or of a stretch, at least so far along a direction."""
    kept: list[Vec] = []
    loop = list(points)
    pairs = list(pairwise([*loop, loop[0]])) if len(loop) > 2 else [(loop[0], loop[-1])]
    for a, b in pairs:
        at_a = a[0] * axis[0] + a[1] * axis[1] - least
        at_b = b[0] * axis[0] + b[1] * axis[1] - least
        if at_a >= 0:
            kept.append(a)
        if at_a * at_b < 0:
            share = at_a / (at_a - at_b)
            kept.append((a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share))
        if len(loop) == 2 and at_b >= 0:
            kept.append(b)
    return kept
