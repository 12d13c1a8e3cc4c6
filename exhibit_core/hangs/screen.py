"""Walls as they are drawn on screen: how large, and where the drawing leads."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from django.utils.safestring import SafeString, mark_safe

from exhibit_core.hangs.schedule import WallSheet
from layouts.drawing import View, draw, extent, overview

# Pixels a metre of wall, and what the reader is offered for it.
ZOOMS = ((50, "far"), (100, "middle"), (180, "near"), (300, "close"))
TEXT_PX = 12
JUMP_MM = 5_000
# Shorter hangs are seen whole in their elevations.
LONG_MM = 24_000


@dataclass(frozen=True)
class Drawn:
    """A wall with its drawing, and places to jump to along it."""

    sheet: WallSheet
    svg: SafeString
    jumps: list[tuple[int, int]]


def zoom_of(text: str) -> int:
    """Return the zoom asked for, or the usual one."""
    known = {str(zoom): zoom for zoom, _ in ZOOMS}
    return known.get(text, 100)


def drawn(sheets: Iterable[WallSheet], zoom: int) -> list[Drawn]:
    return [_drawn(sheet, zoom) for sheet in sheets]


def whole(sheets: Sequence[WallSheet], page: str = "") -> str:
    """Return all walls side by side, linked to where `page` shows each; empty for a short hang."""
    if sum(sheet.elevation.wall.length_mm for sheet in sheets) < LONG_MM:
        return ""
    links = [f"{page}#w{sheet.number}" for sheet in sheets]
    return mark_safe(overview([sheet.elevation for sheet in sheets], links))  # noqa: S308


def _drawn(sheet: WallSheet, zoom: int) -> Drawn:
    name = f"w{sheet.number}"
    view = View(text_mm=TEXT_PX * 1000 / zoom, name=name, links=True)
    _, _, width, height = extent(sheet.elevation, view)
    view = replace(
        view, width=str(round(width * zoom / 1000)), height=str(round(height * zoom / 1000))
    )
    # The drawing escapes every word it is given.
    return Drawn(
        sheet,
        mark_safe(draw(sheet.elevation, view)),  # noqa: S308
        _jumps(sheet),
    )


def _jumps(sheet: WallSheet) -> list[tuple[int, int]]:
    """Return (metres, order of the first piece from there) about every five metres."""
    found: list[tuple[int, int]] = []
    for start in range(0, sheet.elevation.wall.length_mm, JUMP_MM):
        first = next((line.hung for line in sheet.lines if line.hung.x_mm >= start), None)
        if first and (not found or found[-1][1] != first.order):
            found.append((start // 1000, first.order))
    return found if len(found) > 1 else []
