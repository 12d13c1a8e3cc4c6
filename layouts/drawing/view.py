"""What a drawing is told, and where its bands lie."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from layouts.along import Hung, Span, along, clear_stretches
from layouts.drawing.canvas import text_width
from layouts.drawing.listing import Listing, group_mm, spread_mm
from layouts.problem import Blocked, Problem, Wall
from layouts.solution import Solution

GUTTER = 6.4
ONE_SHEET = 110
"""A wall so many times as long as its text is high goes on one sheet."""


@dataclass(frozen=True)
class Caption:
    """What a drawing says of a piece besides its box; `link` is where its reader goes."""

    number: str
    title: str = ""
    picture: str = ""
    link: str = ""


@dataclass(frozen=True)
class View:
    """How to draw: `text_mm` is the font size in mm of wall, `window` the stretch to draw.

    `left_words` and `right_words` say where the wall goes on beyond the window. `name` makes the
    ids of several drawings on one page differ. With `links`, pieces are links of which one takes
    part in the tab order; without, the drawing is for paper.
    """

    text_mm: float
    name: str = "elevation"
    window: Span | None = None
    links: bool = False
    stylesheet: str = ""
    scale_bar: bool = True
    left_words: str = ""
    right_words: str = ""
    width: str = ""
    height: str = ""


@dataclass(frozen=True)
class Elevation:
    """A wall with what hangs on it, ready to be drawn."""

    problem: Problem
    wall: Wall
    hung: tuple[Hung, ...]
    stretches: tuple[Span, ...]
    captions: Mapping[str, Caption] = field(default_factory=dict)
    sections: Mapping[str, str] = field(default_factory=dict)

    @classmethod
    def of(
        cls,
        problem: Problem,
        solution: Solution,
        wall: Wall,
        *,
        captions: Mapping[str, Caption] | None = None,
        sections: Mapping[str, str] | None = None,
    ) -> Elevation:
        return cls(
            problem,
            wall,
            along(problem, solution, wall),
            clear_stretches(problem, wall),
            captions or {},
            sections or {},
        )

    @property
    def areas(self) -> list[Blocked]:
        """Return the blocked areas from the wall's left end."""
        return sorted(self.wall.blocked, key=lambda area: (area.x_mm, area.y_mm))

    @property
    def datum_mm(self) -> int:
        datum = self.wall.datum_mm
        return self.problem.arrangement.datum_mm if datum is None else datum

    @property
    def rows(self) -> list[tuple[Hung, ...]]:
        """Return what hangs row by row from the top; tight groups have no rows."""
        if self.problem.arrangement.kind == "cluster":
            return []
        numbers = sorted({hung.row for hung in self.hung})
        return [tuple(hung for hung in self.hung if hung.row == n) for n in numbers]

    def caption(self, hung: Hung) -> Caption:
        return self.captions.get(hung.piece.id) or Caption(hung.piece.id)

    def cuts_mm(self) -> list[int]:
        """Return where a sheet may end without tearing a piece, its label or a blocked area."""
        blocks = sorted(hung.block_mm for hung in self.hung)
        areas = [(area.x_mm, area.x_mm + area.width_mm) for area in self.wall.blocked]
        middles = [(a[1] + b[0]) // 2 for a, b in pairwise(blocks)]
        ends = [end for area in areas for end in area]
        return sorted(
            cut
            for cut in {*middles, *ends}
            if not any(left < cut < right for left, right in [*blocks, *areas])
        )


@dataclass(frozen=True)
class Bands:
    """Heights of what stands above and below the wall, and the top of each row of figures by name.

    Of several rows each has its own row of gaps, and a list tells the rest; a tight group has the
    list alone. Where nothing hangs, one row tells where the blocked areas are. All in mm of wall.
    """

    above_mm: float
    below_mm: float
    rows_mm: tuple[Mapping[str, float], ...]
    gap_turned: bool
    listing: Listing | None = None

    @classmethod
    def of(cls, elevation: Elevation, view: View) -> Bands:
        t = view.text_mm
        rows = elevation.rows
        turned = any(
            text_width(str(gap), t) > gap - 0.3 * t
            for hung in elevation.hung
            for gap in (hung.before_mm, hung.after_mm)
            if gap > 0
        )
        heights = _heights(elevation, t, turned=turned)
        found, at = [], -0.5 * t
        for _ in rows if elevation.hung else [()]:
            tops = {}
            for name, tall in heights.items():
                tops[name] = at
                at -= tall
            found.append(tops)
        listing = None
        if len(rows) > 1 or (elevation.hung and not rows):
            numbers = [elevation.caption(hung).number for hung in elevation.hung]
            room = spread_mm(elevation.hung) if rows else group_mm(elevation.hung)
            if elevation.wall.length_mm <= ONE_SHEET * t:
                room = elevation.wall.length_mm
            at -= 0.6 * t
            listing = Listing.of(elevation.hung, numbers, t, room + GUTTER * t, at)
            at -= listing.height_mm
        bar = 2.6 * t if view.scale_bar else 0
        return cls(
            above_mm=3.0 * t if elevation.sections else 1.2 * t,
            below_mm=-at + bar,
            rows_mm=tuple(found),
            gap_turned=turned,
            listing=listing,
        )


def _heights(elevation: Elevation, t: float, *, turned: bool) -> dict[str, float]:
    """Return how much each row of figures takes."""
    longest = text_width(str(elevation.wall.length_mm), t) + 1.2 * t
    if not elevation.hung:
        return {"from left": longest}
    widest_gap = max(max(h.before_mm, h.after_mm) for h in elevation.hung)
    gap_row = text_width(str(widest_gap), t) + 1.5 * t if turned else 2.4 * t
    if len(elevation.rows) > 1:
        return {"gap": gap_row}
    height_row = text_width(str(elevation.wall.height_mm), t) + 0.8 * t
    return {
        "no.": 1.5 * t,
        "gap": gap_row,
        "left edge": longest,
        "hooks": longest,
        "hook height": height_row,
    }


def extent(elevation: Elevation, view: View) -> tuple[float, float, float, float]:
    """Return the drawing's left, bottom, width and height in mm of wall, bands counted."""
    start, end = view.window or (0, elevation.wall.length_mm)
    bands = Bands.of(elevation, view)
    left = start - GUTTER * view.text_mm
    width = end - start + (GUTTER + 1.4) * view.text_mm
    return left, -bands.below_mm, width, bands.below_mm + elevation.wall.height_mm + bands.above_mm
