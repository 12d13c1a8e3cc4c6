"""The parts of a plan: room and clear floor, doors, pieces, route."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import atan2, cos, hypot, pi, sin
from typing import Any

from layouts.drawing.canvas import Canvas, number, text_width
from layouts.floor.problem import Piece
from layouts.floor.report import FloorReport
from layouts.floor.scene import Scene, centre_and_axes, corners, door_line, eroded
from layouts.floor.things import swing

Points = Iterable[tuple[float, float]]


def outline_d(points: Points, *, closed: bool = True) -> str:
    """Return path data through points, y upwards."""
    words = "L".join(f"{number(round(x, 1))} {number(round(-y, 1))}" for x, y in points)
    return f"M{words}{'Z' if closed else ''}"


def path(canvas: Canvas, points: Points, kind: str, *, closed: bool = True) -> None:
    with canvas.group("path", d=outline_d(points, closed=closed), class_=kind):
        pass


def area(canvas: Canvas, shape: Any, kind: str) -> None:
    """Draw a polygon with its holes, or several, as one path."""
    import shapely

    rings = [
        ring
        for part in shapely.get_parts(shape)
        if part.geom_type == "Polygon"
        for ring in (part.exterior, *part.interiors)
    ]
    if rings:
        d = "".join(outline_d(list(ring.coords)[:-1]) for ring in rings)
        with canvas.group("path", d=d, class_=kind, fill_rule="evenodd"):
            pass


def draw_room(canvas: Canvas, scene: Scene, report: FloorReport, t: float) -> None:
    """Draw the floor, the part that a route's width does not touch in grey, and turning places."""
    width = scene.route_mm
    reached = eroded(scene, width, segments=8).buffer(width / 2, quad_segs=8)
    shut = scene.free.difference(reached.buffer(1.0))
    with canvas.group(class_="floor__room", aria_hidden="true"):
        path(canvas, scene.floor.outline, "floor-ground")
        area(canvas, shut, "too-narrow")
        radius = scene.rules.value("turning_mm") / 2
        for x, y in report.turning_places[:3]:
            canvas.circle(x, y, radius, "turning")
        for section in scene.floor.sections:
            if section.area:
                path(canvas, section.area, "section-area")
        path(canvas, scene.floor.outline, "floor-wall")
        for end in report.dead_ends:
            canvas.cross(end.at[0], end.at[1], 0.5 * t, "dead-end")


def draw_doors(canvas: Canvas, scene: Scene, t: float) -> None:
    with canvas.group(class_="floor__doors", aria_hidden="true"):
        for door in scene.floor.doors:
            left, right, inward = door_line(scene.floor, door)
            canvas.line(*left, *right, "door-opening")
            jamb = 0.35 * t
            canvas.strokes(
                [
                    (
                        x - inward[0] * jamb,
                        y - inward[1] * jamb,
                        x + inward[0] * jamb,
                        y + inward[1] * jamb,
                    )
                    for x, y in (left, right)
                ],
                "door-jamb",
            )
            if (swept := swing(scene, door)) is not None:
                leaf = list(swept.exterior.coords)
                path(canvas, leaf[1:-1], "swing", closed=False)
                canvas.strokes([(*leaf[0], *leaf[-2])], "door-leaf")
            _door_name(canvas, door.id, left, right, inward, t)


def _door_name(
    canvas: Canvas,
    words: str,
    left: tuple[float, float],
    right: tuple[float, float],
    inward: tuple[float, float],
    t: float,
) -> None:
    x, y = (left[0] + right[0]) / 2, (left[1] + right[1]) / 2
    turned = abs(inward[0]) > abs(inward[1])
    out = 0.55 * t if not turned and inward[1] < 0 else 1.25 * t
    if turned:
        out = 0.5 * t if inward[0] < 0 else 0.55 * t
        x += 0.0 if inward[0] > 0 else 0.75 * t
    canvas.text(
        x - inward[0] * out,
        y - inward[1] * out,
        words,
        "figure figure--quiet",
        size_mm=0.85 * t,
        anchor="middle",
        turned=turned,
    )


def draw_pieces(canvas: Canvas, scene: Scene, t: float) -> None:
    pieces = [piece for piece in scene.floor.pieces if piece.id in scene.bodies]
    with canvas.group(class_="floor__pieces"):
        for piece in sorted(pieces, key=lambda p: p.top_mm):
            with canvas.group(class_="floor-piece", role="img", aria_label=_said(piece)):
                _piece(canvas, scene, piece, t)


