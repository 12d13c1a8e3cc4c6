"""Heights, clear runs of wall, and the cells of light and load into which a run falls.

Heights are asked for by an arrangement whose datum is that of the wall: see `rule_on`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from layouts.problem import STACKED, Arrangement, Blocked, Piece, Problem, Wall

NO_LIMIT = 10**12
WHOLE_RUNS = ("mirrored", "centre_high")
HIGHER = 1.3


@dataclass(frozen=True)
class Cell:
    """A part of a run with one light level, one dose and one load limit for single objects."""

    run: int
    from_mm: int
    to_mm: int
    lux: int
    max_g: int
    lux_hours: int = 0


@dataclass(frozen=True)
class Stretch:
    """A clear run: `left` and `right` count half gaps wanted at its ends (2 is a whole gap).

    In a hang of several rows each clear stretch makes a run for each `row`, counted from the top.
    `barred` names the pieces that are to hang on other walls, `too_high` those that would reach
    beyond this wall or the edges allowed.
    """

    wall: Wall
    from_mm: int
    to_mm: int
    left: int
    right: int
    row: int = 0
    barred: frozenset[str] = frozenset()
    too_high: frozenset[str] = frozenset()

    @property
    def length_mm(self) -> int:
        return self.to_mm - self.from_mm


def rule_on(wall: Wall, rule: Arrangement) -> Arrangement:
    """Return the arrangement with the datum that holds on a wall."""
    return rule if wall.datum_mm is None else replace(rule, datum_mm=wall.datum_mm)


def may_hang(problem: Problem, piece: Piece, wall: Wall) -> bool:
    """Tell whether a wall is among those chosen for a piece and its section, if any are."""
    of_section = problem.section_walls.get(piece.section or "", ())
    return (
        piece.wall in (None, wall.id)
        and (not piece.walls or wall.id in piece.walls)
        and (not of_section or wall.id in of_section)
    )


def walls_for(problem: Problem, piece: Piece) -> Sequence[Wall]:
    """Return the walls chosen for a piece and its section, in the visitor's order; else all."""
    if piece.wall is None and not piece.walls and piece.section not in problem.section_walls:
        return problem.walls
    return [wall for wall in problem.walls if may_hang(problem, piece, wall)]


def bottom_mm(piece: Piece, rule: Arrangement) -> int:
    """Return the height of a piece's bottom edge under the arrangement's alignment."""
    if piece.y_mm is not None:
        return piece.y_mm
    if rule.align == "top":
        return rule.datum_mm - piece.height_mm
    if rule.align == "bottom":
        return rule.datum_mm
    if rule.align == "hanging_line":
        return rule.datum_mm + piece.hang_point_mm - piece.height_mm
    return (2 * rule.datum_mm - piece.height_mm) // 2


def band_mm(piece: Piece, rule: Arrangement) -> tuple[int, int]:
    """Return the lowest and the highest point of a piece with its label."""
    bottom = bottom_mm(piece, rule)
    low, high = bottom, bottom + piece.height_mm
    if piece.label and piece.label.side == "below":
        low = bottom - piece.label.gap_mm - piece.label.height_mm
    elif piece.label:
        high = max(high, bottom + piece.label.height_mm)
    return low, high


def reach_mm(piece: Piece, rule: Arrangement) -> tuple[int, int]:
    """Return how far a piece with its label reaches up and down from the line of its row."""
    low, high = band_mm(piece, replace(rule, datum_mm=0))
    return high, -low


def edges_mm(wall: Wall, rule: Arrangement) -> tuple[int, int]:
    """Return the lowest and the highest edge that pieces may have on a wall."""
    highest = wall.height_mm if rule.highest_edge_mm is None else rule.highest_edge_mm
    return max(0, rule.lowest_edge_mm or 0), min(wall.height_mm, highest)


def room_mm(wall: Wall, rule: Arrangement) -> int:
    """Return how high a stack may be that is centred on the wall's datum."""
    datum = rule.datum_mm if wall.datum_mm is None else wall.datum_mm
    lowest, highest = edges_mm(wall, rule)
    return 2 * max(0, min(datum - lowest, highest - datum))


def beyond_mm(piece: Piece, wall: Wall, rule: Arrangement) -> tuple[int, int]:
    """Return how far a piece on a wall reaches below and above what is allowed; 0 or less: not.

    `rule` has the wall's datum. The piece's own edges keep to those asked for, its label only to
    the wall.
    """
    bottom = bottom_mm(piece, rule)
    low, high = band_mm(piece, rule)
    lowest, highest = edges_mm(wall, rule)
    above = max(high - wall.height_mm, bottom + piece.height_mm - highest)
    return max(0 - low, lowest - bottom), above


