"""Verify on a raster what a report says of the room: ways, turning and passing places, dead ends.

What lies within the raster's error of a limit passes; what lies beyond it is a fault.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import hypot
from typing import Any

from layouts.floor import plain
from layouts.floor.facts import Facts, Fault, told
from layouts.floor.plain import Solid, Vec
from layouts.floor.problem import Door
from layouts.floor.raster import NEAR, Raster, parts, raster_of
from layouts.floor.report import DeadEnd, FloorReport, Route

NARROWEST_MM, WIDEST_MM = 100, 2400


def space(facts: Facts, report: FloorReport) -> Iterator[Fault]:
    """Yield everything that a report says wrongly about room to go, to turn and to pass."""
    raster = raster_of(facts)
    if report.route:
        yield from _widest(facts, raster, report.route)
        yield from _passing(facts, raster, report)
    yield from _turning(facts, raster, report)
    yield from _dead_ends(facts, raster, report)
    yield from _areas(facts, raster, report)


def _areas(facts: Facts, raster: Raster, report: FloorReport) -> Iterator[Fault]:
    """Yield floors that a disc of a width may touch and whose area is told wrongly.

    The most and the least that it may be differ by the raster's error along every edge.
    """
    hair = NEAR * raster.step_mm
    most = _reached(facts, raster, report, -2 * hair)
    least = _reached(facts, raster, report, 2 * hair)
    cell = raster.step_mm**2
    # Beyond the last row and the last column less than a step of floor has no points.
    rim = sum(raster.clear.shape) * cell
    for row in report.clearances:
        half, wide = row.width_mm / 2, row.width_mm >= facts.route_mm
        rooms = raster.clear >= half - hair, raster.clear >= half + hair
        for told_mm2, much, little in (
            (row.area_mm2, *rooms),
            (
                row.reached_mm2,
                most & rooms[0] if wide else most,
                least & rooms[1] if wide else least,
            ),
        ):
            high = raster.grown(much, half + 2 * hair).sum() * cell + rim
            low = raster.grown(little, max(0.0, half - 2 * hair)).sum() * cell
            if not low <= told_mm2 <= high:
                words = (
                    f"A disc of {row.width_mm} mm may touch {low / 1e6:.1f} to {high / 1e6:.1f} m²"
                )
                yield Fault("clearance", (), f"{words}, not {told_mm2 / 1e6:.1f}.")


def _widest(facts: Facts, raster: Raster, route: Route) -> Iterator[Fault]:
    error = 2 * NEAR * raster.step_mm
    most = route.widest_mm
    if not most or route.widest_is_exact:
        more = max(most, NARROWEST_MM) + 2
        if more + error < WIDEST_MM and _connected(facts, raster, more, error):
            yield Fault("widest", (), f"A way of {more} mm is there; {most} mm are told.")
    if most > error + 2 and not _connected(facts, raster, most - 2, -error):
        yield Fault("widest", (), f"No way of {most} mm is there.")


def _connected(facts: Facts, raster: Raster, width: float, error: float) -> bool:
    """Return whether raster points wide enough lead from stop to stop; `error` makes it strict."""
    slack = 2 * raster.step_mm if error < 0 else 0.0
    goals = [_at_door(facts, raster, door, width, slack) for door in _ends(facts)]
    reach = facts.rules.value("approach_mm") + width / 2 + slack
    for section in facts.floor.sections:
        if section.area:
            goals.append(raster.near(Solid(section.id, section.area), slack))
            continue
        solids = [
            plain.solid_of(facts.floor, piece)
            for piece in facts.floor.pieces
            if piece.section == section.id
        ]
        if not solids:
            return False
        goal = raster.near(solids[0], reach)
        for solid in solids[1:]:
            goal |= raster.near(solid, reach)
        goals.append(goal)
    wide = raster.clear >= (width + error) / 2
    return any(all((part & goal).any() for goal in goals) for part in parts(wide))


def _ends(facts: Facts) -> Iterator[Door]:
    for kind in ("entrance", "exit"):
        yield from [d for d in facts.floor.doors if d.role in (kind, "both")][:1]


def _at_door(facts: Facts, raster: Raster, door: Door, width: float, slack: float) -> Any:
    """Return the points before a door from which a disc comes straight to its line."""
    left, right, (ix, iy) = facts.jambs(door)
    deep = width / 2 + 3 * raster.step_mm
    corners = (left, right, (right[0] + ix * deep, right[1] + iy * deep),
               (left[0] + ix * deep, left[1] + iy * deep))  # fmt: skip
    return raster.near(Solid(door.id, corners), slack)


def _turning(facts: Facts, raster: Raster, report: FloorReport) -> Iterator[Fault]:
    wanted = facts.rules.value("turning_mm")
    for place in report.turning_places:
        off = min(plain.to_point(solid, place) for solid in facts.all)
        if off < wanted / 2 - 2 or not plain.holds(facts.floor.outline, place):
            yield Fault("turning", (), f"There is no turning circle at {place}: {off:.0f} mm.")
    none = bool(told(report, "turning"))
    reached = _reached(facts, raster, report, raster.step_mm)
    if none and report.turning_places:
        yield Fault("turning", (), "Turning places are told, and that there are none.")
    if none and (reached & (raster.clear >= wanted / 2 + 1)).any():
        yield Fault("turning", (), "There is room to turn, and the report says there is none.")
    if not none and not report.turning_places and not _tee(facts, raster):
        yield Fault("turning", (), "No turning place is told, and no finding says so.")


def _tee(facts: Facts, raster: Raster) -> bool:
    """Return whether a T may stand somewhere, its edges drawn in by the raster's error."""
    import numpy as np

    square, arm = facts.rules.get("tee_mm"), facts.rules.get("tee_arm_mm")
    if square is None or arm is None:
        return False
    taken = (raster.clear <= 0).astype(np.int32)
    size, bar = (int(length / raster.step_mm) - 2 for length in (square, arm))
    if min(size, bar) < 1 or min(taken.shape) < size:
        return False
    side = (size - bar) // 2
    for turned in range(4):
        grid = np.pad(np.rot90(taken, turned), ((1, 0), (1, 0))).cumsum(axis=0).cumsum(axis=1)
        across = _boxes(grid, bar, size)[: grid.shape[0] - size]
        stem = _boxes(grid, size, bar)[:, side : side + across.shape[1]]
        if ((across == 0) & (stem == 0)).any():
            return True
    return False


