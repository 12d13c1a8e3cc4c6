"""Verify 180° turns: which the way takes, how wide they are, and the findings on them.

The way is cut, leg by leg, at the boxes beside and beyond the end of every narrow element.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot

from layouts.floor import plain
from layouts.floor.facts import Facts, Fault, told
from layouts.floor.plain import Solid, Vec
from layouts.floor.report import FloorReport, Turn

REACH_MM, FAR_MM, TRAVEL_MM = 1525, 3000, 100
HAIR_MM = 0.05
# What stands at the edge of an element may be counted or not.
EDGES_MM = (0.05, 2.0)
Interval = tuple[float, float]
Stretch = tuple[float, float, float]


@dataclass(frozen=True)
class _End:
    """An end of something one may walk round: `out` leads away from it, `across` square to it."""

    name: str
    at: Vec
    out: Vec
    across: Vec
    half: float
    long: float

    def local(self, point: Vec) -> Vec:
        x, y = point[0] - self.at[0], point[1] - self.at[1]
        return (
            x * self.out[0] + y * self.out[1],
            x * self.across[0] + y * self.across[1],
        )


def half_turns(facts: Facts, report: FloorReport) -> Iterator[Fault]:
    """Yield turns that are missing, made up, or measured wrongly."""
    most = facts.rules.get("turn_element_mm")
    points = report.route.points if report.route else ()
    true: list[tuple[_End, int]] = []
    if most is not None and len(points) > 1:
        for end in _ends(facts):
            if 2 * end.half < most:
                true += [(end, side) for side in _sides(end, points)]
    made_up = set(report.turns)
    for end, side in true:
        widths = _true_widths(facts, end, side)
        rows = [row for row in report.turns if _at(row, end)]
        right = [row for row in rows if not list(_wrong(row, widths))]
        made_up -= set(right)
        if not rows:
            yield Fault("turn", (end.name,), f"The turn round {end.name} is not told.")
        elif not right:
            for words in _wrong(rows[0], widths):
                yield Fault("turn", (end.name,), f"The turn round {end.name} {words}.")
    for row in sorted(made_up, key=str):
        yield Fault("turn", (row.element,), f"The way takes no such turn round {row.element}.")
    bad = {(row.element,) for row in report.turns if not _kept(facts, row)}
    for things in bad ^ told(report, "turn"):
        yield Fault("turn", things, f"The finding on the turn round {things[0]} is wrong.")


def _at(row: Turn, end: _End) -> bool:
    near = hypot(row.at[0] - end.at[0], row.at[1] - end.at[1]) < 2
    return row.element == end.name and near and abs(row.element_mm - 2 * end.half) <= 1


def _kept(facts: Facts, row: Turn) -> bool:
    rules = facts.rules
    beside = min((w for w in (row.approach_mm, row.leaving_mm) if w is not None), default=FAR_MM)
    end = FAR_MM if row.end_mm is None else row.end_mm
    narrow = beside >= rules.value("turn_approach_mm") and end >= rules.value("turn_end_mm")
    wide = beside >= rules.value("route_mm") and end >= rules.value("turn_end_wide_mm")
    return narrow or wide


def _ends(facts: Facts) -> Iterator[_End]:
    for piece in facts.floor.pieces:
        if piece.id not in facts.solids:
            continue
        frame = facts.frame(piece)
        sizes = (piece.width_mm / 2, piece.depth_mm / 2)
        for axis, half, other in ((frame.right, *sizes), (frame.back, sizes[1], sizes[0])):
            for sign in (1, -1):
                out = (axis[0] * sign, axis[1] * sign)
                at = (frame.centre[0] + out[0] * half, frame.centre[1] + out[1] * half)
                yield _End(piece.id, at, out, (-out[1], out[0]), other, 2 * half)
    count = len(facts.floor.outline)
    for n in range(1, count + 1):
        (a, b), before = facts.floor.ends_of(n), facts.floor.ends_of((n - 2) % count + 1)
        after = facts.floor.ends_of(n % count + 1)
        # Two corners that turn out of the room, one after the other, make an end.
        if _bend(*before, b) > 0 and _bend(a, b, after[1]) > 0:
            long = hypot(b[0] - a[0], b[1] - a[1])
            out = ((b[1] - a[1]) / long, -(b[0] - a[0]) / long)
            middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
            deep = min(hypot(q[0] - p[0], q[1] - p[1]) for p, q in (before, after))
            yield _End(f"wall {n}", middle, out, (-out[1], out[0]), long / 2, deep)


def _bend(a: Vec, b: Vec, c: Vec) -> float:
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])


def _sides(end: _End, points: Sequence[Vec]) -> Iterator[int]:
    """Yield for each turn round an end the side from which the way comes."""
    local = [end.local(point) for point in points]
    beyond = _stretches(local, (0, REACH_MM), (-end.half, end.half))
    if not beyond:
        return
    near, far = end.half, end.half + REACH_MM
    beside = {
        1: _stretches(local, (-end.long, 0), (near, far)),
        -1: _stretches(local, (-end.long, 0), (-far, -near)),
    }
    for start, stop, _ in beyond:
        for side in (1, -1):
            come = [row for row in beside[side] if row[1] <= start + 1]
            go = [row for row in beside[-side] if row[0] >= stop - 1]
            if not come or not go or max(start - come[-1][1], go[0][0] - stop) > 2 * REACH_MM:
                continue
            if come[-1][2] > TRAVEL_MM and go[0][2] < -TRAVEL_MM:
                yield side


def _stretches(points: Sequence[Vec], first: Interval, second: Interval) -> list[Stretch]:
    """Return where a way runs in a box: from, to along the way, and how far it rises there."""
    found: list[Stretch] = []
    far = 0.0
    for a, b in pairwise(points):
        long = hypot(b[0] - a[0], b[1] - a[1])
        low, high = 0.0, 1.0
        for k, (least, most) in enumerate((first, second)):
            low, high = _cut(a[k], b[k], least, most, low, high)
        if high > low and long:
            start, stop, rise = far + low * long, far + high * long, (b[0] - a[0]) * (high - low)
            if found and start < found[-1][1] + 0.01:
                start, rise = found[-1][0], found[-1][2] + rise
                found.pop()
            found.append((start, stop, rise))
        far += long
    return found


def _cut(
    a: float, b: float, least: float, most: float, low: float, high: float
) -> tuple[float, float]:
    """Narrow the share of a leg that lies between two values."""
    if a == b:
        return (low, high) if least <= a <= most else (1.0, 0.0)
    one, two = sorted(((least - a) / (b - a), (most - a) / (b - a)))
    return max(low, one), min(high, two)


def _true_widths(facts: Facts, end: _End, side: int) -> dict[str, tuple[float, float]]:
    """Return the least and the most that each width may be told, by the element's edges."""
    beside = min(end.long, REACH_MM)
    return {
        "approach_mm": _both(facts, end, (-beside, 0), side),
        "end_mm": _both(facts, end, (-end.half, end.half), 0),
        "leaving_mm": _both(facts, end, (-beside, 0), -side),
    }


