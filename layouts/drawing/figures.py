"""Draw what is measured: sections above the wall, figures and the scale bar below the floor.

Figures stand above their line and turned ones read from the right, as ISO 129-1:2018 asks; running
dimensions share one origin, marked by a circle.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby

from layouts.along import Hung, Span
from layouts.drawing.canvas import Canvas, text_width
from layouts.drawing.view import GUTTER, Bands, Elevation, View
from layouts.drawing.wall import within
from layouts.problem import STACKED


def draw_figures(canvas: Canvas, elevation: Elevation, view: View, window: Span) -> None:
    bands, t = Bands.of(elevation, view), view.text_mm
    with canvas.group(class_="elevation__figures", aria_hidden="true"):
        _sections(canvas, elevation, t, window)
        many, left = len(bands.rows_mm) > 1, window[0] - (GUTTER - 0.2) * t
        for number, tops in enumerate(bands.rows_mm, 1):
            for name, y in tops.items():
                words = f"row {number}, {name}" if many else name
                canvas.text(left, y - 1.1 * t, words, "figure figure--quiet", size_mm=0.9 * t)
        for row, tops in zip(elevation.rows, bands.rows_mm, strict=False):
            if many:
                _gaps(canvas, row, tops["gap"] - 1.6 * t, bands.gap_turned, t, window)
            else:
                _pieces(canvas, elevation, row, tops, bands.gap_turned, t, window)
        if bands.listing:
            inside = [n for n, h in enumerate(elevation.hung) if _within(h, window)]
            bands.listing.draw(canvas, left, window[1] - left, inside)
        if not elevation.hung:
            _areas(canvas, elevation, bands.rows_mm[0]["from left"], t, window)
        if view.scale_bar:
            draw_scale_bar(canvas, window[0], -bands.below_mm + 0.3 * t, t)


def _within(hung: Hung, window: Span) -> bool:
    return window[0] <= hung.x_mm < window[1]


def _pieces(
    canvas: Canvas,
    elevation: Elevation,
    row: Sequence[Hung],
    tops: Mapping[str, float],
    gap_turned: bool,
    t: float,
    window: Span,
) -> None:
    shown = [hung for hung in row if _within(hung, window)]
    held = [hung for hung in shown if not hung.piece.reserve]
    _orders(canvas, shown, tops["no."] - 1.1 * t, t)
    _gaps(canvas, row, tops["left edge"] + 0.75 * t, gap_turned, t, window)
    _running(canvas, [h.x_mm for h in shown], tops["left edge"], t, window)
    _end(canvas, elevation, tops["left edge"], t, window)
    _running(canvas, [x for h in held for x in h.hooks_mm], tops["hooks"], t, window)
    _heights(canvas, held, tops["hook height"], t)


def _areas(canvas: Canvas, elevation: Elevation, y: float, t: float, window: Span) -> None:
    edges = sorted({x for a in elevation.areas for x in (a.x_mm, a.x_mm + a.width_mm)})
    inside = [x for x in edges if window[0] < x < min(window[1], elevation.wall.length_mm)]
    _running(canvas, inside, y, t, window)
    _end(canvas, elevation, y, t, window)


def _sections(canvas: Canvas, elevation: Elevation, t: float, window: Span) -> None:
    if elevation.problem.arrangement.kind in STACKED:
        return
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


def _orders(canvas: Canvas, shown: Sequence[Hung], y: float, t: float) -> None:
    for hung in shown:
        middle = hung.x_mm + hung.piece.width_mm / 2
        canvas.text(middle, y, str(hung.order), "figure figure--strong", size_mm=t, anchor="middle")


def _gaps(
    canvas: Canvas, row: Sequence[Hung], line: float, turned: bool, t: float, window: Span
) -> None:
    marks = sorted(
        {edge for hung in row for edge in hung.block_mm} | {end for h in row for end in h.stretch}
    )
    marks = [mark for mark in marks if window[0] <= mark <= window[1]]
    used = [within(*span, window) for span in sorted({hung.stretch for hung in row})]
    canvas.strokes([(part[0], line, part[1], line) for part in used if part], "dimension")
    canvas.strokes([(m, line - 0.25 * t, m, line + 0.25 * t) for m in marks], "dimension-end")
    for left, right in gap_spans(row):
        if part := within(left, right, window):
            middle = (part[0] + part[1]) / 2
            x, up = (middle + 0.35 * t, 0.35 * t) if turned else (middle, 0.3 * t)
            anchor, words = "start" if turned else "middle", str(right - left)
            canvas.text(x, line + up, words, "figure", size_mm=t, anchor=anchor, turned=turned)


def gap_spans(row: Iterable[Hung]) -> list[Span]:
    """Return every gap of a row once, from its left to its right end."""
    spans = set()
    for hung in row:
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


def _heights(canvas: Canvas, shown: Sequence[Hung], y: float, t: float) -> None:
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
