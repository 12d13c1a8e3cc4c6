"""Measure the room between things: which two, how far apart, and where.

A disc gets from one part of the room to another exactly if some way crosses no shortest line
between two convex things that is shorter than the disc is wide. So these lines decide what passes,
to the millimetre, and name the narrow places; walls count one by one.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from layouts.floor.scene import Part, Scene, Shape, Vec

TOUCHING_MM = 0.001
WIDEST_MM = 2400


@dataclass(frozen=True)
class Gap:
    """The shortest clear line between two things, from the first to the second."""

    first: Part
    second: Part
    width_mm: float
    start: Vec
    end: Vec
    open: bool

    @property
    def owners(self) -> tuple[str, str]:
        return self.first.owner, self.second.owner

    @property
    def middle(self) -> Vec:
        return (self.start[0] + self.end[0]) / 2, (self.start[1] + self.end[1]) / 2

    @property
    def line(self) -> Shape:
        import shapely

        return shapely.LineString([self.start, self.end])


def find_gaps(scene: Scene, widest_mm: float = WIDEST_MM) -> list[Gap]:
    """Return all gaps up to a width, narrowest first.

    `open` says that nothing stands on the line; one that is not open is crossed by shorter ones.
    """
    import shapely

    parts = scene.parts
    shapes = _array(parts)
    tree = shapely.STRtree(shapes)
    pairs = tree.query(shapes, predicate="dwithin", distance=widest_mm).T
    chosen = sorted((int(i), int(j)) for i, j in pairs if i < j)
    if not chosen:
        return []
    first, second = shapes[[i for i, _ in chosen]], shapes[[j for _, j in chosen]]
    widths = shapely.distance(first, second)
    keep = [
        n
        for n, (i, j) in enumerate(chosen)
        if widths[n] > TOUCHING_MM and parts[i].owner != parts[j].owner
    ]
    first, second, widths = first[keep], second[keep], widths[keep]
    ends = shapely.get_coordinates(_middle_lines(first, second, widths)).reshape(-1, 2, 2)
    found = [
        Gap(
            parts[chosen[n][0]],
            parts[chosen[n][1]],
            float(width),
            _vec(line[0]),
            _vec(line[1]),
            True,
        )
        for n, width, line in zip(keep, widths, ends, strict=True)
    ]
    found = [gap for gap in found if _faces(gap)]
    return sorted(_with_open(scene, found), key=_order)


def _array(parts: Sequence[Part]) -> Any:
    import numpy as np

    shapes = np.empty(len(parts), dtype=object)
    shapes[:] = [part.shape for part in parts]
    return shapes


def _vec(point: Any) -> Vec:
    return float(point[0]), float(point[1])


def _order(gap: Gap) -> tuple[float, str, str, Vec]:
    return (round(gap.width_mm, 3), *gap.owners, gap.start)


def _middle_lines(first: Any, second: Any, widths: Any) -> Any:
    """Return shortest lines, those between parallel faces in the middle of what they share."""
    import numpy as np
    import shapely

    plain = shapely.shortest_line(first, second)
    reach = widths / 2 + 0.5
    shared = shapely.intersection(
        shapely.buffer(first, reach, quad_segs=4), shapely.buffer(second, reach, quad_segs=4)
    )
    middle = shapely.centroid(shared)
    good = ~shapely.is_empty(middle)
    middle = np.where(good, middle, shapely.get_point(plain, 0))
    starts = shapely.get_coordinates(shapely.get_point(shapely.shortest_line(first, middle), 0))
    ends = shapely.get_coordinates(shapely.get_point(shapely.shortest_line(second, middle), 0))
    lines = shapely.linestrings(np.stack([starts, ends], axis=1))
    better = good & (shapely.length(lines) < widths + 0.05)
    return np.where(better, lines, plain)


def _faces(gap: Gap) -> bool:
    """Return whether a wall looks at the other thing, not away from it."""
    dx, dy = gap.end[0] - gap.start[0], gap.end[1] - gap.start[1]
    for part, sign in ((gap.first, 1), (gap.second, -1)):
        if part.inward and sign * (dx * part.inward[0] + dy * part.inward[1]) < -1e-6:
            return False
    return True


def _with_open(scene: Scene, gaps: list[Gap]) -> Iterable[Gap]:
    import shapely

    lines = [_shortened(gap) for gap in gaps]
    shapely.prepare(scene.free)
    inside = shapely.covers(scene.free, shapely.linestrings(lines)) if lines else []
    for gap, clear in zip(gaps, inside, strict=True):
        yield Gap(gap.first, gap.second, gap.width_mm, gap.start, gap.end, bool(clear))


def _shortened(gap: Gap) -> list[Vec]:
    """Draw in both ends a hair, so that rounding on an outline does not count."""
    share = min(0.25, 0.0005 / gap.width_mm)
    (ax, ay), (bx, by) = gap.start, gap.end
    dx, dy = (bx - ax) * share, (by - ay) * share
    return [(ax + dx, ay + dy), (bx - dx, by - dy)]


@dataclass(frozen=True)
class Strait:
    """The floor between two things, as far as it is narrower than a width.

    `axis` is the direction through it; its length along the axis is measured where the room
    square to the axis is narrower.
    """

    gap: Gap
    axis: Vec
    area: Shape


def straits(scene: Scene, gaps: Iterable[Gap], width_mm: float) -> list[Strait]:
    """Return the floor between each pair of things less than a width apart."""
    return [
        strait
        for gap in gaps
        if gap.width_mm < width_mm - TOUCHING_MM
        for strait in _straits(scene, gap, width_mm)
    ]


def _straits(scene: Scene, gap: Gap, width_mm: float) -> Iterable[Strait]:
    import shapely
    from shapely import affinity

    nx = (gap.end[0] - gap.start[0]) / gap.width_mm
    ny = (gap.end[1] - gap.start[1]) / gap.width_mm
    reach = width_mm - TOUCHING_MM
    back = affinity.translate(gap.second.shape, -nx * reach, -ny * reach)
    swept = shapely.convex_hull(shapely.union_all([gap.second.shape, back]))
    axis = (-ny, nx)
    for piece in shapely.get_parts(gap.first.shape.intersection(swept)):
        span = along(piece, axis)
        if span[1] - span[0] < 0.01:
            continue
        strip = _strip(span, axis, gap.middle, 4 * width_mm)
        ends = [part.intersection(strip) for part in (gap.first.shape, gap.second.shape)]
        area = shapely.convex_hull(shapely.union_all(ends)).intersection(scene.free)
        if area.area > 0:
            yield Strait(gap, axis, area)


def along(shape: Shape, axis: Vec) -> tuple[float, float]:
    """Return how far a shape reaches along a direction, from and to."""
    import shapely

    values = shapely.get_coordinates(shape) @ axis
    return float(values.min()), float(values.max())


def _strip(span: tuple[float, float], axis: Vec, middle: Vec, half_mm: float) -> Shape:
    import shapely

    normal = (-axis[1], axis[0])
    height = middle[0] * normal[0] + middle[1] * normal[1]
    return shapely.Polygon(
        [
            (s * axis[0] + (height + t) * normal[0], s * axis[1] + (height + t) * normal[1])
            for s, t in (
                (span[0], -half_mm),
                (span[1], -half_mm),
                (span[1], half_mm),
                (span[0], half_mm),
            )
        ]
    )