def too_high(piece: Piece, wall: Wall, rule: Arrangement) -> bool:
    """Tell whether a piece cannot hang on a wall for its height, not even alone."""
    if rule.kind in STACKED and piece.y_mm is None:
        return sum(reach_mm(piece, rule)) > room_mm(wall, rule)
    return max(beyond_mm(piece, wall, rule)) > 0


def too_high_on(problem: Problem) -> dict[str, frozenset[str]]:
    """Return for each wall the pieces that cannot hang on it for their height."""
    alike: dict[tuple[int, int | None], frozenset[str]] = {}
    for wall in problem.walls:
        if (wall.height_mm, wall.datum_mm) not in alike:
            rule = rule_on(wall, problem.arrangement)
            names = (piece.id for piece in problem.pieces if too_high(piece, wall, rule))
            alike[wall.height_mm, wall.datum_mm] = frozenset(names)
    return {wall.id: alike[wall.height_mm, wall.datum_mm] for wall in problem.walls}


def _barred(problem: Problem, wall: Wall) -> frozenset[str]:
    """Return the pieces that are to hang on other walls."""
    return frozenset(
        piece.id
        for piece in problem.pieces
        if piece.wall or piece.walls or piece.section in problem.section_walls
        if not may_hang(problem, piece, wall)
    )


