"""Keep a hang as it was, as far as what has changed allows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from layouts.blocks import Block
from layouts.geometry import Stretch
from layouts.problem import Problem
from layouts.solution import Move, Placement


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


def homes_of(
    problem: Problem, blocks: Sequence[Block], runs: Sequence[Stretch]
) -> tuple[int | None, ...]:
    """Return the run where each block hung; None for what is new or whose place is no more."""
    before = {
        row["id"]: (row["wall"], row.get("row", 0), row["x_mm"]) for row in _placements(problem)
    }
    return tuple(
        next(
            (
                r
                for r, run in enumerate(runs)
                if (run.wall.id, run.row) == (wall, level) and run.from_mm <= x_mm < run.to_mm
            ),
            None,
        )
        for wall, level, x_mm in (before.get(b.pieces[0].id, ("", 0, 0)) for b in blocks)
    )


def in_old_runs(
    problem: Problem, blocks: Sequence[Block], runs: Sequence[Stretch]
) -> list[list[list[int]]] | None:
    """Return every block in the run where it hung, in its old order; None if one has no place."""
    x_mm = {row["id"]: row["x_mm"] for row in _placements(problem)}
    rows: list[list[tuple[int, int]]] = [[] for _ in runs]
    for number, home in enumerate(homes_of(problem, blocks, runs)):
        if home is None:
            return None
        rows[home].append((x_mm[blocks[number].pieces[0].id], number))
    return [[[number] for _, number in sorted(row)] for row in rows]


def moves_of(problem: Problem, placements: Sequence[Placement]) -> tuple[Move, ...]:
    """Return what does not hang where it hung, and how far it goes along its wall."""
    before = {row["id"]: (row["wall"], row["x_mm"]) for row in _placements(problem)}
    return tuple(
        Move(p.id, *before[p.id], p.wall, p.x_mm)
        for p in placements
        if p.id in before and before[p.id] != (p.wall, p.x_mm)
    )
