"""Name the narrow places of a room and of a route."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import floor

from layouts.floor.gaps import WIDEST_MM, Gap
from layouts.floor.report import Narrow, Narrowing, Route, spot
from layouts.floor.route import Squeeze
from layouts.floor.scene import Scene, Vec, door_line

MOST = 40
# A slot that nobody takes for a way: common practice, no source.
SLOT_MM = 300


def narrow_places(scene: Scene, gaps: Sequence[Gap], points: Sequence[Vec]) -> tuple[Narrow, ...]:
    """Return what the route crosses, narrowest first, then what else is narrower than a route."""
    crossed = crossed_by(gaps, points)
    rows = [as_narrow(scene, gap, on_route=True) for gap in crossed]
    rest = [
        as_narrow(scene, gap, on_route=False)
        for gap in gaps
        if gap.open and SLOT_MM <= gap.width_mm < scene.route_mm - 0.001 and gap not in crossed
    ]
    return tuple(rows[:MOST] + rest[:MOST])


def crossed_by(gaps: Iterable[Gap], points: Sequence[Vec]) -> list[Gap]:
    """Return the open gaps that a line crosses, narrowest first."""
    import shapely

    open_gaps = [gap for gap in gaps if gap.open]
    if len(points) < 2 or not open_gaps:
        return []
    line = shapely.LineString(points)
    shapely.prepare(line)
    hit = shapely.intersects(line, shapely.linestrings([[g.start, g.end] for g in open_gaps]))
    return [gap for gap, met in zip(open_gaps, hit, strict=True) if met]


def as_narrow(scene: Scene, gap: Gap, *, on_route: bool) -> Narrow:
    """Return a gap as told to people: whole millimetres, rounded down, never kinder than true."""
    return Narrow(
        (_named(scene, gap.owners[0], gap.start), _named(scene, gap.owners[1], gap.end)),
        floor(gap.width_mm + 0.001),
        spot(gap.start),
        spot(gap.end),
        on_route,
    )


def as_narrowing(squeeze: Squeeze) -> Narrowing:
    owners = dict.fromkeys(o for strait in squeeze.straits for o in strait.gap.owners)
    return Narrowing(
        tuple(owners),
        floor(squeeze.clear_mm + 0.001),
        round(squeeze.long_mm),
        round(squeeze.from_mm),
        round(squeeze.to_mm),
        spot(squeeze.at),
    )


def _named(scene: Scene, owner: str, at: Vec) -> str:
    """Name a wall's door where a place lies at one."""
    for door in scene.floor.doors:
        if owner == f"wall {door.wall}":
            (lx, ly), (rx, ry), _ = door_line(scene.floor, door)
            share = (at[0] - lx) * (rx - lx) + (at[1] - ly) * (ry - ly)
            if 0 <= share <= (rx - lx) ** 2 + (ry - ly) ** 2:
                return f"door {door.id}"
    return owner


def widest_words(route: Route) -> str:
    """Say what gets through at most, and between which two things a wider disc would stick."""
    if route.widest_mm == 0:
        return "Nothing gets through."
    if route.widest_mm >= WIDEST_MM:
        return f"A disc of {WIDEST_MM} mm and more gets through."
    words = f"The widest disc that gets through is {route.widest_mm} mm"
    if route.narrowest:
        words += f"; a wider one sticks between {' and '.join(route.narrowest.things)}"
    return words + "."
