"""What the verifier knows of a floor: solids and walls in plain geometry, and the rule set."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import hypot

from layouts.floor import plain
from layouts.floor.plain import Solid, Vec
from layouts.floor.problem import Door, Floor, Piece
from layouts.floor.report import FloorReport
from layouts.floor.rules import RuleSet


@dataclass(frozen=True)
class Fault:
    """One thing that a report says wrongly, in a sentence."""

    rule: str
    things: tuple[str, ...]
    sentence: str


@dataclass(frozen=True)
class Frame:
    """Where a piece stands: its centre, the ways to its right and to its back."""

    centre: Vec
    right: Vec
    back: Vec


@dataclass(frozen=True)
class Facts:
    """A floor with its pieces' footprints as far as they stand in a walker's way, and its walls."""

    floor: Floor
    rules: RuleSet
    solids: dict[str, Solid]
    walls: dict[str, Solid]

    @classmethod
    def of(cls, floor: Floor, rules: RuleSet) -> Facts:
        high = rules.value("headroom_mm")
        solids = {
            piece.id: plain.solid_of(floor, piece)
            for piece in floor.pieces
            if piece.bottom_mm < high and (piece.wall is not None or piece.x_mm is not None)
        }
        count = len(floor.outline)
        walls = {f"wall {n}": Solid(f"wall {n}", floor.ends_of(n)) for n in range(1, count + 1)}
        return cls(floor, rules, solids, walls)

    @property
    def all(self) -> list[Solid]:
        return [*self.solids.values(), *self.walls.values()]

    @property
    def route_mm(self) -> int:
        return self.floor.width_mm or self.rules.value("route_mm")

    def frame(self, piece: Piece) -> Frame:
        """Return a piece's frame from the corners of its box."""
        box = plain.solid_of(self.floor, _as_box(piece)).points
        middle = tuple(sum(p[k] for p in box) / 4 for k in (0, 1))
        a, b, c = (box[3], box[2], box[0]) if piece.wall is not None else (box[0], box[1], box[3])
        right, back = _unit(a, b), _unit(a, c)
        return Frame((middle[0], middle[1]), right, back)

    def jambs(self, door: Door) -> tuple[Vec, Vec, Vec]:
        """Return a door's left and right end as seen from inside, and the way into the room."""
        a, b = self.floor.ends_of(door.wall)
        along = _unit(a, b)
        left, right = (
            (a[0] + along[0] * far, a[1] + along[1] * far)
            for far in (door.along_mm, door.along_mm + door.width_mm)
        )
        return left, right, (along[1], -along[0])


def told(report: FloorReport, rule: str) -> set[tuple[str, ...]]:
    """Return the things of all findings of a rule."""
    return {finding.things for finding in report.findings if finding.rule == rule}


def _as_box(piece: Piece) -> Piece:
    return replace(piece, shape="box")


def _unit(a: Iterable[float], b: Iterable[float]) -> Vec:
    (ax, ay), (bx, by) = a, b
    long = hypot(bx - ax, by - ay)
    return (bx - ax) / long, (by - ay) / long
