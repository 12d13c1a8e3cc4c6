"""Join what hangs together into blocks that the search places as one."""

from __future__ import annotations

from dataclasses import dataclass

from layouts.problem import Piece, Problem


@dataclass(frozen=True)
class Block:
    """Pieces that follow each other without anything between; the strictest limit of any counts."""

    pieces: tuple[Piece, ...]

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
    """Return the blocks in the order of the input, or in the order asked for.

    Groups that share a piece become one block; pieces fixed in place stand alone.
    """
    pieces = {piece.id: piece for piece in problem.pieces}
    names = list(problem.arrangement.order or pieces)
    leader = {name: name for name in names}

    def root(name: str) -> str:
        while leader[name] != name:
            name = leader[name]
        return name

    for group in problem.together:
        for name in group[1:]:
            leader[root(name)] = root(group[0])
    members: dict[str, list[str]] = {}
    chained = [name for group in problem.together for name in group]
    order = names if problem.arrangement.order else list(dict.fromkeys([*chained, *names]))
    for name in order:
        members.setdefault(root(name), []).append(name)
    firsts = sorted(members.values(), key=lambda group: min(names.index(name) for name in group))
    return [Block(tuple(pieces[name] for name in group)) for group in firsts]
