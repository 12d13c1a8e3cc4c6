"""The elevation on paper, true to scale, and as a file."""

from dataclasses import dataclass, replace
from functools import partial

from django.utils.safestring import SafeString, mark_safe

from exhibit_core.hangs.models import HangVersion
from exhibit_core.hangs.schedule import WallSheet, wall_sheets
from exhibit_core.hangs.sheets.paper import MEDIUM, pdf_of, picture_address
from exhibit_core.web.errors import RefusedError
from layouts.drawing import (
    SCALES,
    Paper,
    Plan,
    Window,
    draw,
    extent,
    paper_plan,
    paper_view,
)


@dataclass(frozen=True)
class Sheet:
    """One page: a stretch of a wall at a scale, numbered among all pages."""

    wall: WallSheet
    scale: int
    paper: Paper
    window: Window
    number: int
    svg: SafeString

    @property
    def metre_mm(self) -> float:
        """Return how long a metre of wall is on this paper."""
        return 1000 / self.scale


def elevation_pdf(version: HangVersion, scale: int | None = None) -> bytes:
    """Return every wall at 1:scale, or at the largest scale that needs few sheets.

    Raises RefusedError when the scale is not offered or a wall is too high for any paper at it.
    """
    if scale is not None and scale not in SCALES:
        offered = ", ".join(f"1:{one}" for one in SCALES)
        raise RefusedError(f"Elevations are drawn at {offered}; 1:{scale} is not one of them.")
    sheets: list[Sheet] = []
    for wall in wall_sheets(version, picture=partial(picture_address, MEDIUM)):
        sheets += _sheets(wall, _plan(wall, scale), first=len(sheets) + 1)
    papers = {sheet.paper.name: sheet.paper for sheet in sheets}
    context = {"sheets": sheets, "papers": papers.values(), "count": len(sheets)}
    return pdf_of("hangs/sheets/elevation.html", version, context)


def elevation_svg(version: HangVersion, wall_number: int, scale: int = 20) -> str:
    """Return one whole wall as an SVG file whose printed size is true to scale."""
    walls = {wall.number: wall for wall in wall_sheets(version)}
    if wall_number not in walls:
        raise RefusedError(f"This version has no wall {wall_number}.")
    return _drawn(walls[wall_number], scale)


def _plan(wall: WallSheet, scale: int | None) -> Plan:
    try:
        return paper_plan(wall.elevation, scale=scale)
    except ValueError as error:
        raise RefusedError(f"{wall.name}: {error}") from error


def _sheets(wall: WallSheet, plan: Plan, *, first: int) -> list[Sheet]:
    last = first + len(plan.windows) - 1
    found = []
    for number, window in enumerate(plan.windows, first):
        words = {
            "left_words": f"wall goes on: sheet {number - 1}" if number > first else "",
            "right_words": f"wall goes on: sheet {number + 1}" if number < last else "",
        }
        svg = mark_safe(_drawn(wall, plan.scale, window, **words))  # noqa: S308
        found.append(Sheet(wall, plan.scale, plan.paper, window, number, svg))
    return found


def _drawn(wall: WallSheet, scale: int, window: Window | None = None, **words: str) -> str:
    view = paper_view(scale, window=(window.from_mm, window.to_mm) if window else None)
    _, _, width, height = extent(wall.elevation, view)
    name = f"wall-{wall.number}-{window.number if window else 0}"
    return draw(
        wall.elevation,
        replace(view, name=name, width=f"{width / scale}mm", height=f"{height / scale}mm", **words),
    )
