"""Draw walls with what hangs on them as SVG in millimetres, for screen and paper alike."""

from __future__ import annotations

from layouts.along import Span
from layouts.drawing.canvas import Canvas, number
from layouts.drawing.figures import draw_figures
from layouts.drawing.paper import (
    MARGIN_MM,
    PAPERS,
    SCALES,
    TEXT_MM,
    TITLE_BLOCK_MM,
    Drawn,
    Paper,
    Plan,
    Window,
    largest_on_few,
    on_smallest_paper,
    sheets,
)
from layouts.drawing.pieces import draw_pieces
from layouts.drawing.style import paper_stylesheet
from layouts.drawing.view import Caption, Elevation, View, extent
from layouts.drawing.wall import draw_wall

__all__ = [
    "MARGIN_MM",
    "PAPERS",
    "SCALES",
    "TEXT_MM",
    "TITLE_BLOCK_MM",
    "Caption",
    "Elevation",
    "Paper",
    "Plan",
    "View",
    "Window",
    "draw",
    "extent",
    "overview",
    "paper_plan",
    "paper_stylesheet",
    "paper_view",
    "sheets",
]


def draw(elevation: Elevation, view: View) -> str:
    """Return the elevation of a wall as an SVG element."""
    window = view.window or (0, elevation.wall.length_mm)
    canvas = Canvas()
    draw_wall(canvas, elevation, view, window)
    draw_pieces(canvas, elevation, view, window)
    draw_figures(canvas, elevation, view, window)
    return _framed(canvas, elevation, view)


def overview(elevation: Elevation, *, name: str = "overview") -> str:
    """Return the whole wall as a strip without words."""
    canvas = Canvas()
    wall = elevation.wall
    canvas.rect(0, 0, wall.length_mm, wall.height_mm, "wall")
    for area in wall.blocked:
        canvas.rect(area.x_mm, area.y_mm, area.width_mm, area.height_mm, "blocked")
    for hung in elevation.hung:
        canvas.rect(hung.x_mm, hung.y_mm, hung.piece.width_mm, hung.piece.height_mm, "piece")
    canvas.line(0, 0, wall.length_mm, 0, "floor-line")
    canvas.strokes(
        [(x, 0, x, 150 if x % 5000 else 300) for x in range(1000, wall.length_mm, 1000)], "tick"
    )
    datum_mm = elevation.problem.arrangement.datum_mm
    canvas.line(0, datum_mm, wall.length_mm, datum_mm, "datum")
    box = f"0 {-wall.height_mm} {wall.length_mm} {wall.height_mm}"
    return (
        f'<svg class="overview" viewBox="{box}" role="img" aria-labelledby="{name}-title">'
        f'<title id="{name}-title">The whole wall, {wall.length_mm} mm, with '
        f"{len(elevation.hung)} pieces; ticks every metre</title>{canvas}</svg>"
    )


def paper_view(scale: int, *, window: Span | None = None) -> View:
    """Return how to draw for paper at 1:scale."""
    return View(
        text_mm=TEXT_MM * scale,
        window=window,
        stylesheet=paper_stylesheet(scale),
    )


def paper_plan(elevation: Elevation, *, scale: int | None = None) -> Plan:
    """Choose paper and windows at the scale asked, or the largest scale that needs few sheets."""
    if scale:
        return on_smallest_paper(_drawn(elevation, scale))
    return largest_on_few(_drawn(elevation, ratio) for ratio in SCALES)


def _drawn(elevation: Elevation, scale: int) -> Drawn:
    _, _, width, height = extent(elevation, paper_view(scale))
    length = elevation.wall.length_mm
    return Drawn(scale, length, height, width - length, tuple(elevation.cuts_mm()))


def _framed(canvas: Canvas, elevation: Elevation, view: View) -> str:
    left, bottom, width, height = extent(elevation, view)
    box = f"{number(left)} {number(-bottom - height)} {number(width)} {number(height)}"
    wall, count = elevation.wall, len(elevation.hung)
    size = "".join(
        f' {name}="{value}"'
        for name, value in (("width", view.width), ("height", view.height))
        if value
    )
    style = f"<style>{view.stylesheet}</style>" if view.stylesheet else ""
    opening = Canvas()
    with opening.group("title", id=f"{view.name}-title"):
        opening.words(f"Elevation of {wall.id}")
    with opening.group("desc", id=f"{view.name}-desc"):
        opening.words(
            f"{count} pieces on {wall.length_mm} mm of wall, seen facing it. Lengths in mm, "
            "running from the left end. The table tells the same in words."
        )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="elevation" role="group" '
        f'aria-labelledby="{view.name}-title" aria-describedby="{view.name}-desc" '
        f'viewBox="{box}"{size}>{style}{opening}{canvas}</svg>'
    )
