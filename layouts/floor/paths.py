"""Short ways through a polygon: triangles, the best chain of them, and the line pulled taut in it.

The way keeps inside the polygon; among chains of triangles it takes a short one, which is not
always the shortest of all.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import accumulate, pairwise
from math import hypot
from typing import Any

from layouts.floor.scene import Shape, Vec

Edge = tuple[Vec, Vec]


@dataclass(frozen=True)
class Mesh:
    """Triangles of a polygon and which share an edge; `cost` is added for crossing one."""

    triangles: Sequence[tuple[Vec, Vec, Vec]]
    neighbours: Sequence[dict[int, Edge]]
    cost: dict[Edge, float]
    tree: Any

    def at(self, point: Vec) -> int:
        """Return the triangle that holds a point, or the one nearest to it."""
        import shapely

        return int(self.tree.nearest(shapely.Point(point)))


def mesh_of(shape: Shape, cost: Callable[[list[Edge]], list[float]] | None = None) -> Mesh:
    """Cut a polygon into triangles."""
    import shapely

    pieces = shapely.get_parts(shapely.constrained_delaunay_triangles(shape))
    points = shapely.get_coordinates(pieces).reshape(-1, 4, 2)[:, :3]
    triangles = [((a[0], a[1]), (b[0], b[1]), (c[0], c[1])) for a, b, c in points.tolist()]
    sharing: dict[Edge, list[int]] = {}
    for n, corner in enumerate(triangles):
        for k in range(3):
            sharing.setdefault(_edge(corner[k], corner[k - 1]), []).append(n)
    neighbours: list[dict[int, Edge]] = [{} for _ in triangles]
    shared = [(edge, both) for edge, both in sharing.items() if len(both) == 2]
    for edge, (a, b) in shared:
        neighbours[a][b] = neighbours[b][a] = edge
    edges = [edge for edge, _ in shared]
    extra = dict(zip(edges, cost(edges), strict=True)) if cost else {}
    return Mesh(triangles, neighbours, extra, shapely.STRtree(pieces))


def way(mesh: Mesh, start: Vec, goal: Vec) -> list[Vec] | None:
    """Return the corners of a way from start to goal; None if there is none."""
    chain = _chain(mesh, mesh.at(start), mesh.at(goal), start, goal)
    if chain is None:
        return None
    gates = [_oriented(mesh, a, b) for a, b in pairwise(chain)]
    return taut(start, goal, gates)


def length_mm(points: Sequence[Vec]) -> float:
    return sum(_far(a, b) for a, b in pairwise(points))


@dataclass(frozen=True)
class Run:
    """A stretch of a way inside an area: how far along it starts and ends, and its corners."""

    from_mm: float
    to_mm: float
    points: tuple[Vec, ...]


def runs_inside(points: Sequence[Vec], area: Shape) -> list[Run]:
    """Return a way's stretches inside an area, each passage by itself where it comes again."""
    import shapely

    legs = list(pairwise(points))
    met = shapely.intersection(shapely.linestrings(legs), area)
    starts = list(accumulate((_far(a, b) for a, b in legs), initial=0.0))
    runs: list[Run] = []
    for n in (shapely.length(met) > 0).nonzero()[0].tolist():
        start, far = legs[n][0], starts[n]
        parts = [list(part.coords) for part in shapely.get_parts(met[n]) if part.length > 0]
        for part in _in_line(start, parts):
            ends = (part[0], part[-1])
            run = Run(far + _far(start, ends[0]), far + _far(start, ends[1]), ends)
            if runs and run.from_mm < runs[-1].to_mm + 0.01:
                before = runs.pop()
                run = Run(before.from_mm, run.to_mm, (*before.points, *run.points))
            runs.append(run)
    return runs


def _in_line(start: Vec, parts: list[list[Vec]]) -> list[list[Vec]]:
    """Return stretches of one leg, and the ends of each, in the order of going."""

    def far(point: Vec) -> float:
        return _far(start, point)

    return sorted((sorted(part, key=far) for part in parts), key=lambda part: far(part[0]))


def _edge(a: Vec, b: Vec) -> Edge:
    return (a, b) if a < b else (b, a)


def _far(a: Vec, b: Vec) -> float:
    return hypot(b[0] - a[0], b[1] - a[1])


def _chain(mesh: Mesh, first: int, last: int, start: Vec, goal: Vec) -> list[int] | None:
    best: dict[int, float] = {first: 0.0}
    before: dict[int, int] = {}
    queue: list[tuple[float, int, Vec]] = [(_far(start, goal), first, start)]
    done: set[int] = set()
    while queue:
        _, here, at = heappop(queue)
        if here in done:
            continue
        done.add(here)
        if here == last:
            chain = [here]
            while chain[-1] != first:
                chain.append(before[chain[-1]])
            return chain[::-1]
        for there, edge in mesh.neighbours[here].items():
            if there in done:
                continue
            through = _nearest_on(edge, at)
            cost = best[here] + _far(at, through) + mesh.cost.get(edge, 0.0)
            if cost < best.get(there, float("inf")):
                best[there], before[there] = cost, here
                heappush(queue, (cost + _far(through, goal), there, through))
    return None


def _nearest_on(edge: Edge, point: Vec) -> Vec:
    """Return the point of an edge nearest to another, a little inside its ends."""
    (ax, ay), (bx, by) = edge
    dx, dy = bx - ax, by - ay
    share = ((point[0] - ax) * dx + (point[1] - ay) * dy) / (dx * dx + dy * dy)
    share = min(0.95, max(0.05, share))
    return (ax + dx * share, ay + dy * share)


def _oriented(mesh: Mesh, here: int, there: int) -> Edge:
    """Return the gate between two triangles, its left end first as one walks through."""
    a, b = mesh.neighbours[here][there]
    third = next(c for c in mesh.triangles[here] if c not in (a, b))
    return (a, b) if _turn(third, b, a) >= 0 else (b, a)


def _turn(a: Vec, b: Vec, c: Vec) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def taut(start: Vec, goal: Vec, gates: Sequence[Edge]) -> list[Vec]:
    """Pull a line taut through gates (left end, right end); the funnel method."""
    rows = [(start, start), *gates, (goal, goal)]
    line = [start]
    apex = left = right = start
    at_left = at_right = n = 0
    while n + 1 < len(rows):
        n += 1
        new_left, new_right = rows[n]
        if _turn(apex, right, new_right) >= 0:
            if apex == right or _turn(apex, left, new_right) < 0:
                right, at_right = new_right, n
            else:
                apex, n = left, at_left
                line.append(apex)
                left = right = apex
                at_right = at_left = n
                continue
        if _turn(apex, left, new_left) <= 0:
            if apex == left or _turn(apex, right, new_left) > 0:
                left, at_left = new_left, n
            else:
                apex, n = right, at_right
                line.append(apex)
                left = right = apex
                at_left = at_right = n
                continue
    line.append(goal)
    return [p for k, p in enumerate(line) if k == 0 or _far(p, line[k - 1]) > 1e-9]
