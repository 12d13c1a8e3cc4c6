"""Find a route from the entrance through the sections to the exit, and where it is narrow.

First for the full width; where none exists and the rule set permits short narrowings, for the width
of these, shutting narrow places that are too long or too near each other and looking again.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import sqrt

from layouts.floor.gaps import Gap, Strait, along, straits
from layouts.floor.passing import common_part, walkable
from layouts.floor.paths import Edge, Mesh, Run, length_mm, mesh_of, runs_inside, way
from layouts.floor.scene import Scene, Shape, Vec
from layouts.floor.stops import Target, places, targets

MOST_TRIES = 400
NARROW_COST_MM = 100_000.0


@dataclass(frozen=True)
class Way:
    """A line through the room with its stops; each stop with how far the line came."""

    points: tuple[Vec, ...]
    stops: tuple[tuple[Target, Vec, float], ...]

    @property
    def walked(self) -> tuple[Vec, ...]:
        """Return the way without its first and last steps through the doors themselves."""
        first = 1 if self.stops[0][0].kind == "entrance" else 0
        last = -1 if self.stops[-1][0].kind == "exit" else None
        return self.points[first:last]


@dataclass(frozen=True)
class Squeeze:
    """A stretch of a way narrower than the route; several straits if they follow each other."""

    straits: tuple[Strait, ...]
    clear_mm: float
    long_mm: float
    from_mm: float
    to_mm: float
    at: Vec


@dataclass(frozen=True)
class Try:
    """A way with its narrow stretches, and the sentences that say which are not permitted.

    `more` says that ways were left that nobody looked at.
    """

    way: Way
    squeezes: tuple[Squeeze, ...]
    bad: tuple[tuple[str, tuple[Squeeze, ...]], ...]
    more: bool = False


def full_way(scene: Scene, gaps: Sequence[Gap], width_mm: float) -> Way | None:
    """Return a way on which a disc of a width passes everywhere."""
    return _way(scene, walkable(scene, gaps, width_mm), width_mm, [])


def narrow_way(scene: Scene, gaps: Sequence[Gap]) -> Try | None:
    """Return a way whose narrow stretches are all permitted, else the best that was seen.

    Where a narrow stretch is too long it is shut, where two stand too near each other each of them
    in turn, and the next way is sought, until none is left. No choice is looked at twice, and at
    most MOST_TRIES in all.
    """
    short = scene.short_mm
    if short is None:
        return None
    bands = straits(scene, gaps, scene.route_mm)
    full = walkable(scene, gaps, scene.route_mm)
    pending: list[tuple[Shape, ...]] = [()]
    seen: set[frozenset[bytes]] = set()
    best: Try | None = None
    while pending and len(seen) < MOST_TRIES:
        shut = pending.pop(0)
        key = frozenset(shape.wkb for shape in shut)
        if key in seen:
            continue
        seen.add(key)
        shape = _mixed(scene, gaps, bands, shut, full)
        found = _way(scene, shape, scene.route_mm, _lines(scene, gaps), full)
        if found is None:
            continue
        tried = judged(scene, found, bands)
        if loose := _loose(scene, tried, shape.difference(full.buffer(0.5))):
            pending.append((*shut, *loose))
            continue
        if not tried.bad:
            return tried
        best = tried if best is None or len(tried.bad) < len(best.bad) else best
        for squeeze in tried.bad[0][1]:
            pending.append((*shut, *(s.area.buffer(0.1) for s in squeeze.straits)))
    return replace(best, more=bool(pending)) if best else None


def _loose(scene: Scene, tried: Try, tight: Shape) -> list[Shape]:
    """Return where a way keeps less than its full width though no narrowing asks for it."""
    import shapely

    half = scene.route_mm / 2
    return [
        shapely.LineString(run.points).buffer(100.0)
        for run in runs_inside(tried.way.points, tight)
        if run.to_mm - run.from_mm > 1.0
        and not any(
            row.from_mm - half <= run.from_mm and run.to_mm <= row.to_mm + half
            for row in tried.squeezes
        )
    ]


def _mixed(
    scene: Scene,
    gaps: Sequence[Gap],
    bands: Sequence[Strait],
    shut: Sequence[Shape],
    full: Shape,
) -> Shape:
    """Return where a disc of the route's width may be, and at narrowings one that fits these."""
    import shapely

    short = scene.short_mm or scene.route_mm
    half = scene.route_mm / 2
    near = [
        band.area.buffer(_mouth_mm(band.gap.width_mm, half))
        for band in bands
        if band.gap.width_mm > short - 0.001
    ]
    at_narrow = walkable(scene, gaps, short).intersection(shapely.union_all(near))
    whole = shapely.union_all([full, at_narrow])
    return whole.difference(shapely.union_all(list(shut))) if shut else whole


