"""Decide whether a disc of a width gets from stop to stop, and the widest that does."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from layouts.floor.gaps import TOUCHING_MM, WIDEST_MM, Gap
from layouts.floor.scene import Scene, Shape, eroded
from layouts.floor.stops import Target, targets

NARROWEST_MM = 100
# More than coarse arcs (4 in a quarter circle) let through too much: 2 × 1200 × (1 - cos 11.25°).
ROUNDING_MM = 60
COARSE = 4


def walkable(
    scene: Scene,
    gaps: Sequence[Gap],
    width_mm: float,
    shut: Iterable[Shape] = (),
    *,
    segments: int = 12,
) -> Shape:
    """Return where a disc's centre may be, without the gaps too narrow for it.

    The arcs of the library's buffer are polygons and would let a disc through that is a fraction
    of a millimetre too wide: the gaps themselves are therefore barred.
    """
    import shapely

    open_floor = eroded(scene, width_mm, segments=segments)
    bars = [
        gap.line.buffer(0.5, cap_style="flat")
        for gap in gaps
        if gap.open and width_mm - ROUNDING_MM < gap.width_mm < width_mm - TOUCHING_MM
    ]
    bars += list(shut)
    return open_floor.difference(shapely.union_all(bars)) if bars else open_floor


def common_part(shape: Shape, stops: Sequence[Target]) -> Shape | None:
    """Return the connected part that all stops meet, the largest if several do; else None."""
    import shapely

    best = None
    for part in shapely.get_parts(shape):
        shapely.prepare(part)
        if part.area > 0 and all(stop.met_by(part) for stop in stops):
            best = part if best is None or part.area > best.area else best
    return best


def passes(scene: Scene, gaps: Sequence[Gap], width_mm: float) -> bool:
    """Return whether a disc of a width gets from stop to stop."""
    return _part(scene, gaps, width_mm) is not None


def _part(scene: Scene, gaps: Sequence[Gap], width_mm: float) -> Shape | None:
    floor = walkable(scene, gaps, width_mm, segments=COARSE)
    return common_part(floor, targets(scene, width_mm))


def holding(scene: Scene, gaps: Sequence[Gap], most_mm: int) -> Gap | None:
    """Return the gap that stops a disc wider than the widest that passes; None if none does."""
    near = [gap for gap in gaps if gap.open and -0.001 <= gap.width_mm - most_mm < 1]
    part = _part(scene, gaps, most_mm) if near else None
    if part is None:
        return None
    stops = targets(scene, most_mm)
    for gap in near:
        if common_part(part.difference(gap.line.buffer(0.5, cap_style="flat")), stops) is None:
            return gap
    return next((gap for gap in near if part.intersects(gap.line)), None)


def widest(scene: Scene, gaps: Sequence[Gap]) -> int:
    """Return the widest disc in whole mm that gets through; 0 if not even a narrow one does.

    What passes at WIDEST_MM is not asked further.
    """
    low, high = NARROWEST_MM, WIDEST_MM
    if passes(scene, gaps, high):
        return high
    if not passes(scene, gaps, low):
        return 0
    while high - low > 1:
        middle = (low + high) // 2
        if passes(scene, gaps, middle):
            low = middle
        else:
            high = middle
    return low
