"""Join what hangs together into blocks that the search places as one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from layouts.problem import Piece, Problem


@dataclass(frozen=True)
class Block:
    """Pieces that follow each other without anything between; the strictest limit of any counts."""

    pieces: tuple[Piece, ...]
    groups: tuple[tuple[str, ...], ...] = ()

    def ordered(self, pieces: Iterable[Piece]) -> Block:
        """Return the block in another order of its pieces, where that breaks none of its groups."""
        other = Block(tuple(pieces), self.groups)
        return other if unbroken(other, range(other.count)) else self

    @property
    def width_mm(self) -> int:
        return sum(piece.block_mm for piece in self.pieces)

    @property
    def count(self) -> int:
        return len(self.pieces)

    @property
    def max_lux(self) -> int | None:
        limits = [piece.max_lux for piece in self.pieces if piece.max_lux is not None]
        return min(limits, default=None)

    @property
    def heaviest_g(self) -> int:
        return max(piece.mass_g for piece in self.pieces)

    @property
    def mass_g(self) -> int:
        return sum(piece.mass_g for piece in self.pieces)

    @property
    def section(self) -> str | None:
        return self.pieces[0].section

    @property
    def walls(self) -> set[str]:
        return {piece.wall for piece in self.pieces if piece.wall is not None}


def blocks_of(problem: Problem) -> list[Block]:
    """Return the blocks in the order of the input, or in the order asked for; what that leaves out
    has no block.

    Groups that share a piece become one block in which each of them stands side by side; pieces
    fixed in place stand alone.
    """
    pieces = {piece.id: piece for piece in problem.pieces}
    names = list(problem.arrangement.order or pieces)
    place = {name: n for n, name in enumerate(names)}
    found: list[tuple[list[str], tuple[tuple[str, ...], ...]]] = []
    for members, groups in side_by_side(problem):
        if members is None:
            members = list(dict.fromkeys(name for group in groups for name in group))
        if members:
            found.append((members, groups))
    joined = {name for members, _ in found for name in members}
    found += [([name], ()) for name in names if name not in joined]
    found.sort(key=lambda row: min(place[name] for name in row[0]))
    blocks = [Block(tuple(pieces[name] for name in members), groups) for members, groups in found]
    if problem.arrangement.kind == "rise":
        return [b.ordered(sorted(b.pieces, key=lambda p: p.height_mm)) for b in blocks]
    return blocks


def side_by_side(
    problem: Problem,
) -> Iterator[tuple[list[str] | None, tuple[tuple[str, ...], ...]]]:
    """Yield, for groups that share pieces, an order that sets each side by side; None: no order."""
    clusters: list[list[tuple[str, ...]]] = []
    for group in problem.together:
        touching = [c for c in clusters if any(set(group) & set(other) for other in c)]
        clusters = [c for c in clusters if c not in touching]
        clusters.append([*(other for c in touching for other in c), group])
    order = problem.arrangement.order
    for groups in clusters:
        names = list(dict.fromkeys(name for group in groups for name in group))
        if order:
            yield [name for name in order if name in names], tuple(groups)
            continue
        yield _contiguous(names, groups), tuple(groups)


def _contiguous(names: list[str], groups: Sequence[tuple[str, ...]]) -> list[str] | None:
    """Return the first order, the input's first, in which every group is unbroken."""

    def grow(row: list[str]) -> list[str] | None:
        if len(row) == len(names):
            return row
        open_groups = [g for g in groups if 0 < len(set(g) & set(row)) < len(set(g))]
        for name in names:
            if name not in row and all(name in group for group in open_groups):
                found = grow([*row, name])
                if found is not None:
                    return found
        return None

    return grow([])


def unbroken(block: Block, order: Sequence[int]) -> bool:
    """Tell whether an order of a block's pieces keeps each of its groups side by side."""
    row = [block.pieces[n].id for n in order]
    return all(
        max(row.index(name) for name in group) - min(row.index(name) for name in group)
        == len(set(group)) - 1
        for group in block.groups
    )
