"""How large gaps can be at most, whatever hangs where."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from layouts.blocks import Block
from layouts.geometry import Stretch
from layouts.problem import Problem


def largest_gap_mm(problem: Problem, blocks: Sequence[Block], runs: Sequence[Stretch]) -> int:
    """Return a least gap that no hang can exceed: all free length shared among all gaps.

    Which runs stay empty is free: a run counts while its length exceeds the gap it would add.
    """
    rule = problem.arrangement
    width = sum(block.width_mm for block in blocks)
    inner = 2 * sum(block.count for block in blocks)
    if rule.section_gap_mm is not None:
        inner -= 2 * (len({block.section for block in blocks}) - 1)
    ends = [4 if rule.ends == "free" else run.left + run.right for run in runs]
    gap = Fraction(0)
    while True:
        chosen = [
            (run.length_mm, end - 2)
            for run, end in zip(runs, ends, strict=True)
            if 2 * run.length_mm > gap * (end - 2)
        ]
        units = inner + sum(end for _, end in chosen)
        free = 2 * (sum(length for length, _ in chosen) - width)
        better = Fraction(free, max(1, units))
        if better <= gap:
            break
        gap = better
    limit = int(gap) if gap else (0 if sum(run.length_mm for run in runs) >= width else -1)
    if rule.ends == "free":
        limit = max(limit, rule.min_gap_mm)
    if rule.section_gap_mm is not None:
        limit = min(limit, rule.section_gap_mm)
    return limit if rule.max_gap_mm is None else min(limit, rule.max_gap_mm)


def needed_from_mm(
    problem: Problem, blocks: Sequence[Block], runs: Sequence[Stretch]
) -> tuple[int, ...]:
    """Return for each run the least gap from which on it cannot stay empty."""
    return tuple(
        1 + largest_gap_mm(problem, blocks, [*runs[:r], *runs[r + 1 :]]) for r in range(len(runs))
    )