def _stack_band_mm(pieces: list[Piece], wall: Wall, rule: Arrangement) -> tuple[int, int]:
    """Return the band of the highest stack: no row reaches further than its own piece that does."""
    loose = [reach_mm(piece, rule) for piece in pieces]
    ups, downs = (sorted(side, reverse=True)[: rule.rows] for side in zip(*loose, strict=True))
    half = -(-(sum(ups) + sum(downs) + rule.row_gap_mm * (len(ups) - 1)) // 2)
    half = min(half, room_mm(wall, rule) // 2)
    return rule.datum_mm - half, rule.datum_mm + half


def box_mm(piece: Piece, rule: Arrangement) -> tuple[int, int]:
    """Return width and height of the box that holds a piece and its label."""
    return piece.block_mm, sum(reach_mm(piece, rule))


def group_height_mm(problem: Problem) -> int:
    """Return how high a tight group may become.

    A group is about as wide as high, more upright only where the longest wall asks for it; what
    lies further from the datum interrupts no stretch.
    """
    rule = problem.arrangement
    boxes = [box_mm(piece, rule) for piece in problem.pieces if piece.x_mm is None]
    gap = rule.min_gap_mm
    area = sum((w + gap) * (h + gap) for w, h in boxes)
    longest = max(wall.length_mm for wall in problem.walls)
    usual = HIGHER * max(math.sqrt(area), area / longest)
    return max(math.ceil(usual), *(h for _, h in boxes), 0)


def row_band_mm(problem: Problem, wall: Wall, away: frozenset[str]) -> tuple[int, int]:
    """Return the band of wall that any piece or label could take, of those that are not away."""
    rule = rule_on(wall, problem.arrangement)
    pieces = [piece for piece in problem.pieces if piece.x_mm is None and piece.id not in away]
    if rule.kind == "cluster":
        half = -(-min(group_height_mm(problem), room_mm(wall, rule)) // 2)
        return rule.datum_mm - half, rule.datum_mm + half
    if rule.kind == "rows" and pieces:
        return _stack_band_mm(pieces, wall, rule)
    bands = [band_mm(piece, rule) for piece in pieces]
    return min((low for low, _ in bands), default=0), max((high for _, high in bands), default=0)


def cutting(problem: Problem, wall: Wall) -> list[Blocked]:
    """Return the blocked areas that meet the band of those pieces that may hang on a wall."""
    away = _barred(problem, wall) | too_high_on(problem)[wall.id]
    return _cutting(problem, wall, away)


def _cutting(problem: Problem, wall: Wall, away: frozenset[str]) -> list[Blocked]:
    if not wall.blocked:
        return []
    low, high = row_band_mm(problem, wall, away)
    return [b for b in wall.blocked if b.y_mm < high and b.y_mm + b.height_mm > low]


def clear_runs(problem: Problem, *, any_wall: bool = False) -> list[Stretch]:
    """Return the clear runs of all walls in the visitor's order, row by row from the top.

    A blocked area interrupts the row if it meets the band that any piece could take that may hang
    on this wall; a piece fixed in place interrupts it too, and towards it a run ends with a whole
    gap. With `any_wall` no piece is barred from a wall by choice.
    """
    rule = problem.arrangement
    end = {"same": 2, "half": 1, "free": 0}[rule.ends] if rule.kind != "cluster" else 0
    runs: list[Stretch] = []
    too_high = too_high_on(problem)
    for wall in problem.walls:
        barred = frozenset() if any_wall else _barred(problem, wall)
        high = too_high[wall.id]
        begun = len(runs)
        areas = _cutting(problem, wall, barred | high)
        stops = [(b.x_mm, b.x_mm + b.width_mm, end) for b in areas]
        stops += [
            (p.x_mm - p.lead_mm, p.x_mm - p.lead_mm + p.block_mm, 2)
            for p in problem.pieces
            if p.wall == wall.id and p.x_mm is not None
        ]
        at, left = 0, end
        for start, stop, margin in sorted(stops):
            if start > at:
                runs.append(Stretch(wall, at, min(start, wall.length_mm), left, margin))
            if stop > at:
                at, left = stop, margin
        if at < wall.length_mm:
            runs.append(Stretch(wall, at, wall.length_mm, left, end))
        runs[begun:] = [replace(run, barred=barred, too_high=high) for run in runs[begun:]]
    if rule.rows == 1:
        return runs
    return [
        replace(run, row=row)
        for wall in problem.walls
        for row in range(rule.rows)
        for run in runs
        if run.wall.id == wall.id
    ]


def lux_between(wall: Wall, from_mm: int, to_mm: int) -> int:
    """Return the brightest light on any part of a stretch; 0 where no zone says any."""
    return max((z.lux for z in wall.zones if z.from_mm < to_mm and z.to_mm > from_mm), default=0)


def lux_hours_between(wall: Wall, from_mm: int, to_mm: int) -> int:
    """Return the largest dose on any part of a stretch; 0 where no zone says its hours."""
    zones = [z for z in wall.zones if z.from_mm < to_mm and z.to_mm > from_mm]
    return max((z.lux * z.hours for z in zones if z.hours is not None), default=0)


def carried_g(wall: Wall, from_mm: int, to_mm: int) -> int:
    """Return the heaviest single object that every part of a stretch carries."""
    limits = [
        int(f.max_kg_per_object * 1000)
        for f in wall.fixings
        if f.max_kg_per_object is not None and f.from_mm < to_mm and f.to_mm > from_mm
    ]
    return min(limits, default=NO_LIMIT)


def cells_of(runs: list[Stretch], problem: Problem) -> list[Cell]:
    """Cut runs where light, dose or load changes, as far as any piece could notice."""
    doses = sorted({p.max_lux_hours for p in problem.pieces if p.max_lux_hours is not None})
    limits = sorted({p.max_lux for p in problem.pieces if p.max_lux is not None})
    masses = sorted({p.mass_g for p in problem.pieces})
    by_metre = any(f.max_kg_per_m is not None for w in problem.walls for f in w.fixings)
    cells: list[Cell] = []
    for number, run in enumerate(runs):
        edges = {run.from_mm, run.to_mm}
        ends = [end for zone in run.wall.zones for end in (zone.from_mm, zone.to_mm)]
        ends += [end for fixing in run.wall.fixings for end in (fixing.from_mm, fixing.to_mm)]
        edges |= {end for end in ends if run.from_mm < end < run.to_mm}
        last: tuple[object, ...] | None = None
        for start, stop in zip(sorted(edges), sorted(edges)[1:], strict=False):
            lux, heaviest = lux_between(run.wall, start, stop), carried_g(run.wall, start, stop)
            dose = lux_hours_between(run.wall, start, stop)
            noticed = (
                sum(lux > limit for limit in limits),
                sum(dose > limit for limit in doses),
                sum(mass > heaviest for mass in masses),
                *(
                    [f for f in run.wall.fixings if f.from_mm < stop and f.to_mm > start]
                    if by_metre
                    else []
                ),
            )
            if cells and cells[-1].run == number and noticed == last:
                before = cells.pop()
                start, lux = before.from_mm, max(lux, before.lux)
                heaviest, dose = min(heaviest, before.max_g), max(dose, before.lux_hours)
            cells.append(Cell(number, start, stop, lux, heaviest, dose))
            last = noticed
    return cells


def whole_runs(runs: list[Stretch], problem: Problem) -> list[Cell]:
    """Count each run as bright, and as weak, as its worst part."""
    parts = cells_of(runs, problem)
    whole = []
    for number, run in enumerate(runs):
        here = [cell for cell in parts if cell.run == number]
        lux, max_g = max(c.lux for c in here), min(c.max_g for c in here)
        dose = max(c.lux_hours for c in here)
        whole.append(Cell(number, run.from_mm, run.to_mm, lux, max_g, dose))
    return whole


def run_cells(problem: Problem, runs: list[Stretch]) -> list[Cell]:
    """Return cells; a symmetrical run is as bright, and as weak, as its worst part."""
    whole = problem.arrangement.kind in WHOLE_RUNS
    return whole_runs(runs, problem) if whole else cells_of(runs, problem)
