"""Turn a floor into polygons: the room, what stands in it, and what is left to walk on.

Shapes are those of the geometry library, loaded when first needed. All lengths in mm.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import cos, hypot, radians, sin
from typing import Any

from layouts.floor.problem import Door, Floor, Piece
from layouts.floor.rules import RuleSet, load

Vec = tuple[float, float]
Shape = Any
ARC = 32  # segments of a quarter circle: a round of 1 m is drawn 0.3 mm too small at most


@dataclass(frozen=True)
class Part:
    """A convex part of a thing, or one wall; `inward` is a wall's direction into the room."""

    owner: str
    shape: Shape
    wall: int = 0
    inward: Vec | None = None


@dataclass(frozen=True)
class Scene:
    """A floor ready to be measured. `bodies` are the footprints that stand in a walker's way."""

    floor: Floor
    rules: RuleSet
    room: Shape
    bodies: Mapping[str, Shape]
    free: Shape
    parts: tuple[Part, ...]
    sections: Mapping[str, Shape]

    @property
    def route_mm(self) -> int:
        """Return the width of route asked for."""
        return self.floor.width_mm or self.rules.value("route_mm")

    @property
    def short_mm(self) -> int | None:
        """Return the width permitted for a short narrowing; None where there is none."""
        asked = self.floor.width_mm
        return None if asked and asked > self.rules.value("route_mm") else self._short()

    def _short(self) -> int | None:
        short = self.rules.get("short_mm")
        return short if short and short < self.route_mm else None


def scene_of(floor: Floor) -> Scene:
    """Return the polygons of a floor whose pieces all have places."""
    import shapely

    rules = load(floor.rules, floor.limits)
    room = shapely.Polygon(floor.outline)
    headroom = rules.value("headroom_mm")
    bodies = {
        piece.id: footprint(floor, piece)
        for piece in floor.pieces
        if piece.bottom_mm < headroom and is_placed(piece)
    }
    free = room.difference(shapely.union_all(list(bodies.values()))) if bodies else room
    parts = [*_walls(floor), *(Part(key, body) for key, body in bodies.items())]
    return Scene(floor, rules, room, bodies, free, tuple(parts), _sections(floor))


def is_placed(piece: Piece) -> bool:
    """Return whether a piece has a place, on the floor or on a wall."""
    return piece.wall is not None or (piece.x_mm is not None and piece.y_mm is not None)


def moved(floor: Floor, places: Mapping[str, tuple[int, int]]) -> Floor:
    """Return the floor with pieces at new centres."""
    pieces = tuple(
        replace(p, x_mm=places[p.id][0], y_mm=places[p.id][1]) if p.id in places else p
        for p in floor.pieces
    )
    return replace(floor, pieces=pieces)


def wall_frame(floor: Floor, wall: int) -> tuple[Vec, Vec, Vec, float]:
    """Return a wall's left end, its direction, its direction into the room, and its length."""
    (ax, ay), (bx, by) = floor.ends_of(wall)
    long_mm = hypot(bx - ax, by - ay)
    along = ((bx - ax) / long_mm, (by - ay) / long_mm)
    return (ax, ay), along, (along[1], -along[0]), long_mm


def centre_and_axes(floor: Floor, piece: Piece) -> tuple[Vec, Vec, Vec]:
    """Return a piece's centre, its direction to the right, and that to its back.

    Right and back are as one sees them who stands before its front.
    """
    if piece.wall is not None:
        (ax, ay), along, inward, _ = wall_frame(floor, piece.wall)
        run, out = (piece.along_mm or 0) + piece.width_mm / 2, piece.depth_mm / 2
        centre = (ax + along[0] * run + inward[0] * out, ay + along[1] * run + inward[1] * out)
        return centre, along, (-inward[0], -inward[1])
    turn = radians(piece.turn_deg)
    right = _clean((cos(turn), sin(turn)))
    return (float(piece.x_mm or 0), float(piece.y_mm or 0)), right, (-right[1], right[0])


def corners(floor: Floor, piece: Piece) -> list[Vec]:
    """Return the corners of a box, from the front left anticlockwise."""
    (cx, cy), right, back = centre_and_axes(floor, piece)
    w, d = piece.width_mm / 2, piece.depth_mm / 2
    return [
        (cx + right[0] * u + back[0] * v, cy + right[1] * u + back[1] * v)
        for u, v in ((-w, -d), (w, -d), (w, d), (-w, d))
    ]


def footprint(floor: Floor, piece: Piece) -> Shape:
    """Return a piece's outline seen from above."""
    import shapely

    if piece.shape == "round":
        centre, _, _ = centre_and_axes(floor, piece)
        return shapely.Point(centre).buffer(piece.width_mm / 2, quad_segs=ARC)
    return shapely.Polygon(corners(floor, piece))


def door_line(floor: Floor, door: Door) -> tuple[Vec, Vec, Vec]:
    """Return a door's left and right jamb as seen from inside, and its direction into the room."""
    (ax, ay), along, inward, _ = wall_frame(floor, door.wall)
    left, right = door.along_mm, door.along_mm + door.width_mm
    return (
        (ax + along[0] * left, ay + along[1] * left),
        (ax + along[0] * right, ay + along[1] * right),
        inward,
    )


def eroded(scene: Scene, width_mm: float, *, segments: int = 12) -> Shape:
    """Return where the centre of a disc may be; a gap as wide as the disc lets it through.

    The twentieth of a millimetre keeps such a gap from vanishing in rounding.
    """
    return scene.free.buffer(-(width_mm / 2 - 0.05), quad_segs=segments)


def _walls(floor: Floor) -> list[Part]:
    import shapely

    parts = []
    for n in range(1, len(floor.outline) + 1):
        _, _, inward, _ = wall_frame(floor, n)
        line = shapely.LineString(floor.ends_of(n))
        parts.append(Part(f"wall {n}", line, n, inward))
    return parts


def _sections(floor: Floor) -> dict[str, Shape]:
    """Return each section's area, or the footprints of its pieces where it has none."""
    import shapely

    return {
        section.id: shapely.Polygon(section.area)
        if section.area
        else shapely.MultiPolygon(
            [
                footprint(floor, piece)
                for piece in floor.pieces
                if piece.section == section.id and is_placed(piece)
            ]
        )
        for section in floor.sections
    }


def _clean(v: Vec) -> Vec:
    """Make quarter turns exact, so that straight things stay straight."""
    return (round(v[0], 12) + 0.0, round(v[1], 12) + 0.0)
