"""Does it fit? Metres asked against metres there, in all and for each light limit."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from layouts.geometry import clear_runs, lux_between
from layouts.problem import Piece, Problem


@dataclass(frozen=True)
class Fit:
    """What pieces ask, labels and smallest gaps counted, and the clear wall there; in mm."""

    limit_lux: int | None
    pieces: int
    asked_mm: int
    there_mm: int

    @property
    def short_mm(self) -> int:
        return max(0, self.asked_mm - self.there_mm)

    @property
    def spare_mm(self) -> int:
        return max(0, self.there_mm - self.asked_mm)


def fit(problem: Problem) -> list[Fit]:
    """Return the sum for all pieces, then for each light limit, the strictest first.

    A necessary sum, not a sufficient one: what it calls too long cannot hang, what fits in
    metres may still fail where single stretches are too short.
    """
    if not problem.pieces:
        return []
    limits = sorted({piece.max_lux for piece in problem.pieces if piece.max_lux is not None})
    rows = [_fit(problem, None, list(problem.pieces))]
    for limit in limits:
        bound = [p for p in problem.pieces if p.max_lux is not None and p.max_lux <= limit]
        rows.append(_fit(problem, limit, bound))
    return rows


def _fit(problem: Problem, limit: int | None, pieces: list[Piece]) -> Fit:
    gap = problem.arrangement.min_gap_mm
    asked = sum(piece.block_mm + gap for piece in pieces)
    return Fit(limit, len(pieces), asked, _clear_mm(problem, limit))


def _clear_mm(problem: Problem, limit: int | None) -> int:
    """Return the clear wall as dim as the limit; a fixed piece's own place counts as clear."""
    placed = sum(p.block_mm for p in problem.pieces if p.x_mm is not None and _may(p, limit))
    total = placed
    for run in clear_runs(problem):
        marks = {run.from_mm, run.to_mm}
        ends = (edge for zone in run.wall.zones for edge in (zone.from_mm, zone.to_mm))
        marks |= {edge for edge in ends if run.from_mm < edge < run.to_mm}
        for start, stop in pairwise(sorted(marks)):
            if limit is None or lux_between(run.wall, start, stop) <= limit:
                total += stop - start
    return total


def _may(piece: Piece, limit: int | None) -> bool:
    return limit is None or (piece.max_lux is not None and piece.max_lux <= limit)
