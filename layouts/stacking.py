"""Rows one above the other: how high a stack of rows is, and where each row's line runs.

A row's line is what its pieces align about. The row reaches up and down from it as far as any of
its pieces with their labels. Rows without pieces on a wall take no place there.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from layouts.blocks import Block
from layouts.geometry import Stretch, reach_mm, rule_on
from layouts.problem import Arrangement, Piece, Wall

Line = tuple[str, int]
"""A wall and a row on it, counted from the top."""


def stack_mm(rule: Arrangement, rows: Iterable[Sequence[Piece]]) -> int:
    """Return the height of rows with the gaps between them; empty rows count for nothing."""
    reaches = [_row_reach_mm(rule, row) for row in rows if row]
    return sum(up + down for up, down in reaches) + rule.row_gap_mm * max(0, len(reaches) - 1)


def _row_reach_mm(rule: Arrangement, row: Sequence[Piece]) -> tuple[int, int]:
    reaches = [reach_mm(piece, rule) for piece in row]
    return max(up for up, _ in reaches), max(down for _, down in reaches)


def lines_mm(
    rule: Arrangement, rows: Mapping[Line, Sequence[Piece]], walls: Mapping[str, Wall]
) -> dict[Line, int]:
    """Return the height of each row's line: the stack of each wall is centred on its datum."""
    lines: dict[Line, int] = {}
    for wall in dict.fromkeys(wall for wall, _ in rows):
        stack = [(n, row) for (name, n), row in sorted(rows.items()) if name == wall and row]
        datum = rule_on(walls[wall], rule).datum_mm
        top = datum + -(-stack_mm(rule, [row for _, row in stack]) // 2)
        for n, row in stack:
            up, down = _row_reach_mm(rule, row)
            lines[wall, n] = top - up
            top -= up + down + rule.row_gap_mm
    return lines


def rows_of(
    runs: Sequence[Stretch], blocks: Sequence[Block], sequences: Sequence[Sequence[Sequence[int]]]
) -> dict[Line, list[Piece]]:
    """Return the pieces of each row of each wall."""
    rows: dict[Line, list[Piece]] = {}
    for run, groups in zip(runs, sequences, strict=True):
        here = [piece for group in groups for i in group for piece in blocks[i].pieces]
        rows.setdefault((run.wall.id, run.row), []).extend(here)
    return rows