def _mouth_mm(gap_mm: float, half_mm: float) -> float:
    """Return how far before a gap a full disc along one side touches the other's corner."""
    return sqrt(max(0.0, half_mm**2 - (gap_mm - half_mm) ** 2)) + 5.0


def _lines(scene: Scene, gaps: Sequence[Gap]) -> list[Shape]:
    return [gap.line for gap in gaps if gap.open and gap.width_mm < scene.route_mm - 0.001]


def _way(
    scene: Scene,
    shape: Shape,
    width_mm: float,
    narrow: list[Shape],
    standing: Shape | None = None,
) -> Way | None:
    """Return a way through a shape from stop to stop; one stops only where one may stand."""
    stops = targets(scene, width_mm)
    part = common_part(shape, stops)
    if part is None or len(stops) < 2:
        return None
    stand = part if standing is None else part.intersection(standing)
    mesh = mesh_of(part, _cost_of(narrow) if narrow else None)
    points: list[Vec] = []
    reached: list[tuple[Target, Vec, float]] = []
    for stop in stops:
        at = places(stop, stand)
        leg = _leg(mesh, points, at)
        if at is None or leg is None:
            return None
        points += leg if stop.kind != "entrance" else [*stop.before, *leg]
        if stop.kind == "exit":
            points += stop.before
        reached.append((stop, at, length_mm(points)))
    return Way(tuple(points), tuple(reached))


def _leg(mesh: Mesh, points: list[Vec], at: Vec | None) -> list[Vec] | None:
    if at is None:
        return None
    if not points:
        return [at]
    found = way(mesh, points[-1], at)
    return found[1:] if found else None


def _cost_of(narrow: list[Shape]) -> Callable[[list[Edge]], list[float]]:
    import shapely

    tree = shapely.STRtree(narrow)

    def cost(edges: list[Edge]) -> list[float]:
        """Make a way dear that goes in or out along a narrow line's neighbourhood."""
        lines = shapely.linestrings(edges)
        hit = set(tree.query(lines, predicate="intersects")[0].tolist())
        return [NARROW_COST_MM if n in hit else 0.0 for n in range(len(edges))]

    return cost


def judged(scene: Scene, found: Way, bands: Sequence[Strait]) -> Try:
    """Return a way with its narrow stretches, and those that a rule forbids."""
    rows = squeezes(found, bands)
    longest = scene.rules.value("short_length_mm")
    apart = scene.rules.value("between_short_mm")
    bad: list[tuple[str, tuple[Squeeze, ...]]] = [
        ("long", (row,)) for row in rows if row.long_mm > longest + 0.5
    ]
    for one, two in pairwise(rows):
        # The way back through the same narrow place counts as that place.
        again = {id(s) for s in one.straits} & {id(s) for s in two.straits}
        if two.from_mm - one.to_mm < apart - 0.5 and not again:
            bad.append(("near", (one, two)))
    return Try(found, tuple(rows), tuple(bad))


def squeezes(found: Way, bands: Sequence[Strait]) -> list[Squeeze]:
    """Return the narrow stretches of a way in order, those that overlap as one."""
    rows = [
        _squeeze(run, band)
        for band in bands
        for run in runs_inside(found.points, band.area)
        if run.to_mm - run.from_mm > 1.0
    ]
    rows.sort(key=lambda row: (row.from_mm, row.to_mm))
    merged: list[Squeeze] = []
    for row in rows:
        if merged and row.from_mm < merged[-1].to_mm + 1.0:
            merged[-1] = _joined(merged[-1], row)
        else:
            merged.append(row)
    return merged


def _squeeze(run: Run, band: Strait) -> Squeeze:
    import shapely

    line = shapely.LineString(run.points)
    low, high = along(line, band.axis)
    middle = line.interpolate(0.5, normalized=True)
    return Squeeze(
        (band,), band.gap.width_mm, high - low, run.from_mm, run.to_mm, (middle.x, middle.y)
    )


def _joined(one: Squeeze, two: Squeeze) -> Squeeze:
    narrower = one if one.clear_mm <= two.clear_mm else two
    start, end = one.from_mm, max(one.to_mm, two.to_mm)
    # Two that cover the same stretch are as long as the longer; otherwise the way itself measures.
    shared = min(one.to_mm, two.to_mm) - two.from_mm
    longer = one if one.long_mm >= two.long_mm else two
    inside = shared > min(one.to_mm - one.from_mm, two.to_mm - two.from_mm) - 1.0
    long_mm = longer.long_mm if inside else one.long_mm + two.long_mm - max(0.0, shared)
    return Squeeze(
        (*one.straits, *two.straits), narrower.clear_mm, long_mm, start, end, narrower.at
    )
