"""Draw a floor as SVG in millimetres: room, pieces, route, narrow places and their measures.

Figures stand above their line, as ISO 129-1:2018 asks; the figure of a narrow place stands on it.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from layouts.drawing.canvas import Canvas, number, text_width
from layouts.drawing.figures import draw_scale_bar
from layouts.drawing.paper import MARGIN_MM, PAPERS, TEXT_MM, TITLE_BLOCK_MM, Paper
from layouts.floor.drawn import (
    draw_doors,
    draw_pieces,
    draw_room,
    draw_route,
    draw_stops,
    path,
)
from layouts.floor.narrow import widest_words
from layouts.floor.problem import Floor
from layouts.floor.report import FloorReport, Narrow, Spot
from layouts.floor.scene import Scene, moved, scene_of
from layouts.floor.style import floor_stylesheet

# 1:20 to 1:200 are reduction scales of ISO 5455:1979 but 1:25, common practice, no source.
SCALES = (20, 25, 50, 100, 200)
CAUTION = (
    "Computed from what was told, and not certified; escape routes are not computed. "
    "Local codes and licensed practice decide."
)
MOST_NARROW = 6
# Where along its line a figure may stand.
SHARES = (0.5, 0.33, 0.67, 0.22, 0.78)


@dataclass(frozen=True)
class FloorView:
    """How to draw: `text_mm` is the font size in mm of floor; `marks` numbers the findings."""

    text_mm: float
    name: str = "floor"
    stylesheet: str = ""
    scale_bar: bool = True
    marks: bool = True
    width: str = ""
    height: str = ""


def draw_floor(floor: Floor, report: FloorReport, view: FloorView | None = None) -> str:
    """Return the plan of a floor as an SVG element; without a view, for paper at its own scale."""
    if view is None:
        scale, _ = paper_for(floor)
        view = paper_view(scale)
        _, _, wide, high = extent(floor, view)
        size = (f"{number(wide / scale)}mm", f"{number(high / scale)}mm")
        view = FloorView(view.text_mm, stylesheet=view.stylesheet, width=size[0], height=size[1])
    placed = moved(floor, {place.id: (place.x_mm, place.y_mm) for place in report.places})
    scene = scene_of(placed)
    canvas, t = Canvas(), view.text_mm
    draw_room(canvas, scene, report, t)
    draw_doors(canvas, scene, t)
    draw_pieces(canvas, scene, t)
    draw_route(canvas, report, t)
    _narrow_places(canvas, scene, report, t)
    draw_stops(canvas, report, t)
    if view.marks:
        _marks(canvas, floor, report, t)
    _figures(canvas, floor, view)
    return _framed(canvas, floor, report, view)


def paper_view(scale: int) -> FloorView:
    """Return how to draw for paper at 1:scale."""
    return FloorView(text_mm=TEXT_MM * scale, stylesheet=floor_stylesheet(scale))


def paper_for(floor: Floor) -> tuple[int, Paper]:
    """Return the largest scale whose plan fits a sheet of A3, else the smallest paper at 1:200."""
    for scale in SCALES:
        if fits(floor, scale, PAPERS[0]):
            return scale, PAPERS[0]
    for paper in PAPERS:
        if fits(floor, SCALES[-1], paper):
            return SCALES[-1], paper
    raise ValueError(f"The room is larger than {PAPERS[-1].name} holds at 1:{SCALES[-1]}.")


def fits(floor: Floor, scale: int, paper: Paper) -> bool:
    """Return whether a plan at 1:scale leaves margins and the title block free."""
    _, _, width, height = extent(floor, paper_view(scale))
    room = (paper.width_mm - 2 * MARGIN_MM, paper.height_mm - 2 * MARGIN_MM - TITLE_BLOCK_MM)
    return width / scale <= room[0] and height / scale <= room[1]


def extent(floor: Floor, view: FloorView) -> tuple[float, float, float, float]:
    """Return the drawing's left, bottom, width and height in mm of floor, figures counted."""
    t = view.text_mm
    left, bottom, right, top = _bounds(floor)
    lines = len(_caution(floor, t))
    below = (6.2 + 1.1 * lines) * t if view.scale_bar else 3.2 * t
    return left - 3.6 * t, bottom - below, right - left + 5.2 * t, top - bottom + below + 4.4 * t


