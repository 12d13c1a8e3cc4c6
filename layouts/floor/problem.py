"""A room, its doors and what stands in it. Lengths in whole mm, masses in g, angles in degrees.

x runs to the right and y up the plan. The outline runs clockwise, so that each wall runs from left
to right as one faces it from inside, as walls do elsewhere.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from typing import Any

ROLES = ("entrance", "exit", "both", "door", "escape")
HINGES = ("left", "right")
OPENS = ("in", "out", "slides", "open")
KINDS = ("showcase", "plinth", "seat", "barrier", "screen", "column", "wall_piece", "suspended")
SHAPES = ("box", "round")
SIDES = ("front", "back", "left", "right")
ARRANGEMENTS = ("keep", "axis", "grid", "free")

Point = tuple[int, int]


@dataclass(frozen=True)
class Door:
    """An opening in a wall: `wall` counts from 1, `along_mm` to its left end seen from inside.

    `width_mm` is its clear width. A leaf that opens in sweeps a quarter circle with radius
    `leaf_mm` (the clear width if not given); `hinge` is the side as seen from inside.
    """

    id: str
    wall: int
    along_mm: int
    width_mm: int
    role: str = "door"
    hinge: str = "left"
    opens: str = "open"
    leaf_mm: int | None = None


@dataclass(frozen=True)
class Piece:
    """A thing in the room as a box or a round.

    Its place is the centre of its footprint, None where an arrangement is to find it. Unturned,
    its front faces down the plan; `turn_deg` turns it anticlockwise. A piece on a wall has `wall`
    (from 1) and `along_mm` to its left edge instead. `bottom_mm` is the height of its underside:
    0 stands on the floor. `overhang_mm` is how far its body stands out beyond its foot.
    `bearing_mm2` is the area of feet that take the load, else the whole footprint does.
    `view_mm` overrides the viewing distance; `sides` are the faces one looks at.
    """

    id: str
    width_mm: int
    depth_mm: int
    height_mm: int
    kind: str = "plinth"
    shape: str = "box"
    x_mm: int | None = None
    y_mm: int | None = None
    turn_deg: int = 0
    wall: int | None = None
    along_mm: int | None = None
    bottom_mm: int = 0
    overhang_mm: int = 0
    section: str | None = None
    mass_g: int = 0
    bearing_mm2: int | None = None
    view_mm: int | None = None
    sides: tuple[str, ...] = ()
    glass: bool = False
    fixed: bool = False

    @property
    def top_mm(self) -> int:
        return self.bottom_mm + self.height_mm


@dataclass(frozen=True)
class Section:
    """A part of the story, in the order of the route; without an area its pieces make it."""

    id: str
    area: tuple[Point, ...] = ()


@dataclass(frozen=True)
class Arrangement:
    """What may be moved, and how.

    `axis` sets the pieces evenly from `start` to `end`; `grid` sets them in `rows` within the box
    from `start` to `end`, rows going to and fro; `free` spreads them with sections in order.
    `keep_mm` is the gap sought at least (the rule set's route width if None), `work` the number
    of moves tried.
    """

    kind: str = "keep"
    start: Point | None = None
    end: Point | None = None
    rows: int = 1
    keep_mm: int | None = None
    work: int = 2000


@dataclass(frozen=True)
class Floor:
    """A room with doors, pieces, sections and the rule set to check against.

    `limits` overrides single limits of the rule set; `floor_n_per_m2` is the building's own
    figure. `width_mm` asks for a route wider than the rule set's.
    """

    outline: tuple[Point, ...]
    doors: tuple[Door, ...] = ()
    pieces: tuple[Piece, ...] = ()
    sections: tuple[Section, ...] = ()
    name: str = "room"
    rules: str = "us_ada_2010"
    limits: dict[str, int] = field(default_factory=dict)
    floor_n_per_m2: int | None = None
    width_mm: int | None = None
    arrangement: Arrangement = Arrangement()

    @classmethod
    def from_dict(cls, data: Any) -> Floor:
        """Read the JSON contract; raises InvalidFloor naming every field that is wrong."""
        from layouts.floor.reading import read_floor

        return read_floor(data)

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON contract: lists for tuples, nothing else changed."""
        data: dict[str, Any] = _plain(asdict(self))
        return data

    def piece(self, key: str) -> Piece:
        return next(piece for piece in self.pieces if piece.id == key)

    def ends_of(self, wall: int) -> tuple[Point, Point]:
        """Return a wall's left and right end as one faces it; walls count from 1."""
        return self.outline[wall - 1], self.outline[wall % len(self.outline)]


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    return value


class InvalidFloor(ValueError):  # noqa: N818
    """The input cannot be read; `faults` are sentences naming field, value and cure."""

    def __init__(self, faults: list[str]) -> None:
        super().__init__(" ".join(faults))
        self.faults = faults