def _boxes(total: Any, rows: int, columns: int) -> Any:
    """Return how many points are taken in each box of a size, by its first row and column."""
    return (
        total[rows:, columns:]
        - total[:-rows, columns:]
        - total[rows:, :-columns]
        + total[:-rows, :-columns]
    )


def _reached(facts: Facts, raster: Raster, report: FloorReport, hair: float) -> Any:
    """Return the points where a disc of the route's width may be, as far as the way comes."""
    import numpy as np

    wide = raster.clear >= (facts.route_mm + hair) / 2
    found = np.zeros_like(wide)
    points = report.route.points if report.route else ()
    if len(points) < 2:
        return wide
    on_way = [raster.at(point) for point in _along(points, raster.step_mm)]
    for part in parts(wide):
        if any(part[place] for place in on_way):
            found |= part
    return found


def _along(points: Sequence[Vec], step: float) -> Iterator[Vec]:
    for (ax, ay), (bx, by) in pairwise(points):
        count = max(1, int(hypot(bx - ax, by - ay) / step))
        for n in range(count):
            yield ax + (bx - ax) * n / count, ay + (by - ay) * n / count
    yield points[-1]


def _dead_ends(facts: Facts, raster: Raster, report: FloorReport) -> Iterator[Fault]:
    found = sorted(f.measured or 0 for f in report.findings if f.rule == "dead_end")
    if found != sorted(row.depth_mm for row in report.dead_ends):
        yield Fault("dead_end", (), "The findings on dead ends are not the dead ends told.")
    width, turning = facts.route_mm, facts.rules.value("turning_mm")
    spread = (turning - width) / 2
    step = raster.step_mm
    if spread <= 0:
        return
    roomy = raster.grown(raster.clear >= turning / 2 - NEAR * step, spread + step)
    strict = raster.grown(raster.clear >= turning / 2, spread)
    for row in report.dead_ends:
        yield from _made_up(facts, raster, row, (roomy, strict))
    if not strict.any():
        return
    most = facts.rules.value("dead_end_mm") + 3 * step
    on_way = {raster.at(point) for point in _along(_points(report), step)}
    reached = _reached(facts, raster, report, 0)
    hair = 2 * NEAR * step
    least = raster.grown(raster.clear >= turning / 2, spread + hair)
    wider = parts(_reached(facts, raster, report, -hair) & ~least)
    for part in parts(reached & ~roomy):
        deep = part & ~raster.grown(roomy, most)
        if not deep.any() or any(part[at] for at in on_way):
            continue
        # Where turning room is drawn in by the raster's error, ways on may come to light.
        around = [other for other in wider if (other & deep).any()]
        ways = max(
            _ways(facts, raster, part, roomy, width),
            *(_ways(facts, raster, other, least, width) for other in around),
        )
        near = raster.grown(part, 2 * step)
        if ways < 2 and not any(near[raster.at(row.at)] for row in report.dead_ends):
            yield Fault("dead_end", (), "A way that ends is not told.")


