"""A version as people read it: wall by wall, line by line."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from exhibit_core.hangs.models import Hang, HangVersion
from exhibit_core.web.units import kilograms
from layouts.along import Hung
from layouts.drawing import Caption, Elevation
from layouts.drawing.wall import fixing_words
from layouts.geometry import lux_between
from layouts.hooks import people_needed
from layouts.problem import Problem
from layouts.solution import Solution


@dataclass(frozen=True)
class Line:
    """One piece on its wall; what is not known is None or empty. Lengths in mm."""

    hung: Hung
    number: str
    title: str
    size: str
    size_source: str
    weight: str
    people: int
    hazard: str
    section: str
    lux: int
    max_lux: int | None
    picture: int | None
    object_pk: int | None
    hang_point_known: bool
    kept: bool = False

    @property
    def row(self) -> int:
        """Return the row, counted from 1 at the top."""
        return self.hung.row + 1

    @property
    def hooks(self) -> str:
        return " / ".join(str(x) for x in self.hung.hooks_mm)


@dataclass(frozen=True)
class WallSheet:
    """A wall, how it is drawn, its lines, and in words how even it came out."""

    number: int
    elevation: Elevation
    lines: tuple[Line, ...]
    evenness: str

    @property
    def name(self) -> str:
        return self.elevation.wall.id

    @property
    def in_rows(self) -> bool:
        """True where pieces hang in several rows, so that the row must be said."""
        return self.elevation.problem.arrangement.kind == Hang.Kind.ROWS

    @property
    def datum_mm(self) -> int:
        """Return the height that the wall is hung about."""
        own = self.elevation.wall.datum_mm
        return self.elevation.problem.arrangement.datum_mm if own is None else own

    @property
    def kept(self) -> list[str]:
        """Return the names of what places are kept for."""
        return [line.number for line in self.lines if line.kept]

    @property
    def fixings(self) -> list[str]:
        """Say the stated working loads, stretch by stretch."""
        return [
            f"{fixing_words(fixing)} from {fixing.from_mm} to {fixing.to_mm} mm"
            for fixing in self.elevation.wall.fixings
            if fixing_words(fixing)
        ]


Address = Callable[[dict[str, Any]], str]
Link = Callable[[int, int], str]


def _nowhere(caption: dict[str, Any]) -> str:
    return ""


def wall_sheets(
    version: HangVersion, *, picture: Address = _nowhere, link: Link | None = None
) -> list[WallSheet]:
    """Return every wall of a version with what hangs on it.

    `picture` gives a picture's address from a caption, `link` where a piece leads from its wall's
    number and its own place in the order.
    """
    problem = Problem.from_dict(version.problem)
    solution = Solution.from_dict(version.solution)
    captions = version.captions.get("pieces", {})
    sections = version.captions.get("sections", {})
    found = []
    for number, wall in enumerate(problem.walls, 1):
        elevation = Elevation.of(problem, solution, wall, sections=sections)
        drawn = {
            hung.piece.id: Caption(
                number=hung.piece.id,
                title=_of(captions, hung)["title"],
                picture=picture(_of(captions, hung)),
                link=link(number, hung.order) if link else "",
            )
            for hung in elevation.hung
        }
        elevation = Elevation(problem, wall, elevation.hung, elevation.stretches, drawn, sections)
        lines = tuple(_line(elevation, hung, _of(captions, hung)) for hung in elevation.hung)
        found.append(
            WallSheet(number, elevation, lines, evenness(elevation.hung, problem.arrangement.kind))
        )
    return found


def _of(captions: dict[str, Any], hung: Hung) -> dict[str, Any]:
    return {"title": "", **captions.get(hung.piece.id, {})}


def _line(elevation: Elevation, hung: Hung, caption: dict[str, Any]) -> Line:
    piece = hung.piece
    weighed = piece.mass_g > 0
    sides = [side for side in (piece.height_mm, piece.width_mm, piece.depth_mm) if side]
    return Line(
        hung=hung,
        number=piece.id,
        title=caption["title"],
        size=" × ".join(str(side) for side in sides),
        size_source=caption.get("size_source", ""),
        weight=kilograms(piece.mass_g) if weighed else "",
        people=people_needed(
            width_mm=piece.width_mm,
            height_mm=piece.height_mm,
            depth_mm=piece.depth_mm,
            mass_g=piece.mass_g if weighed else None,
        ),
        hazard=", ".join(filter(None, [*caption.get("hazards", []), caption.get("hazard_note")])),
        section=elevation.sections.get(piece.section or "", ""),
        lux=lux_between(elevation.wall, hung.x_mm, hung.right_mm),
        max_lux=piece.max_lux,
        picture=caption.get("picture"),
        object_pk=caption.get("object"),
        hang_point_known=caption.get("hang_point_known", True),
        kept=piece.reserve,
    )


def evenness(hung: Iterable[Hung], kind: str = Hang.Kind.EVEN) -> str:
    """Say the gaps of a wall in words, row by row where it has several."""
    pieces = list(hung)
    if not pieces:
        return "Nothing hangs here."
    if kind == Hang.Kind.CLUSTER:
        return _of_groups(pieces)
    rows = sorted({one.row for one in pieces})
    if len(rows) == 1:
        return f"{_of_row(pieces)}."
    said = (f"row {row + 1}: {_of_row([h for h in pieces if h.row == row])}" for row in rows)
    return f"{'; '.join(said)}.".capitalize()


def _of_row(row: list[Hung]) -> str:
    starts, stops = {one.stretch[0] for one in row}, {one.stretch[1] for one in row}
    inner = [one.after_mm for one in row if one.block_mm[1] + one.after_mm not in stops]
    outer = [one.before_mm for one in row if one.block_mm[0] - one.before_mm in starts]
    outer += [one.after_mm for one in row if one.block_mm[1] + one.after_mm in stops]
    if not inner:
        return f"Ends {_range(outer)}"
    if _range(inner) == _range(outer):
        return f"Gaps {_range(inner)}, ends the same"
    return f"Gaps {_range(inner)}, ends {_range(outer)}"


def _of_groups(pieces: list[Hung]) -> str:
    """Say how wide tight groups are, and where their middles hang."""
    said = []
    for stretch in sorted({one.stretch for one in pieces}):
        here = [one for one in pieces if one.stretch == stretch]
        left, right = min(h.block_mm[0] for h in here), max(h.block_mm[1] for h in here)
        low, high = min(h.y_mm for h in here), max(h.top_mm for h in here)
        said.append(f"{right - left} × {high - low} mm from {left} mm along, {low} mm high")
    return f"{len(said)} group{'s' if len(said) > 1 else ''}: {'; '.join(said)}."


def _range(values: list[int]) -> str:
    low, high = min(values), max(values)
    return f"{low} mm" if low == high else f"{low} to {high} mm"
