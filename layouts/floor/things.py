"""Check single things: doors, what stands out, what hangs over a route, loads and viewing."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations
from math import atan2, ceil, cos, degrees, hypot, pi, radians, sin

from layouts.floor.problem import Door, Piece
from layouts.floor.report import Finding, Load, Viewing, spot
from layouts.floor.scene import Scene, Shape, Vec, centre_and_axes, corners, door_line

GRAVITY = 9.80665
LOOK_MM = 8000


def swing(scene: Scene, door: Door) -> Shape | None:
    """Return the quarter circle that a door's leaf sweeps inside the room; None if it does not."""
    import shapely

    if door.opens != "in":
        return None
    left, right, inward = door_line(scene.floor, door)
    hinge, other = (left, right) if door.hinge == "left" else (right, left)
    radius = door.leaf_mm or door.width_mm
    start = degrees(atan2(other[1] - hinge[1], other[0] - hinge[0]))
    turn = 90 if _cross((other[0] - hinge[0], other[1] - hinge[1]), inward) > 0 else -90
    arc = [radians(start + turn * k / 24) for k in range(25)]
    return shapely.Polygon(
        [hinge, *((hinge[0] + radius * cos(a), hinge[1] + radius * sin(a)) for a in arc)]
    )


def _cross(a: Vec, b: Vec) -> float:
    return a[0] * b[1] - a[1] * b[0]


def check_doors(scene: Scene) -> Iterable[Finding]:
    """Yield doors that are too narrow and leaves that strike something."""
    least = scene.rules.value("door_mm")
    for door in scene.floor.doors:
        left, right, _ = door_line(scene.floor, door)
        at = spot(((left[0] + right[0]) / 2, (left[1] + right[1]) / 2))
        if door.width_mm < least:
            yield Finding(
                "door",
                (door.id,),
                at,
                door.width_mm,
                least,
                f"Door {door.id} is {door.width_mm} mm wide; at least {least} mm are asked.",
                "Lead the route through a wider door, or ask for the door to be widened.",
                scene.rules.cite("door_mm"),
            )
        swept = swing(scene, door)
        for key, body in scene.bodies.items():
            if swept is not None and swept.intersection(body).area > 1:
                yield Finding(
                    "swing",
                    (door.id, key),
                    spot(middle(body)),
                    None,
                    None,
                    f"The leaf of door {door.id} strikes {key}.",
                    f"Move {key} out of the quarter circle of the leaf.",
                    "geometry",
                )


def middle(shape: Shape) -> Vec:
    return shape.centroid.x, shape.centroid.y


def check_standing_out(scene: Scene) -> Iterable[Finding]:
    """Yield what a cane does not find, or a head does."""
    rules = scene.rules
    low, high = rules.value("protrude_above_mm"), rules.value("headroom_mm")
    for piece in scene.floor.pieces:
        if not low < piece.bottom_mm <= high:
            continue
        if piece.wall is not None:
            name, out = "protrude_mm", piece.depth_mm
        elif piece.overhang_mm:
            name, out = "post_overhang_mm", piece.overhang_mm
        else:
            if piece.bottom_mm < high:
                yield _head(scene, piece, high)
            continue
        if out > rules.value(name):
            yield _stands_out(scene, piece, out, name)


def _stands_out(scene: Scene, piece: Piece, out: int, name: str) -> Finding:
    rules = scene.rules
    low, most = rules.value("protrude_above_mm"), rules.value(name)
    return Finding(
        "protrude",
        (piece.id,),
        spot(centre_and_axes(scene.floor, piece)[0]),
        out,
        most,
        f"{piece.id} stands out {out} mm with its underside at {piece.bottom_mm} mm: over {low} mm "
        f"a cane does not find it, and {most} mm are the most.",
        f"Bring its underside down to {low} mm, or put a base or barrier under it.",
        rules.cite(name),
    )


def _head(scene: Scene, piece: Piece, high: int) -> Finding:
    return Finding(
        "headroom",
        (piece.id,),
        spot(centre_and_axes(scene.floor, piece)[0]),
        piece.bottom_mm,
        high,
        f"{piece.id} hangs {piece.bottom_mm} mm over the floor; a route needs {high} mm.",
        "Raise it, or close the floor under it with a base or barrier.",
        scene.rules.cite("headroom_mm"),
    )


def loads(scene: Scene) -> tuple[Load, ...]:
    """Return what each standing piece with a mass puts on the floor under it, heaviest first."""
    limit = scene.floor.floor_n_per_m2 or scene.rules.value("floor_n_per_m2")
    rows = []
    for piece in scene.floor.pieces:
        if not piece.mass_g or piece.wall is not None or piece.kind == "suspended":
            continue
        force = piece.mass_g / 1000 * GRAVITY
        area = piece.bearing_mm2 or _area_mm2(piece)
        rows.append(Load(piece.id, round(force / area * 1e6), limit, ceil(force / limit * 1e6)))
    return tuple(sorted(rows, key=lambda row: (-row.n_per_m2, row.id)))


def _area_mm2(piece: Piece) -> float:
    full = piece.width_mm * piece.depth_mm
    return full * pi / 4 if piece.shape == "round" else full