def _both(facts: Facts, end: _End, span: Interval, side: int) -> tuple[float, float]:
    least, most = (_clear(facts, end, (span[0] + by, span[1] - by), side) for by in EDGES_MM)
    return least, most


def _wrong(row: Turn, widths: dict[str, tuple[float, float]]) -> Iterator[str]:
    for name, (least, most) in widths.items():
        said = FAR_MM if (mm := getattr(row, name)) is None else mm
        if not least - 2 <= said <= most + 2:
            yield f"has {least:.0f} mm ({name.removesuffix('_mm')}), not {said} mm"


def _clear(facts: Facts, end: _End, span: Interval, side: int) -> float:
    """Return how far it is clear beside an element, or beyond its end where `side` is 0."""
    if side:
        axis, along = (end.across[0] * side, end.across[1] * side), end.out
        start = end.half
    else:
        axis, along, start = end.out, end.across, 0.0
    low, high = span
    base = end.at[0] * axis[0] + end.at[1] * axis[1]
    middle = end.at[0] * along[0] + end.at[1] * along[1]
    for share in (0.02, 0.25, 0.5, 0.75, 0.98):
        at, up = low + (high - low) * share, start + 2 * HAIR_MM
        point = (
            end.at[0] + along[0] * at + axis[0] * up,
            end.at[1] + along[1] * at + axis[1] * up,
        )
        if not plain.holds(facts.floor.outline, point):
            return 0.0
    nearest = float(FAR_MM)
    for solid in facts.all:
        if solid.name != end.name:
            far = _first(solid, (axis, base + start), (along, middle + low, middle + high))
            nearest = min(nearest, far)
    return nearest


def _first(solid: Solid, ahead: tuple[Vec, float], within: tuple[Vec, float, float]) -> float:
    """Return how far ahead a thing first stands within a span; FAR_MM where it does not."""
    (axis, base), (along, low, high) = ahead, within
    if solid.radius:
        (x, y), radius = solid.points[0], solid.radius
        at, far = x * along[0] + y * along[1], x * axis[0] + y * axis[1] - base
        aside = max(low - at, at - high, 0.0)
        reach = (radius**2 - aside**2) ** 0.5 if aside < radius else 0.0
        return max(0.0, far - reach) if reach and far + reach > HAIR_MM else float(FAR_MM)
    points: Sequence[Vec] = solid.points
    for way, least in (
        (along, low),
        ((-along[0], -along[1]), -high),
        (axis, base + HAIR_MM),
    ):
        points = plain.clipped(points, way, least)
        if len(points) < 2:
            return float(FAR_MM)
    far = min(x * axis[0] + y * axis[1] for x, y in points) - base
    return 0.0 if far <= 2 * HAIR_MM else far
