"""Draw what hangs: outline, picture, number, label and hooks of every piece."""

from __future__ import annotations

from layouts.along import Hung, Span
from layouts.drawing.canvas import Canvas, text_width
from layouts.drawing.view import Caption, Elevation, View


def draw_pieces(canvas: Canvas, elevation: Elevation, view: View, window: Span) -> None:
    shown = [h for h in elevation.hung if h.block_mm[0] < window[1] and h.block_mm[1] > window[0]]
    inside = any(_crowded(elevation, hung, view.text_mm) for hung in elevation.hung)
    turned = any(_too_long(elevation, hung, view.text_mm) for hung in elevation.hung)
    tag = "a" if view.links else "g"
    with canvas.group(class_="elevation__pieces"):
        for hung in shown:
            with canvas.group(tag, **_handle(elevation, hung, view, first=hung is shown[0])):
                if view.links:
                    _reach(canvas, hung)
                _piece(canvas, elevation, hung, view)
                caption = elevation.caption(hung)
                if inside:
                    _number_inside(canvas, hung, caption, view.text_mm)
                else:
                    _number(canvas, hung, caption.number, view.text_mm, turned)
            if hung.piece.reserve:
                # Beside the link, whose name says the same at greater length.
                with canvas.group(aria_hidden="true"):
                    _kept(canvas, hung, view.text_mm, 1.3 * view.text_mm if inside else 0)


def _too_long(elevation: Elevation, hung: Hung, t: float) -> bool:
    left, right = hung.block_mm
    if _label_on_left(hung):
        room = hung.right_mm - left + hung.before_mm
    else:
        room = right + hung.after_mm - hung.x_mm
    return text_width(elevation.caption(hung).number, t) > room - 0.6 * t


def _crowded(elevation: Elevation, hung: Hung, t: float) -> bool:
    """Tell whether a piece in rows or groups has something close above it."""
    left, right = hung.block_mm
    return any(
        other.block_mm[0] < right
        and other.block_mm[1] > left
        and hung.top_mm <= other.top_mm
        and other.low_mm < hung.top_mm + 1.8 * t
        for other in elevation.hung
        if other is not hung
    )


def _label_on_left(hung: Hung) -> bool:
    return hung.piece.label is not None and hung.piece.label.side == "left"


def _handle(elevation: Elevation, hung: Hung, view: View, *, first: bool) -> dict[str, object]:
    if not view.links:
        return {"class_": "hung"}
    caption = elevation.caption(hung)
    return {
        "class_": "hung",
        "id": f"{view.name}-{hung.order}",
        "href": caption.link,
        "tabindex": "0" if first else "-1",
        "data-roving": "piece",
        "data-piece": caption.number,
        "data-order": hung.order,
        "aria-label": words_for(hung, caption.number, caption.title),
    }


def words_for(hung: Hung, number: str, title: str) -> str:
    """Say in one sentence what a piece is and where it hangs."""
    named = f"{number} {title}".strip()
    if hung.piece.reserve:
        return (
            f"{hung.order}: place kept {number}, {hung.piece.height_mm} × {hung.piece.width_mm} "
            f"mm, left edge at {hung.x_mm} mm, lower edge {hung.y_mm} mm from the floor"
        )
    hooks = " and ".join(str(x) for x in hung.hooks_mm)
    return (
        f"{hung.order}: {named}, {hung.piece.height_mm} × {hung.piece.width_mm} mm, left edge at "
        f"{hung.x_mm} mm, hook at {hooks} mm, {hung.hook_mm} mm from the floor"
    )


def _reach(canvas: Canvas, hung: Hung) -> None:
    """Widen where a pointer meets the piece, halfway to its neighbours."""
    left, right = hung.block_mm
    left, right = left - hung.before_mm // 2, right + hung.after_mm // 2
    canvas.rect(left, hung.y_mm, right - left, hung.piece.height_mm, "piece-reach")


def _piece(canvas: Canvas, elevation: Elevation, hung: Hung, view: View) -> None:
    piece, t, caption = hung.piece, view.text_mm, elevation.caption(hung)
    canvas.rect(hung.x_mm, hung.y_mm, piece.width_mm, piece.height_mm, "piece")
    if caption.picture:
        canvas.image(hung.x_mm, hung.y_mm, piece.width_mm, piece.height_mm, caption.picture)
    dash = f"{0.8 * t:g} {0.4 * t:g}" if piece.reserve else ""
    box = (hung.x_mm, hung.y_mm, piece.width_mm, piece.height_mm)
    canvas.rect(*box, "piece-outline", dash=dash)
    if hung.label_mm:
        _label(canvas, *hung.label_mm)
    if piece.reserve:
        return
    for x in hung.hooks_mm:
        arm = 0.32 * t
        canvas.cross(x, hung.hook_mm, arm, "hook-ground")
        canvas.cross(x, hung.hook_mm, arm, "hook")


def _number(canvas: Canvas, hung: Hung, words: str, t: float, turned: bool) -> None:
    """Write the object number over the piece, on the side where its label leaves room."""
    x, over, anchor = float(hung.x_mm), hung.top_mm + 0.75 * t, "start"
    if turned:
        x += hung.piece.width_mm / 2 + 0.35 * t
    elif _label_on_left(hung):
        x, anchor = float(hung.right_mm), "end"
    canvas.text(x, over, words, "piece-number", size_mm=t, anchor=anchor, turned=turned)


def _number_inside(canvas: Canvas, hung: Hung, caption: Caption, t: float) -> None:
    """Write the number along the lower or left edge; where it has no room, the piece's order."""
    piece, words = hung.piece, caption.number
    long = text_width(words, 1.05 * t) + 0.5 * t
    turned = piece.width_mm < long <= piece.height_mm - 1.4 * t and piece.width_mm > 1.5 * t
    if long > piece.width_mm and not turned:
        words = str(hung.order)
        long = text_width(words, 1.05 * t) + 0.5 * t
    wide, tall = (1.3 * t, long) if turned else (long, 1.3 * t)
    if caption.picture:
        canvas.rect(hung.x_mm, hung.y_mm, wide, tall, "ground")
    x, y = hung.x_mm + 0.3 * t, hung.y_mm + 0.35 * t
    if turned:
        x, y = hung.x_mm + t, hung.y_mm + 0.3 * t
    canvas.text(x, y, words, "piece-number", size_mm=t, turned=turned)


def _kept(canvas: Canvas, hung: Hung, t: float, above: float) -> None:
    """Say across the middle of what is free above a number that a place is kept."""
    piece, words = hung.piece, "place kept"
    wide, tall = piece.width_mm, piece.height_mm - above
    long = text_width(words, t) + 0.4 * t
    turned = long > wide and tall > wide
    size = t * min(1.0, (tall if turned else wide) / long, (wide if turned else tall) / t)
    x, y = hung.x_mm + wide / 2, hung.y_mm + above + tall / 2
    dx, dy = (0.35 * size, 0.0) if turned else (0.0, -0.35 * size)
    kind = "figure figure--quiet"
    canvas.text(x + dx, y + dy, words, kind, size_mm=size, anchor="middle", turned=turned)


def _label(canvas: Canvas, x: int, y: int, width: int, height: int) -> None:
    canvas.rect(x, y, width, height, "label-block")
    lines = [(0.78, 0.62), (0.56, 0.84), (0.38, 0.84), (0.2, 0.5)]
    canvas.strokes(
        [
            (x + 0.1 * width, y + up * height, x + long * width, y + up * height)
            for up, long in lines
        ],
        "label-text",
    )