def _caution(floor: Floor, t: float) -> list[str]:
    """Return the caution in lines no wider than the room."""
    left, _, right, _ = _bounds(floor)
    lines = [""]
    for word in CAUTION.split():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and text_width(longer, 0.75 * t) > right - left:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


def _bounds(floor: Floor) -> tuple[int, int, int, int]:
    xs, ys = [x for x, _ in floor.outline], [y for _, y in floor.outline]
    return min(xs), min(ys), max(xs), max(ys)


def shown_narrow(report: FloorReport) -> list[Narrow]:
    """Return the narrow places worth a figure: the route's narrowest, and what is too narrow."""
    route = report.route
    least = route.width_mm if route else 0
    held = [route.narrowest] if route and route.narrowest else []
    crossed = [row for row in report.narrow if row.on_route]
    tight = [row for row in report.narrow if not row.on_route and row.clear_mm < least]
    rows: list[Narrow] = []
    for row in [*crossed[:MOST_NARROW], *held, *tight]:
        if all((row.start, row.end) != (other.start, other.end) for other in rows):
            rows.append(row)
    return rows


def _narrow_places(canvas: Canvas, scene: Scene, report: FloorReport, t: float) -> None:
    rows = shown_narrow(report)
    route = report.route
    clear_of = [(stop.at, 1.6 * t) for stop in route.stops] if route else []
    with canvas.group(class_="floor__narrow", aria_hidden="true"):
        for n, row in reversed(list(enumerate(rows))):
            kind = "narrow"
            if row.clear_mm < scene.route_mm:
                kind += " narrow--short" if row.on_route else " narrow--aside"
            if n == 0 and row.on_route:
                kind += " narrow--least"
            _measure(canvas, row, t, kind, clear_of)


def _measure(
    canvas: Canvas, row: Narrow, t: float, kind: str, clear_of: list[tuple[Spot, float]]
) -> None:
    """Draw a narrow place as a dimension with slanted ends and its figure on the line."""
    (ax, ay), (bx, by) = row.start, row.end
    long = hypot(bx - ax, by - ay) or 1.0
    u = ((bx - ax) / long, (by - ay) / long)
    arm = 0.32 * t
    slant = ((u[0] - u[1]) * arm, (u[1] + u[0]) * arm)
    ends = [
        (x - slant[0], y - slant[1], x + slant[0], y + slant[1]) for x, y in (row.start, row.end)
    ]
    canvas.strokes([(ax, ay, bx, by)], f"{kind} narrow-line")
    canvas.strokes(ends, f"{kind} narrow-end")
    words, size = str(row.clear_mm), t if "least" in kind else 0.85 * t
    share = next(
        (s for s in SHARES if _is_free((ax + s * (bx - ax), ay + s * (by - ay)), clear_of)), 0.5
    )
    x, y = ax + share * (bx - ax), ay + share * (by - ay)
    turned = abs(u[1]) > 0.95 and text_width(words, size) > 0.6 * long
    wide, tall = text_width(words, size) + 0.3 * size, 1.15 * size
    if turned:
        wide, tall = tall, wide
    if not turned and wide > 0.7 * long:
        # Too short for its figure: the figure stands beside the line.
        x, y = x - u[1] * (wide / 2 + 0.4 * t), y + u[0] * (tall / 2 + 0.4 * t)
    canvas.rect(x - wide / 2, y - tall / 2, wide, tall, "ground")
    dx, dy = (0.35 * size, 0.0) if turned else (0.0, -0.35 * size)
    canvas.text(
        x + dx, y + dy, words, f"figure {kind}", size_mm=size, anchor="middle", turned=turned
    )


def _is_free(point: tuple[float, float], clear_of: list[tuple[Spot, float]]) -> bool:
    return all(hypot(point[0] - x, point[1] - y) > far for (x, y), far in clear_of)


