"""Where a route must come: in at the entrance, to every section in order, out at the exit."""

from __future__ import annotations

from dataclasses import dataclass

from layouts.floor.problem import Door, Section
from layouts.floor.scene import Scene, Shape, Vec, door_line


@dataclass(frozen=True)
class Target:
    """A stop of the route: the centre of a disc must come within `reach_mm` of a shape."""

    id: str
    kind: str
    shape: Shape
    reach_mm: float
    middle: Vec
    before: tuple[Vec, ...] = ()

    def met_by(self, part: Shape) -> bool:
        import shapely

        return bool(shapely.dwithin(part, self.shape, self.reach_mm))


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
    return Target(door.id, kind, shapely.LineString(line), 1.0, standing, (middle,))


def _section(scene: Scene, section: Section, width_mm: float) -> Target:
    shape = scene.sections[section.id]
    reach = 0.0 if section.area else scene.rules.value("approach_mm") + width_mm / 2
    middle = (0.0, 0.0) if shape.is_empty else (shape.centroid.x, shape.centroid.y)
    return Target(section.id, "section", shape, reach, middle)


def places(target: Target, walkable: Shape) -> Vec | None:
    """Return where the route stops: the walkable point of the region nearest to its middle."""
    import shapely

    region = target.shape.buffer(target.reach_mm) if target.reach_mm else target.shape
    meet = walkable.intersection(region)
    if meet.is_empty:
        return None
    nearest = shapely.shortest_line(meet, shapely.Point(target.middle)).coords[0]
    return float(nearest[0]), float(nearest[1])
