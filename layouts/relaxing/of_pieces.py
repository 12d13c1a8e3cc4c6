"""Demands of pieces: together, apart, light, where they hang."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from typing import Any

from layouts.problem import Piece, Problem
from layouts.relaxing.kinds import Amounts, Demand, Kind, listed


def _on_piece(problem: Problem, demand: Demand, **changes: Any) -> Problem:
    return replace(
        problem,
        pieces=tuple(
            replace(piece, **changes) if piece.id in demand.pieces else piece
            for piece in problem.pieces
        ),
    )


def _by_piece(
    rule: str, words: str, asked: Callable[[Piece], bool], problem: Problem
) -> Iterator[Demand]:
    for piece in problem.pieces:
        if asked(piece):
            where = (piece.wall,) if rule == "fixed" and piece.wall else ()
            yield Demand(rule, words.format(piece=piece), (piece.id,), where)


def _together(problem: Problem) -> Iterator[Demand]:
    for group in problem.together:
        yield Demand("together", f"{listed(group)} hang together", group)


def _untie(problem: Problem, demand: Demand, amount: int) -> Problem:
    groups = tuple(group for group in problem.together if group != demand.pieces)
    return replace(problem, together=groups)


def _apart(problem: Problem) -> Iterator[Demand]:
    for rule in problem.apart:
        words = f"{listed(rule.pieces)} hang {rule.at_least_mm} mm apart"
        yield Demand("apart", words, rule.pieces, number=rule.at_least_mm)


def _nearer(problem: Problem, demand: Demand, amount: int) -> Problem:
    asked = (demand.pieces, demand.number)
    rules = [
        replace(rule, at_least_mm=rule.at_least_mm - amount)
        if (rule.pieces, rule.at_least_mm) == asked
        else rule
        for rule in problem.apart
    ]
    return replace(problem, apart=tuple(rule for rule in rules if rule.at_least_mm > 0))


def _say_nearer(problem: Problem, demand: Demand, amount: int) -> str:
    left = demand.number - amount
    near = f"{left} mm apart instead of" if left else "as near as they come, not apart by"
    return f"Let {listed(demand.pieces)} hang {near} {demand.number} mm"


def _brighter(problem: Problem, demand: Demand) -> Amounts:
    limit = problem.piece(demand.pieces[0]).max_lux or 0
    return sorted({z.lux - limit for w in problem.walls for z in w.zones if z.lux > limit})


def _more_light(problem: Problem, demand: Demand, amount: int) -> Problem:
    limit = problem.piece(demand.pieces[0]).max_lux or 0
    return _on_piece(problem, demand, max_lux=limit + amount)


def _say_light(problem: Problem, demand: Demand, amount: int) -> str:
    piece = problem.piece(demand.pieces[0])
    return (
        f"Let {piece.id} hang under {(piece.max_lux or 0) + amount} lx instead of "
        f"{piece.max_lux} lx, if whoever cares for it agrees"
    )


def _doses(problem: Problem, demand: Demand) -> Amounts:
    limit = problem.piece(demand.pieces[0]).max_lux_hours or 0
    doses = {z.lux * z.hours for w in problem.walls for z in w.zones if z.hours is not None}
    return sorted(dose - limit for dose in doses if dose > limit)


def _more_dose(problem: Problem, demand: Demand, amount: int) -> Problem:
    limit = problem.piece(demand.pieces[0]).max_lux_hours or 0
    return _on_piece(problem, demand, max_lux_hours=limit + amount)


def _say_dose(problem: Problem, demand: Demand, amount: int) -> str:
    piece = problem.piece(demand.pieces[0])
    limit = piece.max_lux_hours or 0
    return (
        f"Let {piece.id} take {limit + amount:,} lx h over the exhibition instead of {limit:,} "
        "lx h, if whoever cares for it agrees"
    )


def _fixed_walls(problem: Problem) -> Iterator[Demand]:
    for piece in problem.pieces:
        walls = piece.walls or ((piece.wall,) if piece.wall else ())
        if walls and piece.x_mm is None:
            words = f"{piece.id} hangs on {' or '.join(walls)}"
            yield Demand("fixed", words, (piece.id,), walls)


def _section_walls(problem: Problem) -> Iterator[Demand]:
    for number, (section, walls) in enumerate(problem.section_walls.items()):
        names = tuple(piece.id for piece in problem.pieces if piece.section == section)
        words = f"section {section} hangs on {' or '.join(walls)}"
        yield Demand("section_walls", words, names, walls, number)


def _any_wall(problem: Problem, demand: Demand, amount: int) -> Problem:
    sections = {problem.piece(name).section for name in demand.pieces}
    kept = {name: walls for name, walls in problem.section_walls.items() if name not in sections}
    return replace(problem, section_walls=kept)


def _elsewhere(problem: Problem, demand: Demand, amount: int) -> Problem:
    """Let a piece hang on any wall, which it can only if its place is not fixed either."""
    piece = problem.piece(demand.pieces[0])
    y_mm = piece.y_mm if piece.x_mm is None else None
    return _on_piece(problem, demand, wall=None, walls=(), x_mm=None, y_mm=y_mm)


OF_TIES = (
    Kind(
        "together",
        _together,
        _untie,
        lambda p, d, n: f"Let {listed(d.pieces)} hang apart from each other",
    ),
    Kind(
        "apart",
        _apart,
        _nearer,
        _say_nearer,
        lambda p, d: range(1, d.number + 1),
        "mm",
    ),
)

OF_PIECES = (
    Kind(
        "section_walls",
        _section_walls,
        _any_wall,
        lambda p, d, n: f"Let {d.words.replace(' hangs on ', ' hang elsewhere than on ')}",
    ),
    Kind(
        "fixed",
        _fixed_walls,
        _elsewhere,
        lambda p, d, n: f"Let {d.pieces[0]} hang elsewhere than on {' or '.join(d.walls)}",
    ),
    Kind(
        "place",
        partial(
            _by_piece,
            "place",
            "{piece.id} stays at {piece.x_mm} mm on {piece.wall}",
            lambda piece: piece.x_mm is not None,
        ),
        lambda p, d, n: _on_piece(p, d, x_mm=None, y_mm=None),
        lambda p, d, n: f"Let {d.pieces[0]} move along its wall",
    ),
    Kind(
        "light",
        partial(
            _by_piece,
            "light",
            "{piece.id} bears {piece.max_lux} lx",
            lambda piece: piece.max_lux is not None,
        ),
        _more_light,
        _say_light,
        _brighter,
        "lx",
    ),
    Kind(
        "dose",
        partial(
            _by_piece,
            "dose",
            "{piece.id} bears {piece.max_lux_hours:,} lx h",
            lambda piece: piece.max_lux_hours is not None,
        ),
        _more_dose,
        _say_dose,
        _doses,
        "lx h",
    ),
)
