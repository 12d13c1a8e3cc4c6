"""Simple arithmetic that shows, before any search, that a hang cannot exist."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from layouts.blocks import side_by_side
from layouts.fixed import fixed_amiss
from layouts.geometry import (
    band_mm,
    box_mm,
    carried_g,
    clear_runs,
    group_height_mm,
    lux_between,
    reach_mm,
    room_mm,
)
from layouts.problem import STACKED, Piece, Problem, Wall
from layouts.solution import Conflict


def impossible(problem: Problem) -> list[Conflict]:
    """Return what arithmetic alone shows to be impossible, in words with figures."""
    alone = [
        *fixed_amiss(problem),
        *_heights(problem),
        *_single_pieces(problem),
        *_parted(problem),
        *_crowded(problem),
    ]
    if problem.arrangement.kind == "cluster":
        return [*alone, *_area(problem)]
    return [*alone, *_light(problem), *_length(problem)]


def _words(name: str) -> str:
    return name.replace("_", " ")


def _heights(problem: Problem) -> Iterator[Conflict]:
    rule = problem.arrangement
    if rule.kind in STACKED:
        yield from _stack_heights(problem)
    for piece in problem.pieces:
        if rule.kind in STACKED and piece.y_mm is None:
            continue
        low, high = band_mm(piece, rule)
        walls = [w for w in problem.walls if piece.wall in (None, w.id)]
        tallest = max(walls, key=lambda wall: wall.height_mm)
        over = max(0 - low, high - tallest.height_mm)
        if over > 0:
            where = "the floor" if low < 0 else f"the top of {tallest.id} ({tallest.height_mm} mm)"
            yield Conflict(
                "height",
                (piece.id,),
                (tallest.id,),
                f"{piece.id} is {piece.height_mm} mm high: with the {_words(rule.align)} at "
                f"{rule.datum_mm} mm it reaches {over} mm beyond {where}.",
                f"Move the datum by {over} mm, or give {piece.id} a height of its own.",
                over,
            )


def _stack_heights(problem: Problem) -> Iterator[Conflict]:
    """Name each piece too high to hang even alone with its middle on the datum."""
    rule = problem.arrangement
    for piece in problem.pieces:
        walls = [w for w in problem.walls if piece.wall in (None, w.id)]
        room, wall = max(((room_mm(w, rule), w) for w in walls), key=lambda pair: pair[0])
        high = sum(reach_mm(piece, rule))
        if piece.y_mm is None and high > room:
            yield Conflict(
                "height",
                (piece.id,),
                (wall.id,),
                f"{piece.id} is {high} mm high with its label; about a datum of {rule.datum_mm} mm "
                f"{wall.id} ({wall.height_mm} mm) has room for {room} mm.",
                "Bring the datum nearer to the middle of the wall's height, or take a higher wall "
                f"by {high - room} mm.",
                high - room,
            )


def _single_pieces(problem: Problem) -> Iterator[Conflict]:
    """Name each piece that no part of any wall can bear."""
    for piece in problem.pieces:
        walls = [w for w in problem.walls if piece.wall in (None, w.id)]
        names = tuple(wall.id for wall in walls)
        heaviest = max((_most(wall) for wall in walls), default=0)
        if piece.mass_g > heaviest:
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
        darkest = min((_least_lux(wall) for wall in walls), default=0)
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


def _least_lux(wall: Wall) -> int:
    marks = _zone_marks(wall)
    return min(lux_between(wall, a, b) for a, b in itertools.pairwise(marks))


def _zone_marks(wall: Wall) -> list[int]:
    return sorted({0, wall.length_mm, *(e for z in wall.zones for e in (z.from_mm, z.to_mm))})


def _light(problem: Problem) -> Iterator[Conflict]:
    """Compare the metres that objects of a light class ask for with the metres that dim.

    A true lower bound: every dim stretch may end in a gap or a label that lies beyond it.
    """
    gap = problem.arrangement.min_gap_mm
    runs = clear_runs(problem)
    for limit in sorted({p.max_lux for p in problem.pieces if p.max_lux is not None}):
        pieces = [p for p in problem.pieces if p.max_lux is not None and p.max_lux <= limit]
        label = max(p.block_mm - p.width_mm for p in pieces)
        loose = [p for p in pieces if p.x_mm is None]
        need = sum(p.block_mm + gap for p in loose)
        dim = [
            inside
            for run in runs
            for start, stop in _dim_stretches(run.wall, limit)
            if (inside := min(stop, run.to_mm) - max(start, run.from_mm)) > 0
        ]
        have = sum(dim)
        short = need - have - len(dim) * (gap + label)
        if short > 0:
            yield Conflict(
                "light",
                tuple(p.id for p in loose),
                tuple(dict.fromkeys(run.wall.id for run in runs)),
                f"Objects limited to {limit} lx need {need:,} mm with their labels and gaps of "
                f"{gap} mm; clear wall at or below {limit} lx is {have:,} mm: "
                f"short by {short:,} mm.",
                f"Bring at least {short:,} mm more wall down to {limit} lx, or leave out "
                f"{_to_leave(loose, short, gap)}.",
                short,
            )


def _dim_stretches(wall: Wall, limit: int) -> list[tuple[int, int]]:
    """Return the stretches at or below a light level, joined where they touch."""
    marks = _zone_marks(wall)
    joined: list[tuple[int, int]] = []
    for start, stop in itertools.pairwise(marks):
        if lux_between(wall, start, stop) > limit:
            continue
        if joined and joined[-1][1] == start:
            start = joined.pop()[0]
        joined.append((start, stop))
    return joined


def _length(problem: Problem) -> Iterator[Conflict]:
    rule = problem.arrangement
    runs = clear_runs(problem)
    loose = [p for p in problem.pieces if p.x_mm is None]
    need = sum(p.block_mm + rule.min_gap_mm for p in loose)
    have = sum(run.length_mm for run in runs)
    spare = {"same": 0, "half": 0, "free": 1}[rule.ends] * len(runs) * rule.min_gap_mm
    short = need - have - spare
    if short > 0:
        yield Conflict(
            "length",
            tuple(p.id for p in loose),
            tuple(dict.fromkeys(run.wall.id for run in runs)),
            f"The objects need {need:,} mm with their labels and gaps of {rule.min_gap_mm} mm; "
            f"the clear wall is {have:,} mm: short by {short:,} mm.",
            f"Add at least {short:,} mm of wall, or leave out "
            f"{_to_leave(loose, short, rule.min_gap_mm)}.",
            short,
        )


def _area(problem: Problem) -> Iterator[Conflict]:
    """Compare the area that tight groups take, each piece with one gap, with that of the walls."""
    rule = problem.arrangement
    gap, runs = rule.min_gap_mm, clear_runs(problem)
    loose = [p for p in problem.pieces if p.x_mm is None]
    boxes = [box_mm(piece, rule) for piece in loose]
    need = sum((w + gap) * (h + gap) for w, h in boxes)
    most = group_height_mm(problem) if loose else 0
    have = sum((run.length_mm + gap) * (min(room_mm(run.wall, rule), most) + gap) for run in runs)
    if need > have:
        yield Conflict(
            "area",
            tuple(p.id for p in loose),
            tuple(dict.fromkeys(run.wall.id for run in runs)),
            f"The objects need {need / 1e6:.2f} m² with their labels and gaps of {gap} mm; the "
            f"clear wall about {rule.datum_mm} mm is {have / 1e6:.2f} m²: short by "
            f"{(need - have) / 1e6:.2f} m².",
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
