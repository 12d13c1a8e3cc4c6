"""Put the front, the surfaces from above, and the list of objects of a case on one drawing."""

from __future__ import annotations

from collections.abc import Iterator

from layouts.cases.drawing.elevation import draw_elevation
from layouts.cases.drawing.plan import draw_plan
from layouts.cases.drawing.view import LEFT, RIGHT, CaseDrawing, CaseView, Standing
from layouts.drawing.canvas import Canvas, number, text_width
from layouts.drawing.figures import draw_scale_bar

CAUTION = (
    "Loads are compared with the limits given; nothing is certified. "
    "Local codes and licensed practice decide; glass and lifting need trained people."
)
COLUMN_TEXTS = 24.0
LINE = 1.55


def draw_case(drawing: CaseDrawing, view: CaseView) -> str:
    """Return a case as an SVG element in mm: front, surfaces from above, objects by number."""
    canvas = Canvas()
    t, kind = view.text_mm, drawing.kind
    columns = max(1, int((kind.width_mm + 2 * t) // (COLUMN_TEXTS * t)))
    top = kind.height_mm + 4.2 * t
    _title(canvas, drawing, t, kind.height_mm)
    draw_elevation(canvas, drawing, view, 0)
    base = -2.2 * t
    for surface in drawing.surfaces:
        if drawing.on(surface):
            base -= kind.depth_mm
            draw_plan(canvas, drawing, view, surface, base)
            base -= 1.6 * t
    base = _legend(canvas, drawing, t, base - 0.4 * t, columns)
    draw_scale_bar(canvas, 0, base - 2.8 * t, t)
    lines = list(_wrapped(CAUTION, kind.width_mm, 0.75 * t))
    base -= 4.6 * t
    for words in lines:
        canvas.text(0, base, words, "figure figure--quiet", size_mm=0.75 * t)
        base -= 1.1 * t
    left, width = -LEFT * t, kind.width_mm + (LEFT + RIGHT) * t
    bottom = base - 0.4 * t
    return _framed(canvas, drawing, view, (left, bottom, width, top - bottom))


def _title(canvas: Canvas, drawing: CaseDrawing, t: float, high: float) -> None:
    canvas.text(0, high + 2.3 * t, drawing.case.id, "section-title", size_mm=1.5 * t)
    canvas.text(0, high + 0.8 * t, drawing.settings(), "figure figure--quiet", size_mm=0.85 * t)


def _legend(canvas: Canvas, drawing: CaseDrawing, t: float, base: float, columns: int) -> float:
    """Write number, name and size of each object in columns; return where the list ends."""
    rows = -(-len(drawing.standing) // columns)
    step = (drawing.kind.width_mm + 2 * t) / columns
    for n, one in enumerate(drawing.standing):
        x, y = (n // rows) * step, base - LINE * t * (n % rows + 1)
        canvas.text(
            x + 1.4 * t, y, str(one.number), "figure figure--strong", size_mm=t, anchor="end"
        )
        words = _size_words(drawing, one)
        room = step - 4.0 * t - text_width(words, 0.85 * t)
        names = [s.thing.id for s in drawing.standing[n // rows * rows :][:rows]]
        name_width = min(room, max(text_width(name, t) for name in names))
        canvas.text(x + 2.2 * t, y, _cut(one.thing.id, name_width, t), "figure", size_mm=t)
        at = x + 2.8 * t + name_width
        canvas.text(at, y, words, "figure figure--quiet", size_mm=0.85 * t)
    return base - LINE * t * rows


def _size_words(drawing: CaseDrawing, one: Standing) -> str:
    """Say width, depth and height in mm, whether it is turned, and how much of it is hidden."""
    thing = one.thing
    words = f"{thing.width_mm} × {thing.depth_mm} × {thing.height_mm}"
    if one.place.turned:
        words += ", turned"
    if percent := drawing.hidden.get(thing.id):
        words += f", {percent} % hidden"
    return words


def _cut(words: str, room: float, size: float) -> str:
    if text_width(words, size) <= room:
        return words
    keep = max(1, int(room / text_width("n", size)) - 1)
    return words[:keep].rstrip() + "…"


def _wrapped(words: str, width: float, size: float) -> Iterator[str]:
    line = ""
    for word in words.split():
        longer = f"{line} {word}".strip()
        if line and text_width(longer, size) > width:
            yield line
            longer = word
        line = longer
    yield line


def _framed(
    canvas: Canvas,
    drawing: CaseDrawing,
    view: CaseView,
    extent: tuple[float, float, float, float],
) -> str:
    left, bottom, width, height = extent
    box = f"{number(left)} {number(-bottom - height)} {number(width)} {number(height)}"
    style = f"<style>{view.stylesheet}</style>" if view.stylesheet else ""
    opening = Canvas()
    with opening.group("title", id=f"{view.name}-title"):
        opening.words(f"Showcase {drawing.case.id}")
    with opening.group("desc", id=f"{view.name}-desc"):
        opening.words(
            f"{len(drawing.standing)} objects, seen from the front and surface by surface from "
            f"above. {drawing.settings()}. Lengths in mm. {CAUTION}"
        )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="showcase" role="img" '
        f'aria-labelledby="{view.name}-title" aria-describedby="{view.name}-desc" '
        f'viewBox="{box}">{style}{opening}{canvas}</svg>'
    )
