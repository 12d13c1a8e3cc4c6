"""Keep a hang as it was, as far as what has changed allows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from layouts.blocks import Block
from layouts.geometry import Stretch
from layouts.problem import Problem


def _placements(problem: Problem) -> list[dict[str, Any]]:
    return list((problem.previous or {}).get("placements", []))


def follow(problem: Problem) -> Problem:
    """Read the pieces in the order of the previous answer, so that what need not move stays."""
    if not problem.previous or problem.arrangement.order:
        return problem
    walls = {wall.id: n for n, wall in enumerate(problem.walls)}
    before = {
        row["id"]: (walls.get(row["wall"], len(walls)), row.get("row", 0), row["x_mm"])
        for row in problem.previous.get("placements", [])
    }
    last = (len(walls), 0, 0)
    return replace(
        problem, pieces=tuple(sorted(problem.pieces, key=lambda p: before.get(p.id, last)))
    )


def in_old_order(problem: Problem, blocks: Sequence[Block]) -> list[Block]:
    """Return the blocks with their pieces from left to right as they hung."""
    before = {row["id"]: row["x_mm"] for row in _placements(problem)}
    return [
        block.ordered(sorted(block.pieces, key=lambda piece: before.get(piece.id, 0)))
        for block in blocks
    ]


def in_old_runs(
    problem: Problem, blocks: Sequence[Block], runs: Sequence[Stretch]
) -> list[list[list[int]]] | None:
    """Return every block in the run where it hung, in its old order; None if one has no place."""
    before = {
        row["id"]: (row["wall"], row.get("row", 0), row["x_mm"]) for row in _placements(problem)
    }
    rows: list[list[tuple[int, int]]] = [[] for _ in runs]
    for number, block in enumerate(blocks):
        wall, level, x_mm = before.get(block.pieces[0].id, ("", 0, 0))
        home = next(
            (
                r
                for r, run in enumerate(runs)
                if (run.wall.id, run.row) == (wall, level) and run.from_mm <= x_mm < run.to_mm
            ),
            None,
        )
        if home is None:
            return None
        rows[home].append((x_mm, number))
    return [[[number] for _, number in sorted(row)] for row in rows]


def on_old_walls(problem: Problem) -> Problem:
    """Return the problem with every piece that hung bound to its old wall, if it still exists."""
    walls = {wall.id for wall in problem.walls}
    before = {row["id"]: row["wall"] for row in _placements(problem) if row["wall"] in walls}
    pieces = tuple(
        replace(piece, wall=piece.wall or before.get(piece.id)) for piece in problem.pieces
    )
    return replace(problem, pieces=pieces)
