"""Where a route must come: in at the entrance, to every section in order, out at the exit."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from layouts.floor.problem import Door, Section
from layouts.floor.scene import Scene, Shape, Vec, door_line


@dataclass(frozen=True)
class Target:
    """A stop of the route as a region to be entered by the centre of a disc."""

    id: str
    kind: str
    region: Shape
    middle: Vec
    before: tuple[Vec, ...] = ()


def targets(scene: Scene, width_mm: float) -> list[Target]:
    """Return all stops in order, for a disc of a width."""
    doors = scene.floor.doors
    ins = [door for door in doors if door.role in ("entrance", "both")]
    outs = [door for door in doors if door.role in ("exit", "both")]
    first = [_door(scene, ins[0], "entrance", width_mm)] if ins else []
    last = [_door(scene, outs[0], "exit", width_mm)] if outs else []
    return first + [_section(scene, s, width_mm) for s in scene.floor.sections] + last


def _door(scene: Scene, door: Door, kind: str, width_mm: float) -> Target:
    """Return where a disc stands that touches the door's line from inside."""
    import shapely

    left, right, inward = door_line(scene.floor, door)
    middle = ((left[0] + right[0]) / 2, (left[1] + right[1]) / 2)
    out = width_mm / 2
    line = [(x + inward[0] * out, y + inward[1] * out) for x, y in (left, right)]
    standing = (middle[0] + inward[0] * out, middle[1] + inward[1] * out)
    region = shapely.LineString(line).buffer(1.0, cap_style="flat")
    return Target(door.id, kind, region, standing, (middle,))


def _section(scene: Scene, section: Section, width_mm: float) -> Target:
    import shapely

    if section.area:
        region = shapely.Polygon(section.area)
    else:
        reach = scene.rules.value("approach_mm") + width_mm / 2
        near = [body.buffer(reach, quad_segs=8) for body in _pieces_of(scene, section.id)]
        region = shapely.union_all(near)
    middle = region.centroid
    return Target(section.id, "section", region, (middle.x, middle.y))


def _pieces_of(scene: Scene, section: str) -> list[Shape]:
    keys = [piece.id for piece in scene.floor.pieces if piece.section == section]
    return [scene.bodies[key] for key in keys if key in scene.bodies]


def places(target: Target, walkable: Shape) -> Vec | None:
    """Return where the route stops: the walkable point of the region nearest to its middle."""
    import shapely

    meet = walkable.intersection(target.region)
    if meet.is_empty:
        return None
    nearest = shapely.shortest_line(meet, shapely.Point(target.middle)).coords[0]
    return float(nearest[0]), float(nearest[1])


def far(a: Vec, b: Vec) -> float:
    return hypot(b[0] - a[0], b[1] - a[1])
