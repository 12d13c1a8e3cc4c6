"""Every way in which a block may lie in a run: in one cell of light and load, or across borders.

Slots number the places along all runs in the visitor's order: cell c is slot 2c, the border behind
it slot 2c + 1.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement, permutations

from layouts.blocks import Block, unbroken
from layouts.geometry import Cell, Stretch
from layouts.problem import Piece, Problem

MOST_ORDERED = 3


@dataclass(frozen=True)
class Demands:
    """What the model is to keep; each may be left out to find which of them clash."""

    light: bool = True
    load: bool = True
    load_per_metre: bool = True
    order: bool = True
    fixed_wall: bool = True
    height: bool = True
    dose: bool = True


EVERY_DEMAND = Demands()


@dataclass(frozen=True)
class Crossing:
    """Where in a block a border falls: from `low` to `high`, each in mm and in gaps of the run."""

    border: int
    low_mm: int
    low_gaps: int
    high_mm: int
    high_gaps: int


@dataclass(frozen=True)
class Option:
    """One way for a block to lie, from its first slot to its last, its pieces in this order."""

    block: int
    run: int
    first: int
    last: int
    order: tuple[int, ...]
    crossings: tuple[Crossing, ...] = ()


def fits(piece: Piece, cell: Cell, stretch: Stretch, demands: Demands) -> bool:
    """Tell whether a piece may hang in this cell."""
    if demands.light and piece.max_lux is not None and cell.lux > piece.max_lux:
        return False
    if demands.dose and piece.max_lux_hours is not None and cell.lux_hours > piece.max_lux_hours:
        return False
    if demands.load and piece.mass_g > cell.max_g:
        return False
    if demands.fixed_wall and piece.id in stretch.barred:
        return False
    return not (demands.height and piece.id in stretch.too_high)


def block_fits(block: Block, cell: Cell, stretch: Stretch, demands: Demands) -> bool:
    """Tell whether all pieces of a block may hang in this cell."""
    return all(fits(piece, cell, stretch, demands) for piece in block.pieces)


def options_of(
    problem: Problem,
    blocks: Sequence[Block],
    runs: Sequence[Stretch],
    cells: Sequence[Cell],
    demands: Demands,
    *,
    most_gap_mm: int,
    lenient: bool,
) -> Iterator[Option]:
    """Yield all options. A lenient list may hold some that no order of a block's pieces allows."""
    by_run = [[c for c, cell in enumerate(cells) if cell.run == r] for r in range(len(runs))]
    keep_order = problem.arrangement.order is not None
    for i, block in enumerate(blocks):
        for r, run in enumerate(runs):
            if block.width_mm > run.length_mm:
                continue
            bears = {
                c: [fits(piece, cells[c], run, demands) for piece in block.pieces]
                for c in by_run[r]
            }
            given = tuple(range(block.count))
            for c in by_run[r]:
                if all(bears[c]):
                    yield Option(i, r, 2 * c, 2 * c, given)
            if len(by_run[r]) > 1 and any(any(row) for row in bears.values()):
                yield from _across(
                    i, block, r, by_run[r], cells, bears, most_gap_mm, keep_order, lenient
                )


def _across(
    i: int,
    block: Block,
    r: int,
    here: Sequence[int],
    cells: Sequence[Cell],
    bears: dict[int, list[bool]],
    most_gap_mm: int,
    keep_order: bool,
    lenient: bool,
) -> Iterator[Option]:
    reach = block.width_mm + (block.count - 1) * most_gap_mm
    for first in here[:-1]:
        for last in range(first, here[-1]):
            if cells[last].to_mm - cells[first].to_mm >= reach:
                break
            seen: set[tuple[Crossing, ...]] = set()
            for order in _orders(block, keep_order):
                for crossings in _crossings(block, order, first, last, bears):
                    if crossings not in seen:
                        seen.add(crossings)
                        yield Option(i, r, 2 * first + 1, 2 * last + 1, order, crossings)
            if lenient and block.count > MOST_ORDERED and not keep_order:
                sides = [bears[first][k] or bears[last + 1][k] for k in range(block.count)]
                if all(sides) and first == last:
                    free = Crossing(first, 0, 0, block.width_mm, block.count - 1)
                    given = tuple(range(block.count))
                    yield Option(i, r, 2 * first + 1, 2 * first + 1, given, (free,))


def _orders(block: Block, keep_order: bool) -> Iterator[tuple[int, ...]]:
    given = tuple(range(block.count))
    if keep_order or block.count == 1:
        yield given
    elif block.count <= MOST_ORDERED:
        yield from (order for order in permutations(given) if unbroken(block, order))
    else:
        yield given
        yield given[::-1]


def _crossings(
    block: Block, order: tuple[int, ...], first: int, last: int, bears: dict[int, list[bool]]
) -> Iterator[tuple[Crossing, ...]]:
    """Yield where the borders first..last may fall so that each piece bears every cell it touches.

    Parts of a block count from its left: part 2k + 1 is the box of its k-th piece, the even parts
    are what lies before, between and behind boxes (labels, gaps).
    """
    parts = _parts(block, order)
    borders = range(first, last + 1)
    wide = [
        n
        for n, (low, _, high, _) in enumerate(parts)
        if n % 2 or 0 < n < len(parts) - 1 or high > low
    ]
    for chosen in combinations_with_replacement(wide, len(borders)):
        if all(
            bears[c][piece]
            for k, piece in enumerate(order)
            for c in range(
                first + sum(part <= 2 * k for part in chosen),
                first + sum(part <= 2 * k + 1 for part in chosen) + 1,
            )
        ):
            yield tuple(
                Crossing(border, *parts[part]) for border, part in zip(borders, chosen, strict=True)
            )


def _parts(block: Block, order: tuple[int, ...]) -> list[tuple[int, int, int, int]]:
    parts = []
    at = begin = 0
    for k, n in enumerate(order):
        piece = block.pieces[n]
        left = at + piece.lead_mm
        right = left + piece.width_mm
        parts.append((begin, max(0, k - 1), left, k))
        parts.append((left, k, right, k))
        begin, at = right, at + piece.block_mm
    parts.append((begin, len(order) - 1, at, len(order) - 1))
    return parts