def _marks(canvas: Canvas, floor: Floor, report: FloorReport, t: float) -> None:
    """Number the findings where they are, as the list beside the plan does."""
    left, bottom, right, top = _bounds(floor)
    with canvas.group(class_="floor__marks", aria_hidden="true"):
        taken: list[tuple[float, float]] = []
        for n, row in enumerate(report.findings, 1):
            if row.at is None:
                continue
            x = min(max(row.at[0] + 1.1 * t, left + 1.1 * t), right - 1.1 * t)
            y = min(max(row.at[1] + 1.1 * t, bottom + 1.1 * t), top - 1.1 * t)
            while any(hypot(x - a, y - b) < 1.5 * t for a, b in taken):
                x += 1.6 * t
            taken.append((x, y))
            points = [(x, y + 0.95 * t), (x + 0.95 * t, y), (x, y - 0.95 * t), (x - 0.95 * t, y)]
            path(canvas, points, "mark")
            canvas.text(x, y - 0.3 * t, str(n), "mark-figure", size_mm=0.85 * t, anchor="middle")


def _figures(canvas: Canvas, floor: Floor, view: FloorView) -> None:
    """Draw the room's length and depth, and the scale bar."""
    t = view.text_mm
    left, bottom, right, top = _bounds(floor)
    with canvas.group(class_="floor__figures", aria_hidden="true"):
        y, x = bottom - 2.2 * t, left - 2.0 * t
        canvas.strokes([(left, y, right, y), (x, bottom, x, top)], "dimension")
        tick = 0.3 * t
        ends = [(e - tick, y - tick, e + tick, y + tick) for e in (left, right)]
        ends += [(x - tick, e - tick, x + tick, e + tick) for e in (bottom, top)]
        canvas.strokes(ends, "dimension-end")
        canvas.text(
            (left + right) / 2,
            y + 0.35 * t,
            str(right - left),
            "figure",
            size_mm=t,
            anchor="middle",
        )
        canvas.text(
            x - 0.35 * t,
            (bottom + top) / 2,
            str(top - bottom),
            "figure",
            size_mm=t,
            anchor="middle",
            turned=True,
        )
        if view.scale_bar:
            draw_scale_bar(canvas, left, bottom - 5.0 * t, t)
            for n, words in enumerate(_caution(floor, t)):
                y = bottom - (6.6 + 1.1 * n) * t
                canvas.text(left, y, words, "figure figure--quiet", size_mm=0.75 * t)
        _title(canvas, floor, t)


def _title(canvas: Canvas, floor: Floor, t: float) -> None:
    """Write the room's name over it."""
    left, _, _, top = _bounds(floor)
    canvas.text(left, top + 2.7 * t, floor.name, "section-title", size_mm=1.2 * t)


def _framed(canvas: Canvas, floor: Floor, report: FloorReport, view: FloorView) -> str:
    left, bottom, width, height = extent(floor, view)
    box = f"{number(left)} {number(-bottom - height)} {number(width)} {number(height)}"
    size = "".join(
        f' {name}="{value}"'
        for name, value in (("width", view.width), ("height", view.height))
        if value
    )
    style = f"<style>{view.stylesheet}</style>" if view.stylesheet else ""
    opening = Canvas()
    with opening.group("title", id=f"{view.name}-title"):
        opening.words(f"Plan of {floor.name}")
    with opening.group("desc", id=f"{view.name}-desc"):
        opening.words(described(floor, report))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="floor" role="img" '
        f'aria-labelledby="{view.name}-title" aria-describedby="{view.name}-desc" '
        f'viewBox="{box}"{size}>{style}{opening}{canvas}</svg>'
    )


def described(floor: Floor, report: FloorReport) -> str:
    """Say in words what the plan shows."""
    rows = [f"{len(report.places)} standing pieces, seen from above. Lengths in mm."]
    if route := report.route:
        found = "" if route.found else "No route keeps the rules. "
        crossed = [row for row in report.narrow if row.on_route]
        rows.append(found + widest_words(route))
        if crossed:
            between = " and ".join(crossed[0].things)
            rows.append(f"The way drawn is narrowest between {between}: {crossed[0].clear_mm} mm.")
    rows += [f"{n}: {row.sentence}" for n, row in enumerate(report.findings, 1)]
    return " ".join(rows)
