"""Simple arithmetic that shows, before any search, that a hang cannot exist."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator

from layouts.blocks import side_by_side
from layouts.fixed import fixed_amiss
from layouts.geometry import (
    Stretch,
    box_mm,
    carried_g,
    clear_runs,
    group_height_mm,
    lux_between,
    lux_hours_between,
    room_mm,
    rule_on,
    walls_for,
)
from layouts.heights import heights
from layouts.problem import Piece, Problem, Wall
from layouts.solution import Conflict


def impossible(problem: Problem) -> list[Conflict]:
    """Return what arithmetic alone shows to be impossible, in words with figures."""
    alone = [
        *fixed_amiss(problem),
        *_no_wall(problem),
        *heights(problem),
        *_single_pieces(problem),
        *_parted(problem),
        *_crowded(problem),
    ]
    if problem.arrangement.kind == "cluster":
        return [*alone, *_area(problem)]
    return [*alone, *_light(problem), *_length(problem)]


def _no_wall(problem: Problem) -> Iterator[Conflict]:
    """Name each piece, and each group to hang together, for which no wall chosen is left."""
    chosen = {piece.id: [w.id for w in walls_for(problem, piece)] for piece in problem.pieces}
    for piece in problem.pieces:
        if not chosen[piece.id] and piece.x_mm is None:
            own = ", ".join(piece.walls or (piece.wall or "",))
            of_section = ", ".join(problem.section_walls[piece.section or ""])
            yield Conflict(
                "fixed",
                (piece.id,),
                (),
                f"{piece.id} may hang on {own}, and section {piece.section} on {of_section}: no "
                "wall is both.",
                f"Let {piece.id} hang on one of {of_section}, or its section on one of {own}.",
            )
    for group in problem.together:
        walls = [set(chosen[name]) for name in group]
        if group and all(walls) and not set.intersection(*walls):
            listed = "; ".join(f"{name} on {', '.join(chosen[name])}" for name in group)
            yield Conflict(
                "together",
                group,
                (),
                f"{', '.join(group)} are to hang together, and no wall is chosen for all of them: "
                f"{listed}.",
                "Choose a wall for all of them, or let them hang apart.",
            )


def _single_pieces(problem: Problem) -> Iterator[Conflict]:
    """Name each piece that no part of any wall can bear."""
    carries = {wall.id: _most(wall) for wall in problem.walls}
    lux = {wall.id: _least(wall, lux_between) for wall in problem.walls}
    lux_hours = {wall.id: _least(wall, lux_hours_between) for wall in problem.walls}
    for piece in problem.pieces:
        walls = walls_for(problem, piece)
        names = tuple(wall.id for wall in walls)
        heaviest = max((carries[wall.id] for wall in walls), default=0)
        if walls and piece.mass_g > heaviest:
            over = piece.mass_g - heaviest
            yield Conflict(
                "load",
                (piece.id,),
                names,
                f"{piece.id} weighs {piece.mass_g / 1000:g} kg; the strongest stretch of "
                f"{', '.join(names)} carries {heaviest / 1000:g} kg an object.",
                f"Ask the structure's engineer for {over / 1000:g} kg more, or stand it elsewhere.",
                over,
            )
        darkest = min((lux[wall.id] for wall in walls), default=0)
        if piece.max_lux is not None and darkest > piece.max_lux:
            yield Conflict(
                "light",
                (piece.id,),
                names,
                f"{piece.id} bears {piece.max_lux} lx; the darkest stretch of {', '.join(names)} "
                f"has {darkest} lx.",
                f"Bring a stretch of wall down to {piece.max_lux} lx.",
                darkest - piece.max_lux,
            )
        dose = min((lux_hours[wall.id] for wall in walls), default=0)
        if piece.max_lux_hours is not None and dose > piece.max_lux_hours:
            yield Conflict(
                "dose",
                (piece.id,),
                names,
                f"{piece.id} bears {piece.max_lux_hours:,} lx h over the exhibition; the stretch "
                f"of {', '.join(names)} with the least has {dose:,} lx h.",
                f"Bring a stretch of wall down by {dose - piece.max_lux_hours:,} lx h: with fewer "
                "hours or less light, or hang it for part of the time.",
                dose - piece.max_lux_hours,
            )


def _parted(problem: Problem) -> Iterator[Conflict]:
    """Name what is to hang together though the order asked for puts others between."""
    order = problem.arrangement.order or ()
    for group in problem.together if order else ():
        places = sorted(order.index(name) for name in set(group))
        between = (
            [name for name in order[places[0] : places[-1] + 1] if name not in group]
            if places
            else []
        )
        if between:
            names, others = ", ".join(group), ", ".join(between)
            yield Conflict(
                "together",
                group,
                (),
                f"{names} are to hang together, and the order asked for puts {others} between.",
                "Give an order in which they follow each other, or let them hang apart.",
                len(between),
            )


def _crowded(problem: Problem) -> Iterator[Conflict]:
    """Name groups that share pieces in such a way that no order sets each side by side."""
    for members, groups in side_by_side(problem):
        if members is None:
            names = tuple(dict.fromkeys(name for group in groups for name in group))
            listed = "; ".join(" and ".join(group) for group in groups)
            yield Conflict(
                "together",
                names,
                (),
                f"No order sets all of these side by side: {listed}.",
                "Let one of these pairs or groups hang apart.",
            )


def _most(wall: Wall) -> int:
    marks = sorted({0, wall.length_mm, *(e for f in wall.fixings for e in (f.from_mm, f.to_mm))})
    return max(carried_g(wall, a, b) for a, b in itertools.pairwise(marks))


Amount = Callable[[Wall, int, int], int]
"""What the light, or the dose, comes to on a stretch of a wall."""


def _least(wall: Wall, amount: Amount) -> int:
    marks = _zone_marks(wall)
    return min(amount(wall, a, b) for a, b in itertools.pairwise(marks))


def _zone_marks(wall: Wall) -> list[int]:
    return sorted({0, wall.length_mm, *(e for z in wall.zones for e in (z.from_mm, z.to_mm))})


def _light(problem: Problem) -> Iterator[Conflict]:
    """Compare the metres that objects of a light class, or a dose, ask for with those that dim."""
    runs = clear_runs(problem)
    for rule, amount, unit in (("light", lux_between, "lx"), ("dose", lux_hours_between, "lx h")):
        limits = {p.id: p.max_lux if rule == "light" else p.max_lux_hours for p in problem.pieces}
        for limit in sorted({bears for bears in limits.values() if bears is not None}):
            pieces = [p for p in problem.pieces if (b := limits[p.id]) is not None and b <= limit]
            dim = [
                inside
                for run in runs
                for start, stop in _dim_stretches(run.wall, amount, limit)
                if (inside := min(stop, run.to_mm) - max(start, run.from_mm)) > 0
            ]
            walls = tuple(dict.fromkeys(run.wall.id for run in runs))
            gap = problem.arrangement.min_gap_mm
            yield from _too_bright(rule, f"{limit:,} {unit}", pieces, gap, dim, walls)


def _too_bright(
    rule: str, limit: str, pieces: list[Piece], gap: int, dim_mm: list[int], walls: tuple[str, ...]
) -> Iterator[Conflict]:
    """Compare what these ask for with the stretches at or below the limit.

    A true lower bound: every dim stretch may end in a gap or a label that lies beyond it.
    """
    label = max(p.block_mm - p.width_mm for p in pieces)
    loose = [p for p in pieces if p.x_mm is None]
    need, have = sum(p.block_mm + gap for p in loose), sum(dim_mm)
    short = need - have - len(dim_mm) * (gap + label)
    if short > 0:
        yield Conflict(
            rule,
            tuple(p.id for p in loose),
            walls,
            f"Objects limited to {limit} need {need:,} mm with their labels and gaps of "
            f"{gap} mm; clear wall at or below {limit} is {have:,} mm: short by {short:,} mm.",
            f"Bring at least {short:,} mm more wall down to {limit}, or leave out "
            f"{_to_leave(loose, short, gap)}.",
            short,
        )


def _dim_stretches(wall: Wall, amount: Amount, limit: int) -> list[tuple[int, int]]:
    """Return the stretches at or below a limit, joined where they touch."""
    marks = _zone_marks(wall)
    joined: list[tuple[int, int]] = []
    for start, stop in itertools.pairwise(marks):
        if amount(wall, start, stop) > limit:
            continue
        if joined and joined[-1][1] == start:
            start = joined.pop()[0]
        joined.append((start, stop))
    return joined


def _length(problem: Problem) -> Iterator[Conflict]:
    """Compare what pieces need with the clear wall, of all walls and of those chosen for them."""
    for pieces, runs in _by_walls(problem):
        yield from _too_long(problem, pieces, runs)


def _by_walls(problem: Problem) -> Iterator[tuple[list[Piece], list[Stretch]]]:
    """Yield all loose pieces with all runs, then those that may hang only on some with these."""
    runs = clear_runs(problem)
    loose = [p for p in problem.pieces if p.x_mm is None]
    everywhere = frozenset(run.wall.id for run in runs)
    homes = {p.id: everywhere for p in loose}
    for wall, away in {run.wall.id: run.barred | run.too_high for run in runs}.items():
        for name in away & homes.keys():
            homes[name] -= {wall}
    classes = {everywhere, *filter(None, homes.values())}
    for walls in sorted(classes, key=lambda names: (-len(names), sorted(names))):
        here = [p for p in loose if homes[p.id] <= walls]
        yield here, [run for run in runs if run.wall.id in walls]


def _who(problem: Problem, pieces: list[Piece], walls: tuple[str, ...]) -> str:
    if len(pieces) == sum(p.x_mm is None for p in problem.pieces):
        return "The objects"
    return f"The objects that may hang only on {', '.join(walls)}"


def _too_long(problem: Problem, loose: list[Piece], runs: list[Stretch]) -> Iterator[Conflict]:
    rule = problem.arrangement
    need = sum(p.block_mm + rule.min_gap_mm for p in loose)
    have = sum(run.length_mm for run in runs)
    spare = {"same": 0, "half": 0, "free": 1}[rule.ends] * len(runs) * rule.min_gap_mm
    short = need - have - spare
    walls = tuple(dict.fromkeys(run.wall.id for run in runs))
    if short > 0:
        yield Conflict(
            "length",
            tuple(p.id for p in loose),
            walls,
            f"{_who(problem, loose, walls)} need {need:,} mm with their labels and gaps of "
            f"{rule.min_gap_mm} mm; the clear wall is {have:,} mm: short by {short:,} mm.",
            f"Add at least {short:,} mm of wall, or leave out "
            f"{_to_leave(loose, short, rule.min_gap_mm)}.",
            short,
        )


def _area(problem: Problem) -> Iterator[Conflict]:
    """Compare the area that tight groups take with that of all walls, and of those chosen."""
    for pieces, runs in _by_walls(problem):
        yield from _too_large(problem, pieces, runs)


def _too_large(problem: Problem, loose: list[Piece], runs: list[Stretch]) -> Iterator[Conflict]:
    """Count each piece with one gap, against the stretches as high as a group may become."""
    rule = problem.arrangement
    gap = rule.min_gap_mm
    boxes = [box_mm(piece, rule) for piece in loose]
    need = sum((w + gap) * (h + gap) for w, h in boxes)
    most = group_height_mm(problem) if loose else 0
    have = sum((run.length_mm + gap) * (min(room_mm(run.wall, rule), most) + gap) for run in runs)
    walls = tuple(dict.fromkeys(run.wall.id for run in runs))
    datums = sorted({rule_on(run.wall, rule).datum_mm for run in runs}) or [rule.datum_mm]
    if need > have:
        yield Conflict(
            "area",
            tuple(p.id for p in loose),
            walls,
            f"{_who(problem, loose, walls)} need {need / 1e6:.2f} m² with their labels and gaps of "
            f"{gap} mm; the clear wall about {' and '.join(map(str, datums))} mm is "
            f"{have / 1e6:.2f} m²: short by {(need - have) / 1e6:.2f} m².",
            "Take objects off this hang, add wall, or bring the datum nearer to the middle.",
            need - have,
        )


def _to_leave(pieces: list[Piece], short_mm: int, gap_mm: int) -> str:
    """Name the fewest widest objects whose leaving makes up what is short."""
    chosen: list[str] = []
    for piece in sorted(pieces, key=lambda p: (-p.block_mm, p.id)):
        if short_mm <= 0:
            break
        chosen.append(piece.id)
        short_mm -= piece.block_mm + gap_mm
    return ", ".join(chosen)