def check_loads(scene: Scene, rows: Iterable[Load]) -> Iterable[Finding]:
    own = scene.floor.floor_n_per_m2 is not None
    source = "the building's own figure" if own else scene.rules.cite("floor_n_per_m2")
    for row in rows:
        if row.n_per_m2 > row.limit_n_per_m2:
            piece = scene.floor.piece(row.id)
            yield Finding(
                "floor_load",
                (row.id,),
                spot(centre_and_axes(scene.floor, piece)[0]),
                row.n_per_m2,
                row.limit_n_per_m2,
                f"{row.id} puts {row.n_per_m2 / 1000:.2f} kN/m² on the floor, limit "
                f"{row.limit_n_per_m2 / 1000:.2f}.",
                f"Spread it over at least {ceil(row.spreader_mm2 / 10_000) / 100:.2f} m², and ask "
                "a structural engineer.",
                source,
            )


@dataclass(frozen=True)
class _Face:
    """A side one looks at: its ends, the direction one steps back, its diagonal in elevation."""

    side: str
    ends: tuple[Vec, Vec]
    out: Vec
    diagonal_mm: float


def faces(scene: Scene, piece: Piece) -> list[_Face]:
    """Return the faces one looks at: those named, else the front of what hangs on a wall."""
    asked = piece.sides or (("front",) if piece.wall is not None else ())
    corner = corners(scene.floor, piece)
    _, right, back = centre_and_axes(scene.floor, piece)
    rows = {
        "front": ((corner[0], corner[1]), (-back[0], -back[1]), piece.width_mm),
        "right": ((corner[1], corner[2]), right, piece.depth_mm),
        "back": ((corner[2], corner[3]), back, piece.width_mm),
        "left": ((corner[3], corner[0]), (-right[0], -right[1]), piece.depth_mm),
    }
    return [
        _Face(side, rows[side][0], rows[side][1], hypot(rows[side][2], piece.height_mm))
        for side in asked
    ]


def viewing(scene: Scene) -> tuple[Viewing, ...]:
    """Return for each face how far one may step back, and how far one should."""
    percent = scene.rules.value("view_percent")
    rows = []
    for piece in scene.floor.pieces:
        for face in faces(scene, piece) if piece.id in scene.bodies else ():
            wanted = piece.view_mm
            if wanted is None:
                wanted = round(face.diagonal_mm * percent / 100)
            rows.append(Viewing(piece.id, face.side, wanted, _step_back(scene, piece, face)))
    return tuple(rows)


def _step_back(scene: Scene, piece: Piece, face: _Face) -> int | None:
    import shapely

    (a, b), out = face.ends, face.out
    far = [(x + out[0] * LOOK_MM, y + out[1] * LOOK_MM) for x, y in (b, a)]
    box = shapely.Polygon([a, b, *far])
    eye = scene.rules.value("eye_mm")
    hiding = [
        scene.bodies[other.id]
        for other in scene.floor.pieces
        if other.id in scene.bodies and other.id != piece.id and other.top_mm >= eye
    ]
    taken = box.difference(scene.room).union(box.intersection(shapely.union_all(hiding)))
    parts = [part for part in shapely.get_parts(taken) if part.area > 1]
    if not parts:
        return None
    base = a[0] * out[0] + a[1] * out[1]
    return max(0, int(min((shapely.get_coordinates(p) @ out - base).min() for p in parts) + 0.001))


def check_viewing(scene: Scene, rows: Iterable[Viewing]) -> Iterable[Finding]:
    for row in rows:
        if row.there_mm is not None and row.there_mm < row.wanted_mm:
            piece = scene.floor.piece(row.id)
            own = piece.view_mm is not None
            yield Finding(
                "viewing",
                (row.id,),
                spot(centre_and_axes(scene.floor, piece)[0]),
                row.there_mm,
                row.wanted_mm,
                f"One may step back {row.there_mm} mm from the {row.side} of {row.id}; "
                f"{row.wanted_mm} mm are wanted.",
                "Move it or what stands opposite.",
                "the project's own distance" if own else scene.rules.cite("view_percent"),
            )


def check_standing(scene: Scene) -> Iterable[Finding]:
    """Yield pieces that stand outside the room or in each other."""
    pieces = [piece for piece in scene.floor.pieces if piece.id in scene.bodies]
    room = scene.room.buffer(0.01)
    for piece in pieces:
        if not room.covers(scene.bodies[piece.id]):
            yield Finding(
                "outside",
                (piece.id,),
                spot(middle(scene.bodies[piece.id])),
                None,
                None,
                f"{piece.id} reaches beyond the room.",
                "Move it inside.",
                "geometry",
            )
    for one, two in combinations(pieces, 2):
        same_height = one.bottom_mm < two.top_mm and two.bottom_mm < one.top_mm
        if same_height and scene.bodies[one.id].intersects(scene.bodies[two.id]):
            shared = scene.bodies[one.id].intersection(scene.bodies[two.id])
            if shared.area > 1:
                yield Finding(
                    "overlap",
                    (one.id, two.id),
                    spot(middle(shared)),
                    None,
                    None,
                    f"{one.id} and {two.id} stand in each other.",
                    "Move one of them.",
                    "geometry",
                )
