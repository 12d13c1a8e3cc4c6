"""Does it fit? Wall asked against wall there: in length, or for tight groups in area."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from layouts.geometry import box_mm, clear_runs, group_height_mm, lux_between, room_mm
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


@dataclass(frozen=True)
class AreaFit:
    """What tight groups ask, each piece with its label and one gap, and the clear wall; in m²."""

    pieces: int
    asked_m2: float
    there_m2: float

    @property
    def short_m2(self) -> float:
        return max(0.0, self.asked_m2 - self.there_m2)

    @property
    def spare_m2(self) -> float:
        return max(0.0, self.there_m2 - self.asked_m2)


def area_fit(problem: Problem) -> AreaFit | None:
    """Return the sum for tight groups; None where nothing hangs.

    There counts as far as a group may reach up and down from the datum on each stretch. A
    necessary sum, as in `fit`; pieces fixed in place are left out on both sides.
    """
    rule = problem.arrangement
    loose = [piece for piece in problem.pieces if piece.x_mm is None]
    if not loose:
        return None
    gap, highest = rule.min_gap_mm, group_height_mm(problem)
    boxes = [box_mm(piece, rule) for piece in loose]
    asked = sum((width + gap) * (height + gap) for width, height in boxes)
    there = sum(
        (run.length_mm + gap) * (min(room_mm(run.wall, rule), highest) + gap)
        for run in clear_runs(problem)
    )
    return AreaFit(len(loose), asked / 1e6, there / 1e6)


def fit(problem: Problem) -> list[Fit]:
    """Return the sum for all pieces, then for each light limit, the strictest first.

    Every row of a hang in rows has the clear wall's length. A necessary sum, not a sufficient
    one: what it calls too long cannot hang, what fits in metres may still fail where single
    stretches are too short.
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
