"""Room to turn: 180° turns round an element, turning and passing places, ways without return."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import hypot
from typing import Any

from layouts.floor.paths import Run, length_mm, runs_inside
from layouts.floor.report import DeadEnd, Turn, spot
from layouts.floor.scene import Scene, Shape, Vec, centre_and_axes, door_line, eroded, wall_frame

LOOK_MM = 3000
BESIDE_MM = 1525
TRAVEL_MM = 100


@dataclass(frozen=True)
class _Element:
    """Something one may walk round the end of; `u` leads to that end, `v` across."""

    name: str
    end: Vec
    u: Vec
    v: Vec
    half_mm: float
    long_mm: float
    body: Shape | None

    def box(self, u: tuple[float, float], v: tuple[float, float]) -> Shape:
        """Return a box by how far beyond the end and how far across the middle it reaches."""
        import shapely

        return shapely.Polygon(
            [
                (
                    self.end[0] + self.u[0] * a + self.v[0] * b,
                    self.end[1] + self.u[1] * a + self.v[1] * b,
                )
                for a, b in ((u[0], v[0]), (u[1], v[0]), (u[1], v[1]), (u[0], v[1]))
            ]
        )

    def beside(self, side: int) -> Shape:
        near, far = self.half_mm, self.half_mm + BESIDE_MM
        return self.box((-self.long_mm, 0), (near, far) if side > 0 else (-far, -near))

    def beyond(self) -> Shape:
        return self.box((0, BESIDE_MM), (-self.half_mm, self.half_mm))


def half_turns(scene: Scene, points: Sequence[Vec]) -> list[Turn]:
    """Return every 180° turn of a way round an element narrower than the rule set's limit."""
    import shapely

    most = scene.rules.get("turn_element_mm")
    if most is None or len(points) < 2:
        return []
    found: list[Turn] = []
    thin = [element for element in _elements(scene) if 2 * element.half_mm < most]
    line = shapely.LineString(points)
    shapely.prepare(line)
    passed = shapely.intersects(line, [element.beyond() for element in thin]) if thin else []
    for element, near in zip(thin, passed, strict=True):
        if near:
            found += _turns_round(scene, element, points)
    return sorted(set(found), key=lambda turn: (turn.element, turn.at, str(turn)))


def turn_is_kept(scene: Scene, turn: Turn) -> bool:
    """Return whether a turn is wide enough in one of the two ways that the rule set gives."""
    rules = scene.rules
    beside = [width for width in (turn.approach_mm, turn.leaving_mm) if width is not None]

    def wide(least: int, end: int) -> bool:
        return all(width >= least for width in beside) and (
            turn.end_mm is None or turn.end_mm >= end
        )

    return wide(rules.value("turn_approach_mm"), rules.value("turn_end_mm")) or wide(
        rules.value("route_mm"), rules.value("turn_end_wide_mm")
    )


def _elements(scene: Scene) -> Iterable[_Element]:
    for piece in scene.floor.pieces:
        if piece.id not in scene.bodies:
            continue
        (cx, cy), right, back = centre_and_axes(scene.floor, piece)
        for axis, half, across in (
            (right, piece.width_mm / 2, piece.depth_mm / 2),
            (back, piece.depth_mm / 2, piece.width_mm / 2),
        ):
            for sign in (1, -1):
                u = (axis[0] * sign, axis[1] * sign)
                end = (cx + u[0] * half, cy + u[1] * half)
                yield _Element(
                    piece.id, end, u, (-u[1], u[0]), across, 2 * half, scene.bodies[piece.id]
                )
    yield from _spurs(scene)


