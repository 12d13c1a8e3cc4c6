"""Spread pieces over a room: sections along the way from the entrance to the exit, gaps wide.

First each piece in turn takes the clearest spot in its section's stretch of the way; then single
pieces are moved while that makes the narrowest gaps wider. The number of moves is given, so the
answer does not depend on the clock; it may be stopped at any time with the best found.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from layouts.floor.problem import Floor, Piece
from layouts.floor.scene import Shape, Vec, door_line, footprint, is_placed, scene_of
from layouts.floor.things import swing

PITCH_MM = 250
SEED = 1
REPORT_EVERY = 50
RENEW_EVERY = 10
Places = dict[str, tuple[int, int]]
Progress = Callable[[float], bool]


@dataclass
class _Room:
    """What stays, and how far along the way from entrance to exit a point lies (0 to 1)."""

    room: Shape
    edge: Shape
    standing: list[Shape]
    closed: Shape
    start: Vec
    end: Vec
    reserved: Shape | None = None

    def progress(self, x: float, y: float) -> float:
        dx, dy = self.end[0] - self.start[0], self.end[1] - self.start[1]
        share = ((x - self.start[0]) * dx + (y - self.start[1]) * dy) / (dx * dx + dy * dy)
        return min(1.0, max(0.0, share))


def spread_freely(
    floor: Floor,
    movable: Sequence[Piece],
    keep_mm: int,
    on_progress: Progress | None = None,
    reserved: Shape | None = None,
) -> Places:
    """Return centres for the pieces that found a clear place, none of them on `reserved` floor."""
    room = _room(floor, movable, keep_mm)
    if reserved is not None:
        room = replace(room, closed=room.closed.union(reserved), reserved=reserved)
    shapes = {piece.id: _at_origin(floor, piece) for piece in movable}
    bands = _bands(floor, movable)
    places = _first(room, movable, shapes, bands, keep_mm)
    return _improved(
        room, places, shapes, bands, keep_mm, floor.arrangement.work, on_progress or _go_on
    )


def _go_on(_share: float) -> bool:
    return True


def _room(floor: Floor, movable: Sequence[Piece], keep_mm: int) -> _Room:
    import shapely

    moving = {piece.id for piece in movable}
    stays = [piece for piece in floor.pieces if piece.id not in moving and is_placed(piece)]
    standing = [footprint(floor, piece) for piece in stays]
    room = shapely.Polygon(floor.outline)
    scene = scene_of(floor)
    swept = [area for door in floor.doors if (area := swing(scene, door)) is not None]
    landings = [_landing(floor, n, keep_mm) for n in range(len(floor.doors))]
    start, end = _way_through(floor)
    return _Room(room, room.boundary, standing, shapely.union_all([*swept, *landings]), start, end)


def _landing(floor: Floor, n: int, keep_mm: int) -> Shape:
    """Return the floor before a door that stays clear: its width, as deep as the gap kept."""
    import shapely

    left, right, inward = door_line(floor, floor.doors[n])
    far = [(x + inward[0] * keep_mm, y + inward[1] * keep_mm) for x, y in (right, left)]
    return shapely.Polygon([left, right, *far])


def _way_through(floor: Floor) -> tuple[Vec, Vec]:
    """Return the straight way from entrance to exit, or across the room's longer side."""
    ends = []
    for role in ("entrance", "exit"):
        doors = [door for door in floor.doors if door.role in (role, "both")]
        if doors:
            left, right, _ = door_line(floor, doors[0])
            ends.append(((left[0] + right[0]) / 2, (left[1] + right[1]) / 2))
    if len(ends) == 2 and ends[0] != ends[1]:
        return ends[0], ends[1]
    xs, ys = [p[0] for p in floor.outline], [p[1] for p in floor.outline]
    if max(xs) - min(xs) >= max(ys) - min(ys):
        return (min(xs), min(ys)), (max(xs), min(ys))
    return (min(xs), min(ys)), (min(xs), max(ys))


def _at_origin(floor: Floor, piece: Piece) -> Shape:
    return footprint(floor, replace(piece, x_mm=0, y_mm=0))


def _bands(floor: Floor, movable: Sequence[Piece]) -> dict[str, tuple[float, float]]:
    """Return each piece's stretch of the way: sections share it by their number of pieces."""
    rank = {section.id: n for n, section in enumerate(floor.sections)}
    counts = [sum(piece.section == key for piece in movable) for key in rank]
    total = sum(counts) or 1
    ends = [sum(counts[:n]) / total for n in range(len(counts) + 1)]
    return {
        piece.id: (ends[rank[piece.section]], ends[rank[piece.section] + 1])
        if piece.section in rank
        else (0.0, 1.0)
        for piece in movable
    }


