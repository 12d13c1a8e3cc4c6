"""The pieces of a wall in the order in which one passes them, with the room between them."""

from __future__ import annotations

from dataclasses import dataclass, replace

from layouts.geometry import band_mm, cutting
from layouts.hooks import hook_offsets_mm
from layouts.problem import Arrangement, Piece, Problem, Wall
from layouts.solution import Placement, Solution

Span = tuple[int, int]


@dataclass(frozen=True)
class Hung:
    """A piece in its place; `order` counts from 1 at the wall's left end, all lengths in mm.

    In several rows it counts row by row from the top. The block is the piece with its label.
    `before_mm` and `after_mm` are the free widths to the neighbour's block or, where none is
    nearer, to the end of the clear stretch of wall; in a tight group to what hangs level with it.
    """

    order: int
    piece: Piece
    x_mm: int
    y_mm: int
    hook_mm: int
    row: int
    stretch: Span
    before_mm: int
    after_mm: int

    @property
    def right_mm(self) -> int:
        return self.x_mm + self.piece.width_mm

    @property
    def top_mm(self) -> int:
        return self.y_mm + self.piece.height_mm

    @property
    def low_mm(self) -> int:
        """Return the lowest point of the piece and its label."""
        return min(self.y_mm, self.label_mm[1]) if self.label_mm else self.y_mm

    @property
    def block_mm(self) -> Span:
        left_mm = self.x_mm - self.piece.lead_mm
        return left_mm, left_mm + self.piece.block_mm

    @property
    def hooks_mm(self) -> tuple[int, ...]:
        """Return the running distance of each hook from the wall's left end."""
        offsets = hook_offsets_mm(width_mm=self.piece.width_mm, mass_g=self.piece.mass_g)
        return tuple(self.x_mm + offset for offset in offsets)

    @property
    def label_mm(self) -> tuple[int, int, int, int] | None:
        """Return the label's left edge, bottom edge, width and height."""
        label = self.piece.label
        if label is None:
            return None
        if label.side == "below":
            return (
                self.x_mm,
                self.y_mm - label.gap_mm - label.height_mm,
                label.width_mm,
                label.height_mm,
            )
        left_mm = self.block_mm[0] if label.side == "left" else self.right_mm + label.gap_mm
        return left_mm, self.y_mm, label.width_mm, label.height_mm


def clear_stretches(problem: Problem, wall: Wall) -> tuple[Span, ...]:
    """Return the stretches of a wall that nothing interrupts at the height of the hang."""
    spans: list[Span] = []
    at_mm = 0
    for area in sorted(cutting(problem, wall), key=lambda area: area.x_mm):
        if area.x_mm > at_mm:
            spans.append((at_mm, area.x_mm))
        at_mm = max(at_mm, area.x_mm + area.width_mm)
    if at_mm < wall.length_mm:
        spans.append((at_mm, wall.length_mm))
    return tuple(spans)


def along(problem: Problem, solution: Solution, wall: Wall) -> tuple[Hung, ...]:
    """Return the pieces that hang on a wall, from its left end as one faces it."""
    pieces = {piece.id: piece for piece in problem.pieces}
    stretches = clear_stretches(problem, wall)
    placed = sorted(
        (place for place in solution.placements if place.wall == wall.id),
        key=lambda place: (place.row, place.x_mm, place.y_mm, place.id),
    )
    rule = problem.arrangement
    blocks = [_block(pieces[place.id], place, rule) for place in placed]
    return tuple(
        _hung(order, pieces[place.id], place, stretches, blocks, rule)
        for order, place in enumerate(placed, 1)
    )


def _block(piece: Piece, place: Placement, rule: Arrangement) -> tuple[int, int, Span]:
    """Return a block's left and right edge, and what must be level with it to be a neighbour."""
    left_mm = place.x_mm - piece.lead_mm
    level = (place.row, place.row + 1)
    if rule.kind == "cluster":
        level = band_mm(replace(piece, y_mm=place.y_mm), rule)
    return left_mm, left_mm + piece.block_mm, level


def _hung(
    order: int,
    piece: Piece,
    place: Placement,
    stretches: tuple[Span, ...],
    blocks: list[tuple[int, int, Span]],
    rule: Arrangement,
) -> Hung:
    left_mm, right_mm, (low, high) = _block(piece, place, rule)
    stretch = next(
        (s for s in stretches if s[0] <= left_mm and right_mm <= s[1]), (left_mm, right_mm)
    )
    others = [
        block
        for n, block in enumerate(blocks, 1)
        if n != order and block[2][0] < high and block[2][1] > low
    ]
    start_mm = max([stretch[0], *(right for _, right, _ in others if right <= left_mm)])
    end_mm = min([stretch[1], *(left for left, _, _ in others if left >= right_mm)])
    return Hung(
        order=order,
        piece=piece,
        x_mm=place.x_mm,
        y_mm=place.y_mm,
        hook_mm=place.hook_mm,
        row=place.row,
        stretch=stretch,
        before_mm=left_mm - start_mm,
        after_mm=end_mm - right_mm,
    )
