"""Hang everything in the only run there is: the gap follows in closed form."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from layouts.blocks import Block
from layouts.geometry import Cell, Stretch
from layouts.nearness import seeks_nearness
from layouts.problem import Piece, Problem
from layouts.search.order import arrange_row, section_ranks
from layouts.spacing import equal_gap_mm


def one_run(
    problem: Problem, blocks: Sequence[Block], run: Stretch, cell: Cell
) -> list[list[int]] | None:
    """Return groups of blocks in the only run in order, or None if it cannot hold them all."""
    from layouts.search.options import EVERY_DEMAND, block_fits

    rule = problem.arrangement
    if not all(block_fits(block, cell, run, EVERY_DEMAND) for block in blocks):
        return None
    slots = [list(range(len(blocks)))]
    groups = arrange_row(problem, blocks, slots, section_ranks(problem, blocks, slots))
    changes = sum(1 for a, b in _pairs(groups, blocks) if a.section != b.section)
    if seeks_nearness(problem):
        changes = len({block.section for block in blocks}) - 1
    widths = [piece.block_mm for block in blocks for piece in block.pieces]
    if rule.section_gap_mm is not None:
        free = run.length_mm - sum(widths) - changes * rule.section_gap_mm
        units = run.left + run.right + 2 * (len(widths) - 1 - changes)
        gap = 2 * free // units if units else free
    else:
        gap = equal_gap_mm(
            length_mm=run.length_mm, widths_mm=widths, left=run.left, right=run.right
        )
    if gap < rule.min_gap_mm:
        return None
    return groups


def _pairs(groups: list[list[int]], blocks: Sequence[Block]) -> list[tuple[Piece, Piece]]:
    row = [piece for group in groups for i in group for piece in blocks[i].pieces]
    return list(itertools.pairwise(row))
