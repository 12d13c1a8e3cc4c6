"""What a hang is asked to do. Lengths in whole mm, masses in g, light in lx.

x runs from a wall's left end as one faces it, y from the floor.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from typing import Any

KINDS = ("even", "by_section", "mirrored", "rise", "centre_high", "related", "rows", "cluster")
STACKED = ("rows", "cluster")
"""Kinds that set the height of each piece; the others hang each by the datum."""
ALIGNMENTS = ("centreline", "top", "bottom", "hanging_line")
ENDS = ("same", "half", "free")
SIDES = ("left", "right", "below")


@dataclass(frozen=True)
class Blocked:
    """A part of a wall where nothing may hang."""

    x_mm: int
    y_mm: int
    width_mm: int
    height_mm: int
    what: str = ""


@dataclass(frozen=True)
class Zone:
    """A stretch of wall and how bright it is at most; a wall without zones sets no limit.

    `hours` of that light over the whole exhibition make its dose; None: no dose is known.
    """

    from_mm: int
    to_mm: int
    lux: int
    hours: int | None = None


@dataclass(frozen=True)
class Fixing:
    """A stretch of wall and what it carries; None means no limit."""

    from_mm: int
    to_mm: int
    max_kg_per_object: float | None = None
    max_kg_per_m: float | None = None


@dataclass(frozen=True)
class Wall:
    """A wall, in the visitor's order; `datum_mm` replaces the arrangement's on this wall."""

    id: str
    length_mm: int
    height_mm: int
    blocked: tuple[Blocked, ...] = ()
    zones: tuple[Zone, ...] = ()
    fixings: tuple[Fixing, ...] = ()
    datum_mm: int | None = None


@dataclass(frozen=True)
class Label:
    """A label that moves with its piece.

    Beside a piece it stands with its lower edge level with the piece's, and its width counts in
    the row; below a piece it starts at the piece's left edge.
    """

    width_mm: int
    height_mm: int
    side: str = "right"
    gap_mm: int = 40


@dataclass(frozen=True)
class Piece:
    """An object as a box with demands; `hang_point_mm` is from the top edge to the hook.

    It hangs on `wall`, or on any of `walls`; without either on any wall that its section may.
    `max_lux_hours` is the dose of light that it bears over the whole exhibition. A `reserve` is a
    place kept for an object still to come, hung as any piece.
    """

    id: str
    width_mm: int
    height_mm: int
    depth_mm: int = 0
    mass_g: int = 0
    section: str | None = None
    max_lux: int | None = None
    hang_point_mm: int = 0
    label: Label | None = None
    wall: str | None = None
    x_mm: int | None = None
    y_mm: int | None = None
    walls: tuple[str, ...] = ()
    max_lux_hours: int | None = None
    reserve: bool = False

    @property
    def lead_mm(self) -> int:
        """Return how far the piece's left edge stands from its block's left edge."""
        if self.label and self.label.side == "left":
            return self.label.width_mm + self.label.gap_mm
        return 0

    @property
    def block_mm(self) -> int:
        """Return the width that the piece takes in a row, its label counted."""
        if self.label is None:
            return self.width_mm
        if self.label.side == "below":
            return max(self.width_mm, self.label.width_mm)
        return self.width_mm + self.label.gap_mm + self.label.width_mm


@dataclass(frozen=True)
class Apart:
    """Pieces whose facing edges, on one wall, must be so far from each other."""

    pieces: tuple[str, ...]
    at_least_mm: int


@dataclass(frozen=True)
class Near:
    """Pieces that belong near each other, each two of them; `weight` says how much it matters."""

    pieces: tuple[str, ...]
    weight: int = 1


@dataclass(frozen=True)
class Arrangement:
    """The rule that all runs follow.

    No piece's lower edge hangs below `lowest_edge_mm`, and no upper edge above `highest_edge_mm`;
    rows and tight groups stay between with their labels.
    """

    kind: str = "even"
    align: str = "centreline"
    datum_mm: int = 1500
    rows: int = 1
    row_gap_mm: int = 200
    min_gap_mm: int = 0
    max_gap_mm: int | None = None
    ends: str = "same"
    section_gap_mm: int | None = None
    sections: tuple[str, ...] | None = None
    order: tuple[str, ...] | None = None
    lowest_edge_mm: int | None = None
    highest_edge_mm: int | None = None


@dataclass(frozen=True)
class Problem:
    """Walls, pieces, demands and the arrangement wanted.

    A section named in `section_walls` hangs on these walls only.
    """

    walls: tuple[Wall, ...]
    pieces: tuple[Piece, ...]
    arrangement: Arrangement = Arrangement()
    together: tuple[tuple[str, ...], ...] = ()
    apart: tuple[Apart, ...] = ()
    previous: dict[str, Any] | None = None
    moves_at_most: int | None = None
    near: tuple[Near, ...] = ()
    section_walls: dict[str, tuple[str, ...]] = field(default_factory=dict)

    @classmethod
    def from_dict(cls, data: Any) -> Problem:
        """Read the JSON contract; raises InvalidProblem naming every field that is wrong."""
        from layouts.reading import read_problem

        return read_problem(data)

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON contract: lists for tuples; what is new and empty is left out."""
        data: dict[str, Any] = _plain(asdict(self))
        for rows, names in (
            ([data], ("moves_at_most", "near", "section_walls")),
            (data["walls"], ("datum_mm",)),
            ([zone for wall in data["walls"] for zone in wall["zones"]], ("hours",)),
            (data["pieces"], ("walls", "max_lux_hours", "reserve")),
            ([data["arrangement"]], ("lowest_edge_mm", "highest_edge_mm")),
        ):
            for row in rows:
                _leave_out(row, names)
        return data

    def piece(self, key: str) -> Piece:
        return next(piece for piece in self.pieces if piece.id == key)

    def wall(self, key: str) -> Wall:
        return next(wall for wall in self.walls if wall.id == key)


def _leave_out(row: dict[str, Any], names: tuple[str, ...]) -> None:
    for name in names:
        if row[name] is None or row[name] is False or row[name] in ([], {}):
            del row[name]


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    return value


class InvalidProblem(ValueError):  # noqa: N818
    """The input cannot be read; `faults` are sentences naming field, value and cure."""

    def __init__(self, faults: list[str]) -> None:
        super().__init__(" ".join(faults))
        self.faults = faults
