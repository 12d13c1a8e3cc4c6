"""Draw what is measured: sections above the wall, figures and the scale bar below the floor.

Figures stand above their line and turned ones read from the right, as ISO 129-1:2018 asks; running
dimensions share one origin, marked by a circle.
"""

from __future__ import annotations

from itertools import groupby

from layouts.along import Hung, Span
from layouts.drawing.canvas import Canvas, text_width
from layouts.drawing.view import GUTTER, Bands, Elevation, View
from layouts.drawing.wall import within


def draw_figures(canvas: Canvas, elevation: Elevation, view: View, window: Span) -> None:
    bands, t = Bands.of(elevation, view), view.text_mm
    with canvas.group(class_="elevation__figures", aria_hidden="true"):
        _sections(canvas, elevation, t, window)
        for name, y in bands.rows_mm.items():
            canvas.text(
                window[0] - (GUTTER - 0.2) * t,
                y - 1.1 * t,
                name,
                "figure figure--quiet",
                size_mm=0.9 * t,
            )
        if elevation.hung:
            _pieces(canvas, elevation, bands, t, window)
        else:
            _areas(canvas, elevation, bands.rows_mm["from left"], t, window)
        if view.scale_bar:
            draw_scale_bar(canvas, window[0], -bands.below_mm + 0.3 * t, t)


def _pieces(canvas: Canvas, elevation: Elevation, bands: Bands, t: float, window: Span) -> None:
    rows = bands.rows_mm
    shown = [h for h in elevation.hung if window[0] <= h.x_mm < window[1]]
    _orders(canvas, shown, rows["no."] - 1.1 * t, t)
    _gaps(canvas, elevation, bands, t, window)
    _running(canvas, [h.x_mm for h in shown], rows["left edge"], t, window)
    _end(canvas, elevation, rows["left edge"], t, window)
    _running(canvas, [x for h in shown for x in h.hooks_mm], rows["hooks"], t, window)
    _heights(canvas, shown, rows["hook height"], t)


def _areas(canvas: Canvas, elevation: Elevation, y: float, t: float, window: Span) -> None:
    edges = sorted({x for a in elevation.areas for x in (a.x_mm, a.x_mm + a.width_mm)})
    inside = [x for x in edges if window[0] < x < min(window[1], elevation.wall.length_mm)]
    _running(canvas, inside, y, t, window)
    _end(canvas, elevation, y, t, window)


def _sections(canvas: Canvas, elevation: Elevation, t: float, window: Span) -> None:
    y = elevation.wall.height_mm + 1.1 * t
    for section, group in groupby(elevation.hung, key=lambda hung: hung.piece.section):
        row = list(group)
        part = within(row[0].block_mm[0], row[-1].block_mm[1], window)
        if not section or part is None:
            continue
        canvas.strokes(
            [(part[0], y, part[1], y), *((x, y, x, y - 0.6 * t) for x in part)], "section-bracket"
        )
        title = elevation.sections.get(section, section)
        words = title if text_width(title, t) < part[1] - part[0] else section
        canvas.text(part[0], y + 0.45 * t, words, "section-title", size_mm=t)


def _orders(canvas: Canvas, shown: list[Hung], y: float, t: float) -> None:
    for hung in shown:
        middle = hung.x_mm + hung.piece.width_mm / 2
        canvas.text(middle, y, str(hung.order), "figure figure--strong", size_mm=t, anchor="middle")


def _gaps(canvas: Canvas, elevation: Elevation, bands: Bands, t: float, window: Span) -> None:
    line = bands.rows_mm["left edge"] + 0.75 * t
    marks = sorted(
        {edge for hung in elevation.hung for edge in hung.block_mm}
        | {end for h in elevation.hung for end in h.stretch}
    )
    marks = [mark for mark in marks if window[0] <= mark <= window[1]]
    canvas.strokes([(a, line, b, line) for a, b in elevation_spans(elevation, window)], "dimension")
    canvas.strokes([(m, line - 0.25 * t, m, line + 0.25 * t) for m in marks], "dimension-end")
    for left, right in gap_spans(elevation):
        if part := within(left, right, window):
            middle = (part[0] + part[1]) / 2
            words, turned = str(right - left), bands.gap_turned
            x, up = (middle + 0.35 * t, 0.35 * t) if turned else (middle, 0.3 * t)
            anchor = "start" if turned else "middle"
            canvas.text(x, line + up, words, "figure", size_mm=t, anchor=anchor, turned=turned)


def elevation_spans(elevation: Elevation, window: Span) -> list[Span]:
    """Return the clear stretches on which something hangs, as far as the window shows them."""
    used = {hung.stretch for hung in elevation.hung}
    parts = [within(*span, window) for span in sorted(used)]
    return [part for part in parts if part]


def gap_spans(elevation: Elevation) -> list[Span]:
    """Return every gap once, from its left to its right end."""
    spans = set()
    for hung in elevation.hung:
        left, right = hung.block_mm
        spans |= {(left - hung.before_mm, left), (right, right + hung.after_mm)}
    return sorted(spans)


def _running(canvas: Canvas, ends: list[int], y: float, t: float, window: Span) -> None:
    if not ends:
        return
    line = y - 0.2 * t
    canvas.line(window[0], line, max(ends), line, "dimension")
    if window[0] == 0:
        canvas.circle(0, line, 0.22 * t, "dimension-origin")
    canvas.strokes([(x, line + 0.22 * t, x, line - 0.22 * t) for x in ends], "dimension-end")
    at = float("-inf")
    for x in sorted(ends):
        # Hooks may be closer than a figure is high: its tick stays, the figure gives way.
        at = max(at + 1.02 * t, x + 0.35 * t)
        canvas.text(at, line - 0.5 * t, str(x), "figure", size_mm=t, anchor="end", turned=True)


def _end(canvas: Canvas, elevation: Elevation, y: float, t: float, window: Span) -> None:
    """Close the running dimension with the wall's own length."""
    length = elevation.wall.length_mm
    if window[1] != length:
        return
    line = y - 0.2 * t
    canvas.line(window[0], line, length, line, "dimension")
    canvas.strokes([(length, line + 0.22 * t, length, line - 0.22 * t)], "dimension-end")
    canvas.text(
        length + 0.35 * t,
        line - 0.5 * t,
        str(length),
        "figure figure--strong",
        size_mm=t,
        anchor="end",
        turned=True,
    )


def _heights(canvas: Canvas, shown: list[Hung], y: float, t: float) -> None:
    for hung in shown:
        middle = sum(hung.hooks_mm) / len(hung.hooks_mm)
        canvas.text(
            middle + 0.35 * t,
            y - 0.3 * t,
            str(hung.hook_mm),
            "figure figure--strong",
            size_mm=t,
            anchor="end",
            turned=True,
        )


def draw_scale_bar(canvas: Canvas, x: float, y: float, t: float) -> None:
    """Draw one metre in tenths, and its ends."""
    tall = 0.5 * t
    for n in range(10):
        kind = "scale-bar scale-bar--full" if n % 2 == 0 else "scale-bar"
        canvas.rect(x + n * 100, y, 100, tall, kind)
    for at, words in ((0, "0"), (1000, "1 m")):
        canvas.text(x + at, y + tall + 0.35 * t, words, "figure", size_mm=0.9 * t, anchor="middle")