def _first(
    room: _Room,
    movable: Sequence[Piece],
    shapes: dict[str, Shape],
    bands: dict[str, tuple[float, float]],
    keep_mm: int,
) -> Places:
    """Give each piece, largest first within its section, the clearest spot of its stretch."""
    import numpy as np
    import shapely

    x0, y0, x1, y1 = (int(v) for v in room.room.bounds)
    grid = [
        (x, y)
        for y in range(y0 + PITCH_MM, y1, PITCH_MM)
        for x in range(x0 + PITCH_MM, x1, PITCH_MM)
    ]
    progress = np.array([room.progress(x, y) for x, y in grid])
    order = sorted(movable, key=lambda piece: (bands[piece.id], -shapes[piece.id].area, piece.id))
    taken: list[Shape] = list(room.standing)
    points = shapely.points(np.array(grid, dtype=float))
    near = shapely.distance(points, room.edge)
    inside = shapely.contains(room.room, points)
    for shape in [*taken, *([room.reserved] if room.reserved is not None else [])]:
        near = np.minimum(near, shapely.distance(points, shape))
    places: Places = {}
    for piece in order:
        low, high = bands[piece.id]
        fits = inside & (progress >= low - 1e-9) & (progress <= high + 1e-9)
        for n in np.argsort(np.where(fits, -near, 1.0), kind="stable")[:60]:
            spot = grid[int(n)]
            if fits[n] and _gap(room, _put(shapes[piece.id], spot), taken) > 0:
                places[piece.id] = spot
                taken.append(_put(shapes[piece.id], spot))
                near = np.minimum(near, shapely.distance(points, taken[-1]))
                break
    return places


def _put(shape: Shape, spot: tuple[int, int]) -> Shape:
    from shapely import affinity

    return affinity.translate(shape, *spot)


def _gap(room: _Room, body: Shape, others: Sequence[Shape]) -> float:
    """Return how far a body stands from all else; 0 where it may not stand."""
    if not room.room.contains(body) or room.closed.intersects(body):
        return 0.0
    return min([float(body.distance(room.edge)), *(float(body.distance(o)) for o in others)])


def _improved(
    room: _Room,
    places: Places,
    shapes: dict[str, Shape],
    bands: dict[str, tuple[float, float]],
    keep_mm: int,
    work: int,
    on_progress: Progress,
) -> Places:
    """Move single pieces while their badness falls: the nearer a thing, the worse by far."""
    import numpy as np
    import shapely

    keys = sorted(places)
    if not keys:
        return places
    dice = random.Random(SEED)  # noqa: S311
    bodies: Any = np.empty(len(keys) + len(room.standing), dtype=object)
    bodies[:] = [_put(shapes[key], places[key]) for key in keys] + room.standing
    x0, y0, x1, y1 = room.room.bounds
    reach = max(x1 - x0, y1 - y0) / 4

    def distances(n: int, body: Shape) -> Any:
        far = shapely.distance(bodies, body)
        far[n] = float(body.distance(room.edge))
        return far

    def badness(far: Any) -> float:
        tight = np.maximum(0.0, keep_mm - far)
        return float((tight**2).sum() + ((1000.0 / far) ** 2).sum())

    least = min(distances(n, bodies[n]).min() for n in range(len(keys)))
    for step in range(work):
        if step % REPORT_EVERY == 0 and not on_progress(step / work):
            break
        n = dice.randrange(len(keys))
        key, size = keys[n], reach * (1 - step / work) + 20
        x, y = places[key]
        spot = (round(x + dice.uniform(-size, size)), round(y + dice.uniform(-size, size)))
        low, high = bands[key]
        if not low - 1e-9 <= room.progress(*spot) <= high + 1e-9:
            continue
        body = _put(shapes[key], spot)
        if not room.room.contains(body) or room.closed.intersects(body):
            continue
        far = distances(n, body)
        # The narrowest gap of all never narrows again.
        if far.min() >= least and badness(far) < badness(distances(n, bodies[n])):
            places[key], bodies[n] = spot, body
            if step % RENEW_EVERY == 0:
                least = min(distances(k, bodies[k]).min() for k in range(len(keys)))
    return places
