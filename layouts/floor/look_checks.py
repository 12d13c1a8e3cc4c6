"""Verify viewing distances and the leaves of doors in plain geometry."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import cos, hypot, pi, sin

from layouts.floor import plain
from layouts.floor.facts import Facts, Fault, told
from layouts.floor.plain import Solid, Vec
from layouts.floor.problem import Door, Piece
from layouts.floor.report import FloorReport

FARTHEST_MM = 8000.0
HAIR_MM = 0.05
# What stands at the edge of a face may be counted or not.
EDGES_MM = (0.0, -2.0)
ARC = 64


def viewing(facts: Facts, report: FloorReport) -> Iterator[Fault]:
    """Yield faces whose viewing distance, or the finding on it, is told wrongly."""
    rows = {(row.id, row.side): row for row in report.viewing}
    short = {things[0] for things in told(report, "viewing")}
    for piece in facts.floor.pieces:
        if piece.id not in facts.solids:
            continue
        bad = False
        for side in piece.sides or (("front",) if piece.wall is not None else ()):
            wanted = _wanted(facts, piece, side)
            there, most = (step_back(facts, piece, side, by) for by in EDGES_MM)
            row = rows.pop((piece.id, side), None)
            if row is None or row.wanted_mm != wanted or not _told(row.there_mm, there, most):
                words = "8 m and more" if there >= FARTHEST_MM else f"{there:.0f} mm"
                yield Fault(
                    "viewing",
                    (piece.id,),
                    f"From the {side} of {piece.id} one may step back {words}; {wanted} mm are "
                    "wanted.",
                )
            bad = bad or (row is not None and row.there_mm is not None and row.there_mm < wanted)
        if bad != (piece.id in short):
            yield Fault("viewing", (piece.id,), f"The finding on looking at {piece.id} is wrong.")
    for name, side in rows:
        yield Fault("viewing", (name,), f"Nobody looks at the {side} of {name}.")


def _told(said: int | None, least: float, most: float) -> bool:
    told_mm = FARTHEST_MM if said is None else said
    return least - 2 <= told_mm <= most + 2


def _wanted(facts: Facts, piece: Piece, side: str) -> int:
    if piece.view_mm is not None:
        return piece.view_mm
    wide = piece.width_mm if side in ("front", "back") else piece.depth_mm
    return round(hypot(wide, piece.height_mm) * facts.rules.value("view_percent") / 100)


def step_back(facts: Facts, piece: Piece, side: str, wider_mm: float) -> float:
    """Return how far a face, made wider, is from the first high thing before it; at most 8 m."""
    frame = facts.frame(piece)
    (rx, ry), (bx, by) = frame.right, frame.back
    out = {"front": (-bx, -by), "back": (bx, by), "right": (rx, ry), "left": (-rx, -ry)}[side]
    upright = side in ("front", "back")
    half = (piece.width_mm if upright else piece.depth_mm) / 2
    deep = (piece.depth_mm if upright else piece.width_mm) / 2
    tangent = (-out[1], out[0])
    eye = facts.rules.value("eye_mm")
    high = [
        facts.solids[other.id]
        for other in facts.floor.pieces
        if other.id in facts.solids and other.id != piece.id and other.top_mm >= eye
    ]
    face = (frame.centre[0] + out[0] * deep, frame.centre[1] + out[1] * deep)
    shares = (-1.0, -0.5, 0.0, 0.5, 1.0)
    ahead = [_ahead(face, tangent, (half - 1) * share, out) for share in shares]
    if not all(plain.holds(facts.floor.outline, point) for point in ahead):
        return 0.0
    nearest = min(
        (
            far
            for solid in (*high, *facts.walls.values())
            if (far := _before(solid, face, out, tangent, half + wider_mm)) is not None
        ),
        default=FARTHEST_MM,
    )
    return min(nearest, FARTHEST_MM)


def _ahead(face: Vec, tangent: Vec, aside: float, out: Vec) -> Vec:
    """Return a point a hair before a face."""
    x, y = face[0] + tangent[0] * aside, face[1] + tangent[1] * aside
    return x + out[0] * HAIR_MM, y + out[1] * HAIR_MM


def _before(solid: Solid, face: Vec, out: Vec, tangent: Vec, half: float) -> float | None:
    """Return how far before a face a thing first stands within the face's width."""
    if solid.radius:
        (x, y) = solid.points[0][0] - face[0], solid.points[0][1] - face[1]
        across, far = x * tangent[0] + y * tangent[1], x * out[0] + y * out[1]
        aside = max(0.0, abs(across) - half)
        if aside >= solid.radius:
            return None
        reach = (solid.radius**2 - aside**2) ** 0.5
        return max(0.0, far - reach) if far + reach > HAIR_MM else None
    middle = face[0] * tangent[0] + face[1] * tangent[1]
    base = face[0] * out[0] + face[1] * out[1]
    points: Sequence[Vec] = solid.points
    for axis, least in (
        (tangent, middle - half),
        ((-tangent[0], -tangent[1]), -middle - half),
        (out, base + HAIR_MM),
    ):
        points = plain.clipped(points, axis, least)
        if len(points) < 2:
            return None
    far = min(x * out[0] + y * out[1] for x, y in points) - base
    return 0.0 if far <= 2 * HAIR_MM else far


def swings(facts: Facts, report: FloorReport) -> Iterator[Fault]:
    """Yield leaves that strike something untold, and those told that strike nothing."""
    said = told(report, "swing")
    for door in facts.floor.doors:
        for solid in facts.solids.values():
            deep = _swept(facts, door, solid) if door.opens == "in" else -1.0
            pair = (door.id, solid.name)
            if deep > 2 and pair not in said:
                yield Fault("swing", pair, f"The leaf of {door.id} strikes {solid.name}, untold.")
            if deep < -0.5 and pair in said:
                yield Fault("swing", pair, f"The leaf of {door.id} does not strike {solid.name}.")


def _swept(facts: Facts, door: Door, solid: Solid) -> float:
    """Return how deep a thing stands in the quarter circle of a leaf; negative if it does not."""
    left, right, inward = facts.jambs(door)
    hinge, other = (left, right) if door.hinge == "left" else (right, left)
    radius = door.leaf_mm or door.width_mm
    long = hypot(other[0] - hinge[0], other[1] - hinge[1])
    along = ((other[0] - hinge[0]) / long, (other[1] - hinge[1]) / long)
    points: Sequence[Vec] = solid.points
    if solid.radius:
        (x, y), r = solid.points[0], solid.radius
        turns = [2 * pi * k / ARC for k in range(ARC)]
        points = [(x + r * cos(a), y + r * sin(a)) for a in turns]
    for axis in (along, inward):
        points = plain.clipped(points, axis, hinge[0] * axis[0] + hinge[1] * axis[1] + HAIR_MM)
        if len(points) < 3:
            return -1.0
    return radius - plain.to_point(Solid(solid.name, tuple(points)), hinge)
