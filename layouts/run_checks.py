"""Verify runs: their ends are real, every piece hangs in one, margins are right, halves match."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from layouts.problem import Piece, Problem
from layouts.solution import Run, Solution

Said = tuple[str, tuple[str, ...], str]
"""A rule, the pieces that break it, and a sentence."""
Hung = tuple[int, Piece]
"""The left edge of a piece's block, its label counted, and the piece."""


def run_faults(problem: Problem, solution: Solution) -> Iterator[Said]:
    """Yield every fault of the runs of a hang in one or several rows."""
    pieces = {piece.id: piece for piece in problem.pieces}
    rows: dict[tuple[str, int], list[Hung]] = {}
    for place in solution.placements:
        piece = pieces[place.id]
        if piece.x_mm is None:
            rows.setdefault((place.wall, place.row), []).append((place.x_mm - _lead(piece), piece))
    ends = {wall.id: _ends(problem, wall.id) for wall in problem.walls}
    for run in solution.runs:
        lefts, rights = ends[run.wall]
        if run.from_mm not in lefts or run.to_mm not in rights:
            yield "stretch", (), f"{run.wall} has no stretch from {run.from_mm} to {run.to_mm} mm."
            return
        row = sorted(rows.get((run.wall, run.row), ()), key=lambda hung: hung[0])
        rest = [pair for pair in row if not _within(run, pair)]
        rows[run.wall, run.row] = rest
        here = [pair for pair in row if _within(run, pair)]
        if here:
            yield from _margins(problem, run, here, lefts[run.from_mm], rights[run.to_mm])
            yield from _halves(problem, here)
    for (wall, _), left in rows.items():
        for _, piece in left:
            yield "stretch", (piece.id,), f"{piece.id} hangs in no clear stretch of {wall}."


def _lead(piece: Piece) -> int:
    label = piece.label
    return label.width_mm + label.gap_mm if label and label.side == "left" else 0


def _ends(problem: Problem, wall: str) -> tuple[dict[int, bool], dict[int, bool]]:
    """Return where stretches may begin and end, and whether a fixed piece stands there."""
    one = problem.wall(wall)
    lefts, rights = {0: False}, {one.length_mm: False}
    for area in one.blocked:
        lefts[area.x_mm + area.width_mm] = False
        rights[min(area.x_mm, one.length_mm)] = False
    for piece in problem.pieces:
        if piece.x_mm is not None and piece.wall == wall:
            lefts[piece.x_mm - _lead(piece) + piece.block_mm] = True
            rights[min(piece.x_mm - _lead(piece), one.length_mm)] = True
    return lefts, rights


def _within(run: Run, pair: Hung) -> bool:
    left, piece = pair
    return run.from_mm <= left and left + piece.block_mm <= run.to_mm


def _margins(
    problem: Problem, run: Run, row: Sequence[Hung], after_fixed: bool, before_fixed: bool
) -> Iterator[Said]:
    """Margins take their share of the free length, or are alike where gaps are capped or free."""
    rule = problem.arrangement
    left = row[0][0] - run.from_mm
    right = run.to_mm - row[-1][0] - row[-1][1].block_mm
    if rule.ends == "free" or rule.max_gap_mm is not None:
        gaps = [b - a - piece.block_mm for (a, piece), (b, _) in pairwise(row)]
        capped = rule.ends == "free" or not gaps or max(gaps) >= (rule.max_gap_mm or 0)
        if capped and abs(left - right) <= 1:
            return
    own = {"same": 2, "half": 1, "free": 0}[rule.ends]
    shares = [2 if fixed else own for fixed in (after_fixed, before_fixed)]
    turns = 0
    if rule.section_gap_mm is not None:
        turns = sum(a.section != b.section for (_, a), (_, b) in pairwise(row))
    free = run.to_mm - run.from_mm - sum(piece.block_mm for _, piece in row)
    free -= turns * (rule.section_gap_mm or 0)
    halves = 2 * (len(row) - 1 - turns) + sum(shares)
    wanted = [Fraction(free * share, halves) if halves else Fraction(free, 2) for share in shares]
    if any(abs(got - due) > 1 for got, due in zip((left, right), wanted, strict=True)):
        yield (
            "margin",
            tuple(piece.id for _, piece in (row[0], row[-1])),
            f"The margins of wall {run.wall} from {run.from_mm} mm are {left} and {right} mm.",
        )


def _halves(problem: Problem, row: Sequence[Hung]) -> Iterator[Said]:
    """Hold a mirrored run that nothing else orders against sorted neighbours facing each other."""
    rule = problem.arrangement
    names = {piece.id for _, piece in row}
    tied = [*problem.together, *(parted.pieces for parted in problem.apart)]
    if rule.kind != "mirrored" or rule.order or problem.previous:
        return
    if any(names & set(group) for group in tied):
        return
    widths = [piece.block_mm for _, piece in row]
    if _facing(widths) > _least_facing(widths):
        yield "mirror", tuple(names), "A more symmetrical order of a mirrored run exists."


def _facing(widths: Sequence[int]) -> int:
    return sum(abs(a - b) for a, b in zip(widths, reversed(widths), strict=True)) // 2


def _least_facing(widths: Sequence[int]) -> int:
    """Return the least sum of differences: neighbours in width, with each piece tried as middle."""
    row = sorted(widths)
    if len(row) % 2 == 0:
        return sum(b - a for a, b in zip(row[::2], row[1::2], strict=True))
    least = now = sum(b - a for a, b in zip(row[1::2], row[2::2], strict=True))
    for n in range(0, len(row) - 2, 2):
        now += (row[n + 1] - row[n]) - (row[n + 2] - row[n + 1])
        least = min(least, now)
    return least
