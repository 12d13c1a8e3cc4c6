"""Whether an arrangement leaves the route its width, and a way that could be kept free for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from layouts.floor.gaps import find_gaps
from layouts.floor.passing import common_part, walkable
from layouts.floor.problem import Floor, Piece
from layouts.floor.route import full_way
from layouts.floor.scene import Shape, Vec, scene_of
from layouts.floor.stops import targets


def keeps_route(floor: Floor) -> bool:
    """Return whether a disc of the route's width gets from stop to stop, where stops are named."""
    scene = scene_of(floor)
    if len(targets(scene, scene.route_mm)) < 2:
        return True
    return full_way(scene, find_gaps(scene), scene.route_mm) is not None


def ways_between(floor: Floor, movable: Sequence[Piece]) -> list[Shape]:
    """Return floor that a route past what stays would take: straight, then along either side."""
    import shapely

    moving = {piece.id for piece in movable}
    stays = tuple(piece for piece in floor.pieces if piece.id not in moving)
    scene = scene_of(replace(floor, pieces=stays, sections=()))
    stops = targets(scene, scene.route_mm)
    gaps = find_gaps(scene)
    way = full_way(scene, gaps, scene.route_mm) if len(stops) > 1 else None
    part = common_part(walkable(scene, gaps, scene.route_mm), stops) if way else None
    if way is None or part is None:
        return []
    lines = [shapely.LineString(way.points)]
    for side in _sides(part.exterior, [at for _, at, _ in way.stops]):
        lines.append(shapely.LineString([way.points[0], *side, way.points[-1]]))
    return [line.buffer(scene.route_mm / 2) for line in lines]


def _sides(ring: Shape, ends: Sequence[Vec]) -> list[list[Vec]]:
    """Return the two ways from one place to another along a ring."""
    import shapely
    from shapely.ops import substring

    start, stop = (ring.project(shapely.Point(ends[n])) for n in (0, -1))
    low, high = sorted((start, stop))
    inner = list(substring(ring, low, high).coords)
    outer = list(substring(ring, high, ring.length).coords)
    outer += list(substring(ring, 0, low).coords)
    sides = [inner, outer[::-1]]
    return [side if start <= stop else side[::-1] for side in sides]
