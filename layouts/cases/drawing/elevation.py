"""Draw the front of a case: floor and shelves with their heights, and what stands on them.

What stands behind is drawn first, so that the drawing hides what the eye would not see.
"""

from __future__ import annotations

from layouts.cases.drawing.view import CaseDrawing, CaseView, Standing
from layouts.drawing.canvas import Canvas, text_width


def draw_elevation(canvas: Canvas, drawing: CaseDrawing, view: CaseView, base: float) -> None:
    """Draw the case with its floor's inside at height `base` of the canvas, in mm."""
    kind, t = drawing.kind, view.text_mm
    with canvas.group(class_="case__elevation"):
        canvas.rect(0, base, kind.width_mm, kind.height_mm, "case-inside")
        for number, z, shelf in drawing.shelves:
            look = "shelf shelf--opaque" if shelf.opaque else "shelf"
            thick = max(shelf.thickness_mm, 3)
            canvas.rect(0, base + z - thick, kind.width_mm, thick, look)
            _load(canvas, drawing, number, z - thick - 0.95 * t, base, t)
        for one in sorted(drawing.standing, key=lambda s: (-s.y_mm, s.number)):
            _object(canvas, one, _before(drawing, one), view, base)
        _glass(canvas, drawing, base)
        canvas.line(-0.5 * t, base, kind.width_mm + 0.5 * t, base, "floor-line")
        _heights(canvas, drawing, t, base)


def _load(
    canvas: Canvas, drawing: CaseDrawing, number: int, y: float, base: float, t: float
) -> None:
    """Write at the right under a shelf what it bears, and its limit."""
    limit = drawing.kind.shelves[number - 1].max_g
    mass = sum(one.thing.mass_g for one in drawing.on(number)) / 1000
    words = f"{mass:.1f} kg" if limit is None else f"{mass:.1f} of {limit / 1000:g} kg"
    size = 0.8 * t
    right = drawing.kind.width_mm - 0.4 * t
    if not _behind(drawing, right - text_width(words, size), y, size):
        canvas.text(right, base + y, words, "figure figure--quiet", size_mm=size, anchor="end")


def _behind(drawing: CaseDrawing, left: float, y: float, size: float) -> bool:
    return any(
        one.x_mm + one.width_mm > left and one.top_mm > y - 0.3 * size and one.z_mm < y + size
        for one in drawing.standing
    )


def _before(drawing: CaseDrawing, one: Standing) -> list[Standing]:
    return [other for other in drawing.on(one.place.shelf) if other.y_mm < one.y_mm]


def _middle(one: Standing, before: list[Standing], low: float, size: float) -> float:
    """Return where the number stands: in the middle, or in the widest part that shows."""
    left, best = float(one.x_mm), (0.0, one.x_mm + one.width_mm / 2)
    covers = sorted((s.x_mm, s.x_mm + s.width_mm) for s in before if s.top_mm > low)
    for start, end in [*covers, (one.x_mm + one.width_mm, 0)]:
        best = max(best, (min(start, one.x_mm + one.width_mm) - left, (left + start) / 2))
        left = max(left, end)
    if best[0] >= one.width_mm or best[0] < size:
        return one.x_mm + one.width_mm / 2
    return best[1]


def _object(
    canvas: Canvas, one: Standing, before: list[Standing], view: CaseView, base: float
) -> None:
    t = view.text_mm
    link = view.links.get(one.thing.id, "")
    with canvas.group("a" if link else "g", class_="piece-group", href=link):
        with canvas.group("title"):
            canvas.words(f"{one.number} {one.thing.id}")
        canvas.rect(one.x_mm, base + one.z_mm, one.width_mm, one.thing.height_mm, "piece")
        canvas.rect(one.x_mm, base + one.z_mm, one.width_mm, one.thing.height_mm, "piece-outline")
        words = str(one.number)
        size = min(t, 0.8 * one.thing.height_mm, one.width_mm / max(1, text_width(words, 1.1)))
        high = base + one.top_mm
        middle = _middle(one, before, one.top_mm - 1.2 * size, size)
        canvas.text(
            middle,
            high - size - 0.15 * size,
            words,
            "piece-number",
            size_mm=size,
            anchor="middle",
        )


def _glass(canvas: Canvas, drawing: CaseDrawing, base: float) -> None:
    """Draw glazed sides thin and double, closed ones thick."""
    kind = drawing.kind
    wide, high = kind.width_mm, kind.height_mm
    for side, line in (
        ("left", (0, base, 0, base + high)),
        ("right", (wide, base, wide, base + high)),
        ("top", (0, base + high, wide, base + high)),
    ):
        canvas.line(*line, "glass" if side in kind.glazed else "closed")


def _heights(canvas: Canvas, drawing: CaseDrawing, t: float, base: float) -> None:
    """Write at the left the heights of surfaces over the room's floor, and at the right inside."""
    kind = drawing.kind
    marks = [(0, "floor"), *((z, f"shelf {n}") for n, z, _ in drawing.shelves)]
    x, right = -1.2 * t, kind.width_mm + 1.2 * t
    top = kind.height_mm
    canvas.strokes([(x, base, x, base + top)], "dimension")
    canvas.strokes(
        [(x - 0.3 * t, base + z, x + 0.3 * t, base + z) for z, _ in marks], "dimension-end"
    )
    canvas.strokes([(x - 0.3 * t, base + top, x + 0.3 * t, base + top)], "dimension-end")
    for z, words in [*marks, (top, "inside")]:
        y = base + z - 0.35 * t
        canvas.text(x - 0.6 * t, y, str(z), "figure", size_mm=t, anchor="end")
        if z or words == "floor":
            canvas.text(
                x - 3.6 * t, y, words, "figure figure--quiet", size_mm=0.8 * t, anchor="end"
            )
    over = kind.floor_mm
    for z, _ in marks:
        words = f"↑ {over + z}"
        canvas.text(right, base + z - 0.35 * t, words, "figure figure--quiet", size_mm=0.8 * t)
    canvas.text(right, base + top - 0.35 * t, "over floor", "figure figure--quiet", size_mm=0.8 * t)
