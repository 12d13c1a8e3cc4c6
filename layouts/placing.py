"""Turn blocks in order into places on the wall: equal gaps, heights, hooks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from layouts.blocks import Block
from layouts.geometry import Stretch, bottom_mm, rule_on
from layouts.problem import STACKED, Arrangement, Piece, Problem, Wall
from layouts.solution import Placement, Run
from layouts.spacing import spread
from layouts.stacking import lines_mm, rows_of


def gaps_and_starts(
    problem: Problem,
    blocks: Sequence[Block],
    runs: list[Stretch],
    sequences: list[list[list[int]]],
) -> tuple[list[int], list[int]]:
    """Return each run's gap, rounded down, and where its first block begins on its wall."""
    gaps, starts = [], []
    for run, groups in zip(runs, sequences, strict=True):
        row = _row(problem, blocks, runs, sequences, run, groups)
        gaps.append(min(row[1][1:-1], default=0))
        starts.append(run.from_mm + (row[0][0] if row[0] else 0))
    return gaps, starts


def _row(
    problem: Problem,
    blocks: Sequence[Block],
    runs: list[Stretch],
    sequences: list[list[list[int]]],
    run: Stretch,
    groups: list[list[int]],
) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Return the starts of a run's blocks from its beginning, and gaps with both margins."""
    rule = problem.arrangement
    row = [piece for group in groups for i in group for piece in blocks[i].pieces]
    if not row:
        return (), ()
    most = rule.max_gap_mm
    if rule.ends == "free":
        common = min(
            _own_gap(problem, blocks, other, chosen)
            for other, chosen in zip(runs, sequences, strict=True)
            if chosen
        )
        most = common if most is None else min(most, common)
    placed = spread(
        length_mm=run.length_mm,
        widths_mm=[piece.block_mm for piece in row],
        left=run.left,
        right=run.right,
        most_mm=most,
        fixed_mm=_section_gaps(problem, row),
    )
    return placed.starts_mm, placed.gaps_mm


def _own_gap(
    problem: Problem, blocks: Sequence[Block], run: Stretch, groups: list[list[int]]
) -> int:
    """Return the gap that a run with free ends would have alone, its margins counted as gaps."""
    row = [piece for group in groups for i in group for piece in blocks[i].pieces]
    fixed = _section_gaps(problem, row)
    units = 2 * (len(row) + 1 - len(fixed))
    free = run.length_mm - sum(p.block_mm for p in row) - sum(fixed.values())
    return max(problem.arrangement.min_gap_mm, 2 * free // units)


def _section_gaps(problem: Problem, row: Sequence[Piece]) -> dict[int, int]:
    width = problem.arrangement.section_gap_mm
    if width is None:
        return {}
    pairs = pairwise(row)
    return {n: width for n, (a, b) in enumerate(pairs) if a.section != b.section}


def place_all(
    problem: Problem,
    blocks: Sequence[Block],
    runs: list[Stretch],
    sequences: list[list[list[int]]],
) -> list[Placement]:
    rule = problem.arrangement
    walls = {wall.id: wall for wall in problem.walls}
    found = [
        _placement(piece, walls[piece.wall], piece.x_mm, rule)
        for piece in problem.pieces
        if piece.x_mm is not None and piece.wall is not None
    ]
    stacked = rule.kind in STACKED
    lines = lines_mm(rule, rows_of(runs, blocks, sequences), walls) if stacked else {}
    for run, groups in zip(runs, sequences, strict=True):
        row = [piece for group in groups for i in group for piece in blocks[i].pieces]
        starts, _ = _row(problem, blocks, runs, sequences, run, groups)
        line = lines.get((run.wall.id, run.row))
        for piece, start in zip(row, starts, strict=True):
            x_mm = run.from_mm + start + piece.lead_mm
            found.append(_placement(piece, run.wall, x_mm, rule, run.row, line))
    order = {wall.id: n for n, wall in enumerate(problem.walls)}
    return sorted(found, key=lambda place: (order[place.wall], place.row, place.x_mm))


def _placement(
    piece: Piece, wall: Wall, x_mm: int, rule: Arrangement, row: int = 0, line: int | None = None
) -> Placement:
    own = rule_on(wall, rule) if line is None else replace(rule, datum_mm=line)
    bottom = bottom_mm(piece, own)
    hook = bottom + piece.height_mm - piece.hang_point_mm
    return Placement(piece.id, wall.id, x_mm, bottom, row, hook)


def runs_of(
    runs: list[Stretch],
    blocks: Sequence[Block],
    sequences: list[list[list[int]]],
    problem: Problem,
) -> list[Run]:
    gaps, _ = gaps_and_starts(problem, blocks, runs, sequences)
    found = []
    for run, groups, gap in zip(runs, sequences, gaps, strict=True):
        row = _row(problem, blocks, runs, sequences, run, groups)[1]
        single = len(row) == 2
        width = None if not groups else (min(row) if single else gap)
        found.append(Run(run.wall.id, run.from_mm, run.to_mm, width, run.row))
    return found
