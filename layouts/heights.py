"""Say of each piece that is too high for its walls by how much, and what would help."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from layouts.geometry import (
    beyond_mm,
    bottom_mm,
    edges_mm,
    reach_mm,
    room_mm,
    rule_on,
    too_high_on,
    walls_for,
)
from layouts.problem import STACKED, Arrangement, Piece, Problem, Wall
from layouts.solution import Conflict


def heights(problem: Problem) -> Iterator[Conflict]:
    """Yield a conflict for each piece that fits no wall chosen for it in height."""
    rule = problem.arrangement
    rules = {wall.id: rule_on(wall, rule) for wall in problem.walls}
    too_high = too_high_on(problem)
    for piece in problem.pieces:
        walls = walls_for(problem, piece)
        if not all(piece.id in too_high[wall.id] for wall in walls):
            continue
        if rule.kind in STACKED and piece.y_mm is None:
            yield from _stacked(piece, walls, rule)
            continue
        beyond = [(max(beyond_mm(piece, wall, rules[wall.id])), wall) for wall in walls]
        if beyond:
            _, wall = min(beyond, key=lambda pair: pair[0])
            yield _alone(piece, wall, rules[wall.id], many=len(walls) > 1)


def _alone(piece: Piece, wall: Wall, rule: Arrangement, *, many: bool) -> Conflict:
    """Say where a piece hangs on the wall that suits it best, and by how much to shift it."""
    below, above = beyond_mm(piece, wall, rule)
    over = max(below, above)
    bottom = bottom_mm(piece, rule)
    lowest, highest = edges_mm(wall, rule)
    top = bottom + piece.height_mm
    if above >= below and top - highest == above and highest < wall.height_mm:
        said = f"its upper edge reaches {top:,} mm; {highest:,} mm is allowed"
    elif above >= below:
        said = f"it reaches {over} mm beyond the top of {wall.id} ({wall.height_mm} mm)"
    elif lowest > 0 and lowest - bottom == below:
        said = f"its lower edge is at {bottom:,} mm; {lowest:,} mm is the least allowed"
    else:
        said = f"it reaches {over} mm beyond the floor"
    line = f"the {rule.align.replace('_', ' ')} at {rule.datum_mm} mm"
    held = f"its lower edge at {piece.y_mm} mm" if piece.y_mm is not None else line
    best = f" This is on {wall.id}, which suits it best." if many else ""
    if below + above > 0:
        cure = (
            f"No height suits it: take {below + above} mm more between the edges allowed, or a "
            "higher wall."
        )
    else:
        way = "Lower" if above > 0 else "Raise"
        what = f"{piece.id}" if piece.y_mm is not None else "the datum"
        cure = f"{way} {what} by {over} mm, or give {piece.id} another height of its own."
    return Conflict(
        "height",
        (piece.id,),
        (wall.id,),
        f"{piece.id} is {piece.height_mm} mm high: with {held} {said}.{best}",
        cure,
        over,
    )


def _stacked(piece: Piece, walls: Sequence[Wall], rule: Arrangement) -> Iterator[Conflict]:
    """Name a piece too high to hang even alone with its middle on the datum."""
    rooms = [(room_mm(wall, rule), wall) for wall in walls]
    room, wall = max(rooms, key=lambda pair: pair[0], default=(0, None))
    high = sum(reach_mm(piece, rule))
    if wall is None:
        return
    lowest, highest = edges_mm(wall, rule)
    held = (lowest, highest) != (0, wall.height_mm)
    between = f" between {lowest:,} and {highest:,} mm" if held else ""
    yield Conflict(
        "height",
        (piece.id,),
        (wall.id,),
        f"{piece.id} is {high} mm high with its label; about a datum of "
        f"{rule_on(wall, rule).datum_mm} mm {wall.id} ({wall.height_mm} mm) has room for {room} mm"
        f"{between}.",
        "Bring the datum nearer to the middle of the heights allowed, or take a higher wall "
        f"by {high - room} mm.",
        high - room,
    )
