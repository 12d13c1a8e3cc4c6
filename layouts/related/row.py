"""A row of pieces with near pairs, and the groups that stay adjacent in it.

The cost of an order is the sum over near pairs of weight times the distance between centres, in mm.
It is kept doubled, because centres may fall on half millimetres.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]
Near = tuple[int, int, int]


@dataclass(frozen=True)
class Row:
    """Widths in mm, each with one gap added, and the symmetric matrix of weights.

    With the gap added to each width, the distance between the centres of two pieces is half of both
    widths and all of those between, so that a gap needs no further care.
    """

    lengths: Ints
    weights: Ints

    @classmethod
    def of(cls, widths_mm: Sequence[int], near: Sequence[Near], gap_mm: int) -> Row:
        """Read widths and pairs `(a, b, weight)`; several mentions of a pair add up."""
        count = len(widths_mm)
        weights = np.zeros((count, count), dtype=np.int64)
        for a, b, weight in near:
            weights[a, b] += weight
            weights[b, a] += weight
        return cls(np.array([width + gap_mm for width in widths_mm], dtype=np.int64), weights)

    def cost_twice(self, order: Sequence[int]) -> int:
        """Return twice the cost of an order, in mm."""
        at = np.array(order, dtype=np.int64)
        lengths = self.lengths[at]
        centres = 2 * np.cumsum(lengths) - lengths
        apart = np.abs(centres[:, None] - centres[None, :])
        return int((self.weights[np.ix_(at, at)] * apart).sum()) // 2

    def part(self, members: Sequence[int]) -> Row:
        """Return the row of some pieces alone."""
        at = np.array(members, dtype=np.int64)
        return Row(self.lengths[at], self.weights[np.ix_(at, at)])


@dataclass(frozen=True)
class Group:
    """Pieces (by number) and groups that stay adjacent; `fixed` keeps the children in order."""

    children: tuple[int | Group, ...]
    fixed: bool = False

    @property
    def members(self) -> tuple[int, ...]:
        return tuple(i for child in self.children for i in members_of(child))


def members_of(child: int | Group) -> tuple[int, ...]:
    return child.members if isinstance(child, Group) else (child,)


def renumbered(child: Any, numbers: dict[int, int]) -> Any:
    """Return a piece or group with its pieces' numbers looked up."""
    if isinstance(child, Group):
        return Group(tuple(renumbered(c, numbers) for c in child.children), child.fixed)
    return numbers[child]


def grouped(count: int, blocks: Sequence[Sequence[int]], *, in_order: bool = False) -> Group:
    """Return the tree of groups; blocks may nest but not overlap otherwise.

    `in_order` keeps the outermost blocks in the order given. Raises ValueError when blocks overlap,
    name a piece that is not there, or, in order, leave a piece out.
    """
    sets = [frozenset(block) for block in blocks]
    for n, block in enumerate(sets):
        if not block <= set(range(count)):
            raise ValueError(f"Block {n} names a piece that is not there.")
        for m, other in enumerate(sets[:n]):
            if block & other and not (block <= other or other <= block):
                raise ValueError(f"Blocks {m} and {n} overlap but neither holds the other.")
    outer = [b for b in dict.fromkeys(sets) if b and not any(b < other for other in sets)]
    if in_order:
        if left_out := set(range(count)) - set().union(*outer):
            raise ValueError(f"Blocks in order leave out piece {min(left_out)}.")
        return Group(tuple(_nested(block, sets) for block in outer), fixed=True)
    return _nested(frozenset(range(count)), sets)


def _nested(block: frozenset[int], sets: Sequence[frozenset[int]]) -> Group:
    inner = [s for s in set(sets) if s < block and len(s) > 1]
    outer = [s for s in inner if not any(s < other for other in inner)]
    free = block.difference(*outer)
    children: list[tuple[int, int | Group]] = [(i, i) for i in free]
    children += [(min(s), _nested(s, sets)) for s in outer]
    return Group(tuple(child for _, child in sorted(children, key=lambda pair: pair[0])))