def _spurs(scene: Scene) -> Iterable[_Element]:
    """Yield the ends of walls that stand into the room."""
    floor, count = scene.floor, len(scene.floor.outline)
    for n in range(1, count + 1):
        start, along, inward, long_mm = wall_frame(floor, n)
        _, before, _, before_mm = wall_frame(floor, (n - 2) % count + 1)
        _, after, _, after_mm = wall_frame(floor, n % count + 1)
        if _cross(before, along) > 0 and _cross(along, after) > 0:
            middle = (start[0] + along[0] * long_mm / 2, start[1] + along[1] * long_mm / 2)
            v = (-inward[1], inward[0])
            deep = min(before_mm, after_mm)
            yield _Element(f"wall {n}", middle, inward, v, long_mm / 2, deep, None)


def _cross(a: Vec, b: Vec) -> float:
    return a[0] * b[1] - a[1] * b[0]


def _turns_round(scene: Scene, element: _Element, points: Sequence[Vec]) -> Iterable[Turn]:
    ends = runs_inside(points, element.beyond())
    if not ends:
        return
    sides = {side: runs_inside(points, element.beside(side)) for side in (1, -1)}
    for run in ends:
        for side in (1, -1):
            before = [r for r in sides[side] if r.to_mm <= run.from_mm + 1]
            after = [r for r in sides[-side] if r.from_mm >= run.to_mm - 1]
            if not before or not after:
                continue
            come, go = before[-1], after[0]
            far = max(run.from_mm - come.to_mm, go.from_mm - run.to_mm)
            if far > 2 * BESIDE_MM:
                continue
            if _rise(come, element.u) > TRAVEL_MM and _rise(go, element.u) < -TRAVEL_MM:
                yield _measured(scene, element, side)


def _rise(run: Run, u: Vec) -> float:
    (ax, ay), (bx, by) = run.points[0], run.points[-1]
    return (bx - ax) * u[0] + (by - ay) * u[1]


def _measured(scene: Scene, element: _Element, side: int) -> Turn:
    long_mm = min(element.long_mm, BESIDE_MM)
    near, far = element.half_mm, element.half_mm + LOOK_MM
    spans = {1: (near, far), -1: (-far, -near)}
    widths = {
        s: _clear(scene, element, element.box((-long_mm, 0), spans[s]), element.v, s) for s in spans
    }
    end = _clear(scene, element, element.box((0, LOOK_MM), (-near, near)), element.u, 1)
    return Turn(
        element.name,
        round(2 * element.half_mm),
        widths[side],
        end,
        widths[-side],
        spot(element.end),
    )


def _clear(scene: Scene, element: _Element, box: Shape, axis: Vec, sign: int) -> int | None:
    """Return how far a box is clear from the element on; None when clear throughout."""
    import shapely

    taken = box.difference(scene.free)
    if element.body is not None:
        taken = taken.difference(element.body.buffer(0.01))
    solid = [part for part in shapely.get_parts(taken) if part.area > 1]
    if not solid:
        return None
    base = element.end[0] * axis[0] + element.end[1] * axis[1]
    reach = min(float((shapely.get_coordinates(p) @ axis - base).min()) for p in solid)
    if sign < 0:
        reach = min(float((base - shapely.get_coordinates(p) @ axis).min()) for p in solid)
    offset = element.half_mm if axis == element.v else 0.0
    return max(0, int(reach - offset + 0.001))


def turning_places(scene: Scene, floor_part: Shape) -> list[Vec]:
    """Return one turning place in each stretch of floor that has room for the circle."""
    import shapely

    wide = eroded(scene, scene.rules.value("turning_mm")).intersection(floor_part)
    parts = [part for part in shapely.get_parts(wide) if part.area > 0]
    return sorted((p.x, p.y) for p in (part.representative_point() for part in parts))


def tee_place(scene: Scene, floor_part: Shape) -> Vec | None:
    """Return the middle of a T-shaped turning place square to the plan, if there is one."""
    import shapely

    square, arm = scene.rules.get("tee_mm"), scene.rules.get("tee_arm_mm")
    if square is None or arm is None:
        return None
    a, b = square / 2, arm / 2
    for k in range(4):
        boxes = [_turned(box, k) for box in ((-a, a - arm, a, a), (-b, -a, b, a))]
        taken = [_grown(part.shape, box) for part in scene.parts for box in boxes]
        left = scene.room.difference(shapely.union_all(taken)).intersection(
            floor_part.buffer(square)
        )
        if left.area > 0:
            point = left.representative_point()
            return float(point.x), float(point.y)
    return None


