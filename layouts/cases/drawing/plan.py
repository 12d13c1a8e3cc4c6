"""Draw each surface of a case from above: front below, label strip, room to the glass, objects."""

from __future__ import annotations

from layouts.cases.drawing.view import CaseDrawing, CaseView, Standing
from layouts.cases.surfaces import surfaces_of
from layouts.drawing.canvas import Canvas, text_width
from layouts.drawing.wall import hatching


def draw_plan(
    canvas: Canvas, drawing: CaseDrawing, view: CaseView, surface: int, base: float
) -> None:
    """Draw one surface with the inside of its front at height `base` of the canvas, in mm."""
    kind, t = drawing.kind, view.text_mm
    shelf = kind.shelves[surface - 1] if surface else None
    edge = kind.depth_mm - shelf.depth_mm if shelf else 0
    usable = surfaces_of(kind, drawing.problem)[surface]
    with canvas.group(class_="case__plan"):
        canvas.rect(0, base, kind.width_mm, kind.depth_mm, "case-outside")
        canvas.rect(0, base + edge, kind.width_mm, kind.depth_mm - edge, "case-inside")
        canvas.rect(
            usable.left_mm, base + usable.front_mm, usable.width_mm, usable.depth_mm, "usable"
        )
        strip = drawing.problem.display.label_strip_mm
        if strip:
            canvas.rect(0, base + edge, kind.width_mm, strip, "label-strip")
            _labels(canvas, drawing, surface, base + edge, strip, t)
        for one in drawing.on(surface):
            _object(canvas, one, view, base)
        _sides(canvas, drawing, base, edge)
        _beside(canvas, drawing, surface, base, t)


def _labels(
    canvas: Canvas, drawing: CaseDrawing, surface: int, front: float, strip: int, t: float
) -> None:
    """Draw a label for each object of the first row, in front of it on the strip."""
    here = drawing.on(surface)
    for one in here:
        covered = any(
            other.y_mm < one.y_mm
            and other.x_mm < one.x_mm + one.width_mm
            and one.x_mm < other.x_mm + other.width_mm
            for other in here
        )
        if covered:
            continue
        wide, deep = min(0.8 * one.width_mm, 4 * t), 0.62 * strip
        canvas.rect(
            one.x_mm + (one.width_mm - wide) / 2,
            front + (strip - deep) / 2,
            wide,
            deep,
            "label-block",
        )


def _object(canvas: Canvas, one: Standing, view: CaseView, base: float) -> None:
    t = view.text_mm
    with canvas.group(class_="piece-group"):
        with canvas.group("title"):
            canvas.words(f"{one.number} {one.thing.id}")
        canvas.rect(one.x_mm, base + one.y_mm, one.width_mm, one.depth_mm, "piece")
        canvas.rect(one.x_mm, base + one.y_mm, one.width_mm, one.depth_mm, "piece-outline")
        words = str(one.number)
        size = min(t, 0.8 * one.depth_mm, one.width_mm / max(1, text_width(words, 1.1)))
        canvas.text(
            one.x_mm + one.width_mm / 2,
            base + one.y_mm + one.depth_mm / 2 - 0.35 * size,
            words,
            "piece-number",
            size_mm=size,
            anchor="middle",
        )


def _sides(canvas: Canvas, drawing: CaseDrawing, base: float, edge: int) -> None:
    kind = drawing.kind
    wide, deep = kind.width_mm, kind.depth_mm
    if edge:
        canvas.strokes(hatching(0, base, wide, edge, 26), "hatch")
        canvas.line(0, base + edge, wide, base + edge, "shelf-edge")
    for side, line in (
        ("front", (0, base, wide, base)),
        ("back", (0, base + deep, wide, base + deep)),
        ("left", (0, base, 0, base + deep)),
        ("right", (wide, base, wide, base + deep)),
    ):
        canvas.line(*line, "glass" if side in kind.glazed else "closed")


def _beside(canvas: Canvas, drawing: CaseDrawing, surface: int, base: float, t: float) -> None:
    words = f"shelf {surface}" if surface else "floor"
    deep, x = drawing.kind.depth_mm, -1.8 * t
    canvas.text(x, base + deep - t, words, "figure figure--strong", size_mm=t, anchor="end")
    canvas.text(
        x,
        base + deep - 2.3 * t,
        "from above",
        "figure figure--quiet",
        size_mm=0.8 * t,
        anchor="end",
    )
    canvas.text(x, base, "front", "figure figure--quiet", size_mm=0.8 * t, anchor="end")
