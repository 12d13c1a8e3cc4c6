"""Draw what is there before anything hangs: wall, light, fixings, blocked areas, datum."""

from __future__ import annotations

from collections.abc import Iterable

from layouts.along import Span
from layouts.drawing.canvas import Canvas, text_width
from layouts.drawing.view import Elevation, View
from layouts.problem import STACKED, Blocked, Fixing, Zone

DATUM_WORDS = {
    "centreline": "centreline",
    "top": "top edges",
    "bottom": "bottom edges",
    "hanging_line": "hanging line",
}
# Thin tones, so that light reads as light: the dimmer a stretch, the greyer its ground.
TONES = ((50, "dim"), (200, "medium"))


def draw_wall(canvas: Canvas, elevation: Elevation, view: View, window: Span) -> None:
    start, end = window
    high = elevation.wall.height_mm
    with canvas.group(class_="elevation__wall", aria_hidden="true"):
        canvas.rect(start, 0, end - start, high, "wall")
        for zone in elevation.wall.zones:
            _zone(canvas, zone, high, view.text_mm, window)
        for fixing in elevation.wall.fixings:
            _fixing(canvas, fixing, high, view.text_mm, window)
        if elevation.problem.pieces:
            _datum(canvas, elevation, view, window)
        for area in elevation.wall.blocked:
            _blocked(canvas, area, elevation, view.text_mm, window)
        canvas.line(start, 0, end, 0, "floor-line")
        canvas.line(start, high, end, high, "wall-end")
        for at, edge in ((start, 0), (end, elevation.wall.length_mm)):
            canvas.line(at, 0, at, high, "wall-end" if at == edge else "match")
        _beyond(canvas, view, window)


def _beyond(canvas: Canvas, view: View, window: Span) -> None:
    """Say at a match line where the wall goes on."""
    t = view.text_mm
    for x, words in (
        (window[0] - 0.6 * t, view.left_words),
        (window[1] + 1.1 * t, view.right_words),
    ):
        if words:
            canvas.text(x, 0.5 * t, words, "figure figure--datum", size_mm=0.9 * t, turned=True)


def within(start: float, end: float, window: Span) -> Span | None:
    """Return the part of a stretch that lies in the window."""
    low, high = max(int(start), window[0]), min(int(end), window[1])
    return (low, high) if low < high else None


def _zone(canvas: Canvas, zone: Zone, high: int, t: float, window: Span) -> None:
    part = within(zone.from_mm, zone.to_mm, window)
    if part is None:
        return
    tone = next((tone for lux, tone in TONES if zone.lux <= lux), "bright")
    canvas.rect(part[0], 0, part[1] - part[0], high, f"zone zone--{tone}")
    if zone.from_mm > window[0]:
        canvas.line(zone.from_mm, 0, zone.from_mm, high, "zone-end")
    words = f"{zone.lux} lx"
    for x in _repeats(part, text_width(words, t), t):
        canvas.text(x, high - 1.3 * t, words, "zone-label", size_mm=t)


def _fixing(canvas: Canvas, fixing: Fixing, high: int, t: float, window: Span) -> None:
    part = within(fixing.from_mm, fixing.to_mm, window)
    words = fixing_words(fixing)
    if part is None or not words:
        return
    y = high - 3.1 * t
    canvas.line(part[0], y, part[1], y, "fixing")
    canvas.strokes([(x, y, x, y + 0.5 * t) for x in part], "fixing")
    for x in _repeats(part, text_width(words, 0.85 * t), t):
        canvas.text(x, y + 0.35 * t, words, "figure figure--quiet", size_mm=0.85 * t)


def fixing_words(fixing: Fixing) -> str:
    """Say what a fixing carries."""
    limits = ((fixing.max_kg_per_object, "kg each"), (fixing.max_kg_per_m, "kg/m"))
    return " · ".join(f"{value:g} {unit}" for value, unit in limits if value is not None)


def _repeats(part: Span, width: float, t: float) -> Iterable[float]:
    """Yield where words stand: at the start, and again wherever one might be looking by then."""
    x, step = part[0] + 0.6 * t, max(45 * t, 4 * width)
    while x + width < part[1]:
        yield x
        x += step


def _blocked(canvas: Canvas, area: Blocked, elevation: Elevation, t: float, window: Span) -> None:
    part = within(area.x_mm, area.x_mm + area.width_mm, window)
    if part is None:
        return
    width = part[1] - part[0]
    canvas.rect(part[0], area.y_mm, width, area.height_mm, "blocked")
    canvas.strokes(hatching(part[0], area.y_mm, width, area.height_mm, 1.3 * t), "hatch")
    words = area.what or "blocked"
    turned = text_width(words, t) > width - 0.6 * t
    long, room = text_width(words, t) + 0.6 * t, area.height_mm if turned else width
    if long > room:
        if not elevation.hung:
            _over(canvas, area, words, elevation, t)
        return
    x, y = part[0] + width / 2, area.y_mm + area.height_mm / 2
    wide, tall = (1.5 * t, long) if turned else (long, 1.5 * t)
    canvas.rect(x - wide / 2, y - tall / 2, wide, tall, "ground")
    dx, dy = (0.35 * t, 0.0) if turned else (0.0, -0.35 * t)
    canvas.text(x + dx, y + dy, words, "figure", size_mm=t, anchor="middle", turned=turned)


def _over(canvas: Canvas, area: Blocked, words: str, elevation: Elevation, t: float) -> None:
    """Name an area over it, or under it where it reaches the wall's top."""
    wall, top = elevation.wall, area.y_mm + area.height_mm
    y = top + 0.4 * t if top + 1.4 * t < wall.height_mm else area.y_mm - 1.1 * t
    half = text_width(words, t) / 2 + 0.3 * t
    middle = min(max(area.x_mm + area.width_mm / 2, half), wall.length_mm - half)
    if y > 0:
        canvas.text(middle, y, words, "figure", size_mm=t, anchor="middle")


def hatching(
    x: float, y: float, width: float, height: float, step: float
) -> list[tuple[float, float, float, float]]:
    """Return strokes at 45° that fill a rectangle, cut at its edges."""
    strokes, along = [], step / 2
    while along < width + height:
        start, end = max(0.0, along - height), min(width, along)
        strokes.append((x + start, y + along - start, x + end, y + along - end))
        along += step
    return strokes


def _datum(canvas: Canvas, elevation: Elevation, view: View, window: Span) -> None:
    rule, t = elevation.problem.arrangement, view.text_mm
    words = "middle" if rule.kind in STACKED else DATUM_WORDS[rule.align]
    y, at = elevation.datum_mm, window[0] - 1.0 * t
    canvas.line(window[0] - 0.8 * t, y, window[1] + 0.8 * t, y, "datum")
    canvas.text(at, y - 0.35 * t, str(y), "figure figure--datum", size_mm=t, anchor="end")
    canvas.text(at, y - 1.5 * t, words, "figure figure--quiet", size_mm=0.8 * t, anchor="end")
