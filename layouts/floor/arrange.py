"""Propose where free-standing pieces stand: along an axis, on a grid, or free.

A proposal moves what is neither fixed nor on a wall and says where it leaves demands open; the
report that follows measures it like any other floor.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import cos, hypot, radians, sin

from layouts.floor.problem import Floor, Piece, Point
from layouts.floor.report import Finding, Spacing
from layouts.floor.rules import load
from layouts.floor.scene import footprint, is_placed, moved
from layouts.spacing import spread

Progress = Callable[[float], bool]
Places = dict[str, tuple[int, int]]


@dataclass(frozen=True)
class Arranged:
    """A floor with every piece in its place, how even it is, and what could not be done."""

    floor: Floor
    spacing: Spacing | None = None
    findings: tuple[Finding, ...] = ()


def arrange(floor: Floor, on_progress: Progress | None = None) -> Arranged:
    """Return the floor arranged as it asks; `keep` moves nothing."""
    kind = floor.arrangement.kind
    movable = in_order(floor)
    if kind == "keep" or not movable:
        return Arranged(floor)
    if kind == "axis":
        return _on_axis(floor, movable)
    if kind == "grid":
        return _on_grid(floor, movable)
    return _freely(floor, movable, on_progress)


def _freely(floor: Floor, movable: Sequence[Piece], on_progress: Progress | None) -> Arranged:
    """Spread pieces; where that shuts the route, once more beside a way that stays free."""
    from layouts.floor.freely import spread_freely
    from layouts.floor.keeping import keeps_route, ways_between

    first = _placed(floor, movable, spread_freely(floor, movable, kept_mm(floor), on_progress))
    if keeps_route(first.floor):
        return first
    for free in ways_between(floor, movable):
        places = spread_freely(floor, movable, kept_mm(floor), on_progress, free)
        again = _placed(floor, movable, places)
        if keeps_route(again.floor) and len(again.findings) <= len(first.findings):
            return again
    return first


def _placed(floor: Floor, movable: Sequence[Piece], places: Places) -> Arranged:
    left_out = [piece.id for piece in movable if piece.id not in places]
    placed = moved(floor, places)
    if left_out:
        pieces = tuple(piece for piece in placed.pieces if piece.id not in left_out)
        placed = replace(placed, pieces=pieces)
    return Arranged(placed, spacing_of(placed), tuple(_left_out(left_out)))


def in_order(floor: Floor) -> list[Piece]:
    """Return the pieces that may move, by section in the order of the route, then as given."""
    rank: dict[str | None, int] = {section.id: n for n, section in enumerate(floor.sections)}
    movable = [piece for piece in floor.pieces if piece.wall is None and not piece.fixed]
    return sorted(movable, key=lambda piece: rank.get(piece.section, len(rank)))


def kept_mm(floor: Floor) -> int:
    """Return the gap sought at least between pieces."""
    if floor.arrangement.keep_mm is not None:
        return floor.arrangement.keep_mm
    return floor.width_mm or load(floor.rules, floor.limits).value("route_mm")


def spacing_of(floor: Floor, gap_mm: int | None = None) -> Spacing | None:
    """Return how far each movable piece stands from the nearest other thing."""
    import shapely

    names = {piece.id for piece in in_order(floor)}
    bodies = {piece.id: footprint(floor, piece) for piece in floor.pieces if is_placed(piece)}
    edge = shapely.Polygon(floor.outline).boundary
    near = [
        min(body.distance(other) for key, other in [*bodies.items(), ("", edge)] if key != name)
        for name, body in bodies.items()
        if name in names
    ]
    return Spacing(int(min(near) + 0.001), int(max(near) + 0.001), gap_mm) if near else None


def _left_out(keys: Sequence[str]) -> list[Finding]:
    if not keys:
        return []
    return [
        Finding(
            "place",
            tuple(keys),
            None,
            len(keys),
            0,
            f"{', '.join(keys)} found no place clear of everything else.",
            "Take pieces out, or make room.",
            "geometry",
        )
    ]


def _on_axis(floor: Floor, movable: Sequence[Piece]) -> Arranged:
    """Set pieces on a line with equal gaps; gaps at the ends are as wide as those between."""
    (ax, ay), (bx, by) = _ends(floor)
    long = hypot(bx - ax, by - ay)
    u = ((bx - ax) / long, (by - ay) / long) if long else (1.0, 0.0)
    places, gaps = _along(movable, (ax, ay), u, int(long))
    placed = moved(floor, places)
    least = min(gaps)
    return Arranged(placed, spacing_of(placed, least), tuple(_tight(floor, movable, least)))


def _ends(floor: Floor) -> tuple[Point, Point]:
    """Return where a line or a grid starts and ends; raises ValueError where it does not say."""
    rule = floor.arrangement
    if rule.start is None or rule.end is None:
        raise ValueError(f"arrangement.kind is {rule.kind!r}: give start and end as [x, y].")
    return rule.start, rule.end


def _along(
    row: Sequence[Piece], start: tuple[float, float], u: tuple[float, float], long_mm: int
) -> tuple[Places, tuple[int, ...]]:
    widths = [_across(piece, u) for piece in row]
    found = spread(length_mm=long_mm, widths_mm=widths)
    places = {
        piece.id: (
            round(start[0] + u[0] * (at + width / 2)),
            round(start[1] + u[1] * (at + width / 2)),
        )
        for piece, at, width in zip(row, found.starts_mm, widths, strict=True)
    }
    return places, found.gaps_mm


def _across(piece: Piece, u: tuple[float, float]) -> int:
    """Return how long a piece reaches along a direction, in even whole mm."""
    if piece.shape == "round":
        return piece.width_mm
    turn = radians(piece.turn_deg)
    c = abs(cos(turn) * u[0] + sin(turn) * u[1])
    s = abs(-sin(turn) * u[0] + cos(turn) * u[1])
    return round(piece.width_mm * c + piece.depth_mm * s)


def _tight(floor: Floor, row: Sequence[Piece], least: int) -> list[Finding]:
    if least >= 0:
        return []
    return [
        Finding(
            "place",
            tuple(piece.id for piece in row),
            None,
            least,
            0,
            f"The pieces are {-least * (len(row) + 1)} mm longer than their line.",
            "Lengthen the line, or take pieces out.",
            "geometry",
        )
    ]


def _on_grid(floor: Floor, movable: Sequence[Piece]) -> Arranged:
    """Set pieces in rows within a box, rows to and fro, so that sections follow each other."""
    (ax, ay), (bx, by) = _ends(floor)
    across = 1.0 if bx >= ax else -1.0
    rows = _rows(movable, floor.arrangement.rows)
    depths = [max(_across(piece, (0.0, 1.0)) for piece in row) for row in rows]
    up = spread(length_mm=abs(by - ay), widths_mm=depths)
    places: Places = {}
    gaps: list[int] = list(up.gaps_mm)
    for n, (row, low, deep) in enumerate(zip(rows, up.starts_mm, depths, strict=True)):
        y = ay + (1 if by >= ay else -1) * (low + deep / 2)
        start, u = ((ax, y), (across, 0.0)) if n % 2 == 0 else ((bx, y), (-across, 0.0))
        found, along = _along(row, start, u, abs(bx - ax))
        places |= found
        gaps += along
    placed = moved(floor, places)
    return Arranged(placed, spacing_of(placed, min(gaps)), tuple(_tight(floor, movable, min(gaps))))


def _rows(pieces: Sequence[Piece], rows: int) -> list[Sequence[Piece]]:
    """Cut a list into rows whose counts differ by one at most."""
    count = min(rows, len(pieces))
    cuts = [len(pieces) * n // count for n in range(count + 1)]
    return [pieces[a:b] for a, b in pairwise(cuts)]