def _turned(box: tuple[float, ...], quarters: int) -> list[Vec]:
    x0, y0, x1, y1 = box
    points = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
    for _ in range(quarters):
        points = [(-y, x) for x, y in points]
    return points


def _grown(shape: Shape, box: Sequence[Vec]) -> Shape:
    """Return where a box's middle may not be if the box is to miss a convex shape."""
    import shapely

    points: Any = shapely.get_coordinates(shape)
    return shapely.convex_hull(
        shapely.MultiPoint([(x - bx, y - by) for x, y in points for bx, by in box])
    ).buffer(-0.05)


def dead_ends(scene: Scene, floor_part: Shape, points: Sequence[Vec] = ()) -> list[DeadEnd]:
    """Return ways in which one can neither turn nor go on, deeper than the limit.

    Where the route itself goes on through a narrowing or a door, a way does not end.
    """
    import shapely

    width, turning = scene.route_mm, scene.rules.value("turning_mm")
    if turning <= width:
        return []
    roomy = eroded(scene, turning).buffer((turning - width) / 2, quad_segs=12)
    if roomy.is_empty:
        return []
    doors = [_doorway(scene, n, width) for n in range(len(scene.floor.doors))]
    found = []
    for part in shapely.get_parts(floor_part.difference(roomy)):
        x0, y0, x1, y1 = part.bounds
        if hypot(x1 - x0, y1 - y0) <= scene.rules.value("dead_end_mm"):
            continue
        deepest, at = _deepest(part, roomy)
        if deepest <= scene.rules.value("dead_end_mm"):
            continue
        ways_on = len(_contacts(part, roomy)) + sum(part.intersects(door) for door in doors)
        ways_on += _goes_on(part, roomy, points)
        if ways_on < 2:
            found.append(DeadEnd(round(deepest), spot(at)))
    return sorted(found, key=lambda end: (end.at, end.depth_mm))


def _doorway(scene: Scene, n: int, width: float) -> Shape:
    import shapely

    left, right, inward = door_line(scene.floor, scene.floor.doors[n])
    out = width / 2 + 1
    return shapely.Polygon(
        [left, right, *((x + inward[0] * out, y + inward[1] * out) for x, y in (right, left))]
    )


def _goes_on(part: Shape, roomy: Shape, points: Sequence[Vec]) -> int:
    """Count where a line leaves a part of the floor other than to where one could turn."""
    import shapely

    if len(points) < 2:
        return 0
    whole = length_mm(points)
    ends = [
        shapely.Point(at)
        for run in runs_inside(points, part)
        for at, far in ((run.points[0], run.from_mm), (run.points[-1], run.to_mm))
        if 1 < far < whole - 1
    ]
    return sum(end.distance(roomy) > 1 for end in ends)


def _contacts(part: Shape, roomy: Shape) -> list[Shape]:
    import shapely

    touch = part.buffer(0.5).intersection(roomy)
    return [piece for piece in shapely.get_parts(touch) if piece.area > 0]


def _deepest(part: Shape, roomy: Shape) -> tuple[float, Vec]:
    import shapely

    points = shapely.points(shapely.get_coordinates(part))
    far = shapely.distance(points, roomy)
    n = int(far.argmax())
    return float(far[n]), (float(points[n].x), float(points[n].y))


def longest_without_passing(scene: Scene, points: Sequence[Vec]) -> float:
    """Return the longest stretch of a way on which two cannot pass each other, in mm."""
    import shapely

    width = scene.rules.get("passing_mm")
    if width is None or len(points) < 2:
        return 0.0
    roomy = eroded(scene, width).buffer(width / 2, quad_segs=12)
    rest = shapely.get_parts(shapely.LineString(points).difference(roomy))
    return max((float(part.length) for part in rest), default=0.0)
