"""Draw what hangs: outline, picture, number, label and hooks of every piece."""

from __future__ import annotations

from layouts.along import Hung, Span
from layouts.drawing.canvas import Canvas, text_width
from layouts.drawing.view import Elevation, View


def draw_pieces(canvas: Canvas, elevation: Elevation, view: View, window: Span) -> None:
    shown = [h for h in elevation.hung if h.block_mm[0] < window[1] and h.block_mm[1] > window[0]]
    turned = any(_too_long(elevation, hung, view.text_mm) for hung in elevation.hung)
    tag = "a" if view.links else "g"
    with canvas.group(class_="elevation__pieces"):
        for hung in shown:
            with canvas.group(tag, **_handle(elevation, hung, view, first=hung is shown[0])):
                if view.links:
                    _reach(canvas, hung)
                _piece(canvas, elevation, hung, view, turned)


def _too_long(elevation: Elevation, hung: Hung, t: float) -> bool:
    left, right = hung.block_mm
    if _label_on_left(hung):
        room = hung.right_mm - left + hung.before_mm
    else:
        room = right + hung.after_mm - hung.x_mm
    return text_width(elevation.caption(hung).number, t) > room - 0.6 * t


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


def _piece(canvas: Canvas, elevation: Elevation, hung: Hung, view: View, turned: bool) -> None:
    piece, t, caption = hung.piece, view.text_mm, elevation.caption(hung)
    canvas.rect(hung.x_mm, hung.y_mm, piece.width_mm, piece.height_mm, "piece")
    if caption.picture:
        canvas.image(hung.x_mm, hung.y_mm, piece.width_mm, piece.height_mm, caption.picture)
    canvas.rect(hung.x_mm, hung.y_mm, piece.width_mm, piece.height_mm, "piece-outline")
    if hung.label_mm:
        _label(canvas, *hung.label_mm)
    for x in hung.hooks_mm:
        arm = 0.32 * t
        canvas.cross(x, hung.hook_mm, arm, "hook-ground")
        canvas.cross(x, hung.hook_mm, arm, "hook")
    _number(canvas, hung, caption.number, t, turned)


def _number(canvas: Canvas, hung: Hung, words: str, t: float, turned: bool) -> None:
    """Write the object number over the piece, on the side where its label leaves room."""
    x, over, anchor = float(hung.x_mm), hung.top_mm + 0.75 * t, "start"
    if turned:
        x += hung.piece.width_mm / 2 + 0.35 * t
    elif _label_on_left(hung):
        x, anchor = float(hung.right_mm), "end"
    canvas.text(x, over, words, "piece-number", size_mm=t, anchor=anchor, turned=turned)


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
