"""Verify hangs of several rows: one line a row, the rows' distance, the stack about the datum."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise

from layouts.problem import Piece, Problem, Wall
from layouts.solution import Placement, Solution

Said = tuple[str, tuple[str, ...], str]
"""A rule, the pieces that break it, and a sentence."""


def row_faults(problem: Problem, solution: Solution) -> Iterator[Said]:
    """Yield every fault of the rows of a hang: heights, distances, and who hangs in no run."""
    pieces = {piece.id: piece for piece in problem.pieces if piece.x_mm is None}
    rows: dict[tuple[str, int], list[tuple[Piece, Placement]]] = {}
    for place in solution.placements:
        if place.id not in pieces:
            continue
        rows.setdefault((place.wall, place.row), []).append((pieces[place.id], place))
        if not 0 <= place.row < problem.arrangement.rows:
            yield (
                "row",
                (place.id,),
                f"{place.id} hangs in row {place.row}, which is not asked for.",
            )
        if not any(
            (run.wall, run.row) == (place.wall, place.row)
            and run.from_mm <= place.x_mm
            and place.x_mm + pieces[place.id].width_mm <= run.to_mm
            for run in solution.runs
        ):
            yield "row", (place.id,), f"{place.id} hangs in no clear stretch of its row."
    for row in rows.values():
        yield from _line(problem, row)
    for wall in problem.walls:
        yield from _stack(
            problem, wall, [row for key, row in sorted(rows.items()) if key[0] == wall.id]
        )


def _line(problem: Problem, row: Sequence[tuple[Piece, Placement]]) -> Iterator[Said]:
    align = problem.arrangement.align
    twice: dict[str, Callable[[Piece, Placement], int]] = {
        "top": lambda piece, place: 2 * (place.y_mm + piece.height_mm),
        "bottom": lambda piece, place: 2 * place.y_mm,
        "hanging_line": lambda piece, place: 2 * place.hook_mm,
        "centreline": lambda piece, place: 2 * place.y_mm + piece.height_mm,
    }
    lines = [twice[align](piece, place) for piece, place in row]
    if max(lines) - min(lines) > (1 if align == "centreline" else 0):
        names = tuple(piece.id for piece, _ in row)
        off = (max(lines) - min(lines)) / 2
        yield "line", names, f"{', '.join(names)} are {off:g} mm off one {align}."


def _stack(
    problem: Problem, wall: Wall, rows: Sequence[Sequence[tuple[Piece, Placement]]]
) -> Iterator[Said]:
    rule = problem.arrangement
    datum = rule.datum_mm if wall.datum_mm is None else wall.datum_mm
    spans = [_span(row) for row in rows]
    for (upper, (low, _)), (lower, (_, high)) in pairwise(zip(rows, spans, strict=True)):
        if low - high != rule.row_gap_mm:
            names = tuple(piece.id for row in (upper, lower) for piece, _ in row)
            yield (
                "row_gap",
                names,
                f"Two rows on wall {wall.id} are {low - high} mm apart, not {rule.row_gap_mm} mm.",
            )
    if spans:
        middle = (min(low for low, _ in spans) + max(high for _, high in spans)) / 2
        if abs(middle - datum) > 0.5:
            yield (
                "datum",
                tuple(piece.id for row in rows for piece, _ in row),
                f"The rows on wall {wall.id} stand about {middle:g} mm, not about {datum} mm.",
            )


def _span(row: Sequence[tuple[Piece, Placement]]) -> tuple[int, int]:
    """Return the lowest and the highest point of a row, labels counted."""
    lows, highs = [], []
    for piece, place in row:
        lows.append(place.y_mm)
        highs.append(place.y_mm + piece.height_mm)
        if label := piece.label:
            bottom = place.y_mm
            if label.side == "below":
                bottom -= label.gap_mm + label.height_mm
            lows.append(bottom)
            highs.append(bottom + label.height_mm)
    return min(lows), max(highs)
