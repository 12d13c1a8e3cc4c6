"""What hung before, and how far a hang departs from it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from layouts.blocks import Block
from layouts.geometry import Stretch
from layouts.problem import Problem
from layouts.solution import Move, Placement

Spot = tuple[str, int, int]
"""A wall, a row on it, and a left edge in mm."""


def spots_of(problem: Problem) -> dict[str, Spot]:
    """Return where each piece of the previous answer hung."""
    rows: list[dict[str, Any]] = list((problem.previous or {}).get("placements", []))
    return {row["id"]: (row["wall"], row.get("row", 0), row["x_mm"]) for row in rows}


def follow(problem: Problem) -> Problem:
    """Read the pieces in the order of the previous answer, so that what need not move stays."""
    if not problem.previous or problem.arrangement.order:
        return problem
    walls = {wall.id: n for n, wall in enumerate(problem.walls)}
    before = {
        name: (walls.get(wall, len(walls)), row, x_mm)
        for name, (wall, row, x_mm) in spots_of(problem).items()
    }
    last = (len(walls), 0, 0)
    return replace(
        problem, pieces=tuple(sorted(problem.pieces, key=lambda p: before.get(p.id, last)))
    )


def in_old_order(problem: Problem, blocks: Sequence[Block]) -> list[Block]:
    """Return the blocks with their pieces from left to right as they hung."""
    before = spots_of(problem)
    first = ("", 0, 0)
    return [
        block.ordered(sorted(block.pieces, key=lambda piece: before.get(piece.id, first)[2]))
        for block in blocks
    ]


def run_at(runs: Sequence[Stretch], spot: Spot | None) -> int | None:
    """Return the number of the run that holds a spot; None where there is none any more."""
    if spot is None:
        return None
    wall, row, x_mm = spot
    for number, run in enumerate(runs):
        if (run.wall.id, run.row) == (wall, row) and run.from_mm <= x_mm < run.to_mm:
            return number
    return None


def homes_of(
    problem: Problem, blocks: Sequence[Block], runs: Sequence[Stretch]
) -> tuple[int | None, ...]:
    """Return the run where each block hung; None for what is new or whose place is no more."""
    before = spots_of(problem)
    return tuple(run_at(runs, before.get(block.pieces[0].id)) for block in blocks)


def along_mm(problem: Problem) -> dict[str, int]:
    """Return where each wall begins if all stand end to end in the visitor's order."""
    begins, at = {}, 0
    for wall in problem.walls:
        begins[wall.id] = at
        at += wall.length_mm
    return begins


def moves_of(
    problem: Problem, runs: Sequence[Stretch], placements: Sequence[Placement]
) -> tuple[Move, ...]:
    """Return what does not hang where it hung, how far it goes, and who left run or order.

    Distances are along the walls, which count as if they stood end to end in the visitor's order;
    from a wall that is no more, none is counted.
    """
    before = spots_of(problem)
    begins = along_mm(problem)
    hung = [p for p in placements if p.id in before]
    distance = {
        p.id: abs(begins[p.wall] + p.x_mm - begins[wall] - x_mm) if wall in begins else 0
        for p in hung
        for wall, _, x_mm in [before[p.id]]
    }
    held = {piece.id for piece in problem.pieces if piece.x_mm is not None}
    relocated: set[str] = set()
    here: dict[int, list[str]] = {}
    for place in sorted(hung, key=lambda p: p.x_mm):
        if place.id in held:
            continue
        home = run_at(runs, before[place.id])
        if home is None or home != run_at(runs, (place.wall, place.row, place.x_mm)):
            relocated.add(place.id)
        else:
            here.setdefault(home, []).append(place.id)
    for row in here.values() if problem.arrangement.kind != "cluster" else ():
        relocated |= _out_of_order(row, before, distance)
    return tuple(
        Move(p.id, wall, x_mm, p.wall, p.x_mm, distance[p.id], p.id in relocated)
        for p in hung
        for wall, _, x_mm in [before[p.id]]
        if (wall, x_mm) != (p.wall, p.x_mm) or p.id in relocated
    )


def _out_of_order(
    row: Sequence[str], before: Mapping[str, Spot], distance: Mapping[str, int]
) -> set[str]:
    """Return the fewest pieces without which a row keeps its old order; of these, the furthest."""
    best: list[tuple[int, int, tuple[str, ...]]] = []
    for n, name in enumerate(row):
        tails = [best[m] for m in range(n) if before[row[m]][2] < before[name][2]]
        count, moved, names = max(tails, key=lambda tail: tail[:2], default=(0, 0, ()))
        best.append((count + 1, moved - distance[name], (*names, name)))
    kept = max(best, key=lambda tail: tail[:2], default=(0, 0, ()))[2]
    return set(row) - set(kept)
