"""Measure how even, symmetrical and calm a hang is. All lengths in mm."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence

from layouts.geometry import Stretch, band_mm, bottom_mm, box_mm
from layouts.nearness import near_pairs
from layouts.previous import moves_of
from layouts.problem import Piece, Problem
from layouts.solution import Measures, Placement


def measure(problem: Problem, runs: Sequence[Stretch], placements: Sequence[Placement]) -> Measures:
    """Return the measures of a hang; see `Measures` for what each means."""
    pieces = {piece.id: piece for piece in problem.pieces}
    shared: list[int] = []
    mirror = offset = within = 0
    if problem.arrangement.kind == "cluster":
        return _measure_groups(problem, runs, placements)
    for run in runs:
        here = blocks_in(run, placements, pieces)
        gaps = run_gaps(problem, run, here)
        within = max(within, max(gaps, default=0) - min(gaps, default=0))
        shared += gaps
        widths = [piece.block_mm for _, piece in here]
        mirror += sum(abs(a - b) for a, b in zip(widths, reversed(widths), strict=True)) // 2
        offset = max(offset, _balance(run, here))
    return Measures(
        gap_spread_mm=max(shared, default=0) - min(shared, default=0),
        smallest_gap_mm=min(shared, default=0),
        mirror_error_mm=mirror,
        balance_offset_mm=offset,
        **_disturbance(problem, runs, placements),
        relation_cost_mm=relation_cost_mm(problem, placements),
        run_spread_mm=within,
    )


def _measure_groups(
    problem: Problem, runs: Sequence[Stretch], placements: Sequence[Placement]
) -> Measures:
    """Measure tight groups: gaps of every side that faces a piece, labels counted in boxes."""
    from layouts.clustering.measure import gaps

    rule = problem.arrangement
    pieces = {piece.id: piece for piece in problem.pieces}
    low_of = {place.id: place.y_mm for place in placements}
    spans = []
    offset = 0
    for run in runs:
        here = [(x, piece) for x, piece in blocks_in(run, placements, pieces) if piece.x_mm is None]
        lifts = [bottom_mm(piece, rule) - band_mm(piece, rule)[0] for _, piece in here]
        places = [(x, low_of[p.id] - lift) for (x, p), lift in zip(here, lifts, strict=True)]
        if here:
            found = gaps(places, [box_mm(p, rule) for _, p in here], rule.min_gap_mm)
            spans.append((found.least_mm, found.largest_mm))
        offset = max(offset, _balance(run, here))
    least = min((low for low, _ in spans), default=0)
    return Measures(
        gap_spread_mm=max((high for _, high in spans), default=0) - least,
        smallest_gap_mm=least,
        balance_offset_mm=offset,
        **_disturbance(problem, runs, placements),
        relation_cost_mm=relation_cost_mm(problem, placements),
        run_spread_mm=max((high - low for low, high in spans), default=0),
    )


def blocks_in(
    run: Stretch, placements: Iterable[Placement], pieces: dict[str, Piece]
) -> list[tuple[int, Piece]]:
    """Return (left edge of the block, piece) for all pieces of a run, from left to right."""
    rows = [
        (place.x_mm - pieces[place.id].lead_mm, pieces[place.id])
        for place in placements
        if place.wall == run.wall.id
        and place.row == run.row
        and run.from_mm <= place.x_mm < run.to_mm
    ]
    return sorted(rows, key=lambda row: row[0])


def run_gaps(problem: Problem, run: Stretch, here: Sequence[tuple[int, Piece]]) -> list[int]:
    """Return the gaps that share one width: between blocks, and at ends that take a whole one."""
    rule = problem.arrangement
    gaps = [
        right - left - a.block_mm
        for (left, a), (right, b) in itertools.pairwise(here)
        if rule.section_gap_mm is None or a.section == b.section
    ]
    if here and rule.max_gap_mm is None:
        if run.left == 2:
            gaps.append(here[0][0] - run.from_mm)
        if run.right == 2:
            gaps.append(run.to_mm - here[-1][0] - here[-1][1].block_mm)
    return gaps


def _balance(run: Stretch, here: Sequence[tuple[int, Piece]]) -> int:
    areas = [(p.width_mm * p.height_mm, left + p.lead_mm + p.width_mm / 2) for left, p in here]
    total = sum(area for area, _ in areas)
    if not total:
        return 0
    centre = sum(area * x for area, x in areas) / total
    return round(abs(centre - (run.from_mm + run.to_mm) / 2))


def relation_cost_mm(problem: Problem, placements: Iterable[Placement]) -> float:
    """Return weight times distance of centres, summed over what belongs near each other.

    Pieces on different walls count as if the walls stood end to end in the visitor's order.
    """
    before = dict(
        zip(
            (wall.id for wall in problem.walls),
            itertools.accumulate((wall.length_mm for wall in problem.walls), initial=0),
            strict=False,
        )
    )
    widths = {piece.id: piece.width_mm for piece in problem.pieces}
    twice = {p.id: 2 * (before[p.wall] + p.x_mm) + widths[p.id] for p in placements}
    cost = sum(
        weight * abs(twice[a] - twice[b])
        for a, b, weight in near_pairs(problem)
        if a in twice and b in twice
    )
    return cost / 2 if cost % 2 else cost // 2


def _disturbance(
    problem: Problem, runs: Sequence[Stretch], placements: Sequence[Placement]
) -> dict[str, int]:
    if not problem.previous:
        return {}
    moves = moves_of(problem, runs, placements)
    return {
        "moved": len(moves),
        "relocated": sum(move.relocated for move in moves),
        "moved_mm": sum(move.by_mm for move in moves),
    }
