"""Draw walls with what hangs on them as SVG in millimetres, for screen and paper alike."""

from __future__ import annotations

from collections.abc import Sequence

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
    "BETWEEN_WALLS_MM",
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


BETWEEN_WALLS_MM = 800


def draw(elevation: Elevation, view: View) -> str:
    """Return the elevation of a wall as an SVG element."""
    window = view.window or (0, elevation.wall.length_mm)
    canvas = Canvas()
    draw_wall(canvas, elevation, view, window)
    draw_pieces(canvas, elevation, view, window)
    draw_figures(canvas, elevation, view, window)
    return _framed(canvas, elevation, view)


def overview(elevations: Sequence[Elevation], links: Sequence[str]) -> str:
    """Return whole walls side by side at one scale, without words, each a link.

    For the eye and the pointer alone: a page says the same in words beside it.
    """
    canvas, at = Canvas(), 0
    for elevation, link in zip(elevations, links, strict=True):
        with canvas.group("a", href=link, tabindex="-1", transform=f"translate({at} 0)"):
            _small(canvas, elevation)
        at += elevation.wall.length_mm + BETWEEN_WALLS_MM
    height = max(elevation.wall.height_mm for elevation in elevations)
    box = f"0 {-height} {at - BETWEEN_WALLS_MM} {height}"
    return f'<svg class="overview" viewBox="{box}" aria-hidden="true">{canvas}</svg>'


def _small(canvas: Canvas, elevation: Elevation) -> None:
    wall = elevation.wall
    canvas.rect(0, 0, wall.length_mm, wall.height_mm, "wall")
    for area in wall.blocked:
        canvas.rect(area.x_mm, area.y_mm, area.width_mm, area.height_mm, "blocked")
    for hung in elevation.hung:
        canvas.rect(hung.x_mm, hung.y_mm, hung.piece.width_mm, hung.piece.height_mm, "piece")
    canvas.line(0, 0, wall.length_mm, 0, "floor-line")
    canvas.line(0, elevation.datum_mm, wall.length_mm, elevation.datum_mm, "datum")


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