def _said(piece: Piece) -> str:
    where = "" if piece.x_mm is None else f", centre at {piece.x_mm}, {piece.y_mm}"
    return (
        f"{piece.id}: {piece.kind.replace('_', ' ')} {piece.width_mm} × {piece.depth_mm} mm{where}"
    )


def _piece(canvas: Canvas, scene: Scene, piece: Piece, t: float) -> None:
    centre, right, _ = centre_and_axes(scene.floor, piece)
    kind = f"piece-outline piece--{piece.kind.replace('_', '-')}"
    if piece.shape == "round":
        canvas.circle(*centre, piece.width_mm / 2, kind)
    else:
        corner = corners(scene.floor, piece)
        path(canvas, corner, kind)
        if piece.kind == "showcase":
            inner = [_toward(point, centre, 0.28 * t) for point in corner]
            path(canvas, inner, "glass-line")
        elif piece.kind in ("column", "screen"):
            path(canvas, corner, "solid")
    _piece_name(canvas, piece, centre, right, t)


def _toward(
    point: tuple[float, float], centre: tuple[float, float], by: float
) -> tuple[float, float]:
    long = hypot(centre[0] - point[0], centre[1] - point[1]) or 1.0
    share = min(0.4, 1.414 * by / long)
    return (point[0] + (centre[0] - point[0]) * share, point[1] + (centre[1] - point[1]) * share)


def _piece_name(
    canvas: Canvas,
    piece: Piece,
    centre: tuple[float, float],
    right: tuple[float, float],
    t: float,
) -> None:
    if piece.kind in ("column", "screen", "barrier"):
        return
    upright = abs(right[1]) > abs(right[0])
    wide, deep = piece.width_mm, piece.depth_mm
    if upright:
        wide, deep = deep, wide
    size = 0.9 * t
    turned = text_width(piece.id, size) > wide - 0.5 * t and deep > wide
    room = deep if turned else wide
    size = min(size, 0.9 * room / max(1.0, text_width(piece.id, 1.0)))
    if size < 0.45 * t or (wide if turned else deep) < 0.9 * size:
        return
    dx, dy = (0.35 * size, 0.0) if turned else (0.0, -0.35 * size)
    canvas.text(
        centre[0] + dx,
        centre[1] + dy,
        piece.id,
        "piece-number",
        size_mm=size,
        anchor="middle",
        turned=turned,
    )


def draw_route(canvas: Canvas, report: FloorReport, t: float) -> None:
    """Draw the way with heads of arrows."""
    route = report.route
    if route is None or len(route.points) < 2:
        return
    kind = "route" if route.found else "route route--broken"
    with canvas.group(class_="floor__route", aria_hidden="true"):
        path(canvas, route.points, f"{kind} route-ground", closed=False)
        path(canvas, route.points, kind, closed=False)
        for x, y, angle in _heads(route.points, 14 * t):
            path(canvas, _head(x, y, angle, 0.8 * t), "route-head")


def draw_stops(canvas: Canvas, report: FloorReport, t: float) -> None:
    """Draw a named ring where the route meets each section."""
    with canvas.group(class_="floor__stops", aria_hidden="true"):
        for stop in report.route.stops if report.route else ():
            if stop.kind == "section":
                canvas.circle(*stop.at, 0.85 * t, "route-stop")
                canvas.text(
                    stop.at[0],
                    stop.at[1] - 0.3 * t,
                    stop.id[:3],
                    "route-stop-name",
                    size_mm=0.85 * t,
                    anchor="middle",
                )


def _heads(
    points: Sequence[tuple[float, float]], step: float
) -> Iterable[tuple[float, float, float]]:
    """Yield where a way's arrows stand: at its end, and each step before it on a straight."""
    (ax, ay), (bx, by) = points[-2], points[-1]
    yield bx, by, atan2(by - ay, bx - ax)
    whole = sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points))
    at, wanted = 0.0, step / 2
    for (ax, ay), (bx, by) in pairwise(points):
        long = hypot(bx - ax, by - ay)
        if at + long > wanted and long > 0.1 * step and at + long / 2 < whole - 0.3 * step:
            share = 0.5
            yield ax + (bx - ax) * share, ay + (by - ay) * share, atan2(by - ay, bx - ax)
            wanted = at + long / 2 + step
        at += long


def _head(x: float, y: float, angle: float, size: float) -> Points:
    for turn, long in ((0.0, 0.0), (pi - 0.42, size), (pi + 0.42, size)):
        yield x + long * cos(angle + turn), y + long * sin(angle + turn)