def _ways(facts: Facts, raster: Raster, part: Any, roomy: Any, width: float) -> int:
    """Count where one gets from a part of the floor to room to turn, or out by a door."""
    near = raster.grown(part, 2 * raster.step_mm)
    doors = (_at_door(facts, raster, door, width, 0) for door in facts.floor.doors)
    return len(parts(near & roomy)) + sum(bool((near & door).any()) for door in doors)


def _points(report: FloorReport) -> Sequence[Vec]:
    points = report.route.points if report.route else ()
    return points if len(points) > 1 else ((-1e9, -1e9), (-1e9, -1e9))


def _made_up(facts: Facts, raster: Raster, row: DeadEnd, rooms: tuple[Any, Any]) -> Iterator[Fault]:
    """Yield what is wrong with a dead end; `rooms` are the most and the least room to turn."""
    off = min(plain.to_point(solid, row.at) for solid in facts.all)
    if not plain.holds(facts.floor.outline, row.at) or off < facts.route_mm / 2 - 3:
        yield Fault("dead_end", (), f"At {row.at} no disc of the route's width can be.")
    least, most = (raster.distance(room, row.at) for room in rooms)
    error = 2 * raster.step_mm
    if not least - error <= row.depth_mm <= most + error:
        words = f"The way ends {most:.0f} mm beyond the last place to turn, not {row.depth_mm} mm."
        yield Fault("dead_end", (), words)
    if row.depth_mm <= facts.rules.value("dead_end_mm"):
        yield Fault("dead_end", (), f"{row.depth_mm} mm are no dead end.")


def _passing(facts: Facts, raster: Raster, report: FloorReport) -> Iterator[Fault]:
    width, every = facts.rules.get("passing_mm"), facts.rules.get("passing_every_mm")
    points = report.route.points if report.route else ()
    if width is None or every is None or len(points) < 2:
        return
    said = bool(told(report, "passing"))
    whole = sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points))
    if whole <= every:
        if said:
            yield Fault("passing", (), "The way is too short to need passing places.")
        return
    way = list(_along(points, raster.step_mm))
    hair = NEAR * raster.step_mm
    least = _longest_off(raster, way, raster.grown(raster.clear >= width / 2 - hair, width / 2))
    most = _longest_off(raster, way, raster.grown(raster.clear >= width / 2, width / 2))
    error = 20 * raster.step_mm
    if (least > every + error and not said) or (most < every - error and said):
        words = f"For {least / 1000:.1f} to {most / 1000:.1f} m one cannot pass"
        yield Fault("passing", (), f"{words}; the report errs on it.")


def _longest_off(raster: Raster, way: Sequence[Vec], covered: Any) -> float:
    """Return the longest stretch of a way whose points are not covered."""
    longest = here = 0.0
    for a, b in pairwise(way):
        here = 0.0 if covered[raster.at(b)] else here + hypot(b[0] - a[0], b[1] - a[1])
        longest = max(longest, here)
    return longest
