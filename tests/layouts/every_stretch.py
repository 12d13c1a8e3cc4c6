"""Clear stretches and what a piece takes of them, counted anew for `every_hang`."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

from layouts.problem import Arrangement, Piece, Problem, Wall

Edges = tuple[int, int]


@dataclass(frozen=True)
class Clear:
    """A clear stretch in one row; `left` and `right` say how many half gaps its margins are."""

    wall: Wall
    start: int
    stop: int
    left: int
    right: int
    row: int = 0


def lead(piece: Piece) -> int:
    label = piece.label
    return label.width_mm + label.gap_mm if label and label.side == "left" else 0


def width(piece: Piece) -> int:
    label = piece.label
    if label is None:
        return piece.width_mm
    if label.side == "below":
        return max(piece.width_mm, label.width_mm)
    return piece.width_mm + label.gap_mm + label.width_mm


def upright(piece: Piece, rule: Arrangement, line: int) -> Edges:
    """Return the lowest and the highest point of a piece with its label, hung by a line."""
    bottom = {
        "top": line - piece.height_mm,
        "bottom": line,
        "hanging_line": line + piece.hang_point_mm - piece.height_mm,
        "centreline": (2 * line - piece.height_mm) // 2,
    }[rule.align]
    if piece.y_mm is not None:
        bottom = piece.y_mm
    low, high = bottom, bottom + piece.height_mm
    if label := piece.label:
        if label.side == "below":
            low = bottom - label.gap_mm - label.height_mm
        else:
            high = max(high, bottom + label.height_mm)
    return low, high


def datum(task: Problem, wall: Wall) -> int:
    return task.arrangement.datum_mm if wall.datum_mm is None else wall.datum_mm


def room(task: Problem, wall: Wall) -> int:
    """Return half the height that a stack about the datum may have."""
    rule, line = task.arrangement, datum(task, wall)
    tops = [wall.height_mm, *([] if rule.highest_edge_mm is None else [rule.highest_edge_mm])]
    return min(min(tops) - line, line - (rule.lowest_edge_mm or 0))


def chosen(task: Problem, piece: Piece, wall: Wall) -> bool:
    """Tell whether nobody chose other walls for a piece or its section."""
    lists = [piece.walls, task.section_walls.get(piece.section or ""), (piece.wall,)]
    return all(wall.id in names for names in lists if names and names != (None,))


def high_enough(task: Problem, piece: Piece, wall: Wall) -> bool:
    """Tell whether a piece fits a wall in height, alone in its row."""
    rule = task.arrangement
    low, high = upright(piece, rule, datum(task, wall))
    if rule.kind == "rows":
        return high - low <= 2 * room(task, wall)
    bare = upright(replace(piece, label=None), rule, datum(task, wall))
    below = rule.lowest_edge_mm is not None and bare[0] < rule.lowest_edge_mm
    above = rule.highest_edge_mm is not None and bare[1] > rule.highest_edge_mm
    return low >= 0 and high <= wall.height_mm and not below and not above


def band(task: Problem, wall: Wall) -> Edges:
    """Return the heights that any piece could take that may hang on a wall."""
    rule, line = task.arrangement, datum(task, wall)
    pieces = [
        piece
        for piece in task.pieces
        if piece.x_mm is None and chosen(task, piece, wall) and high_enough(task, piece, wall)
    ]
    if not pieces:
        return 0, 0
    if rule.kind != "rows":
        spans = [upright(piece, rule, line) for piece in pieces]
        return min(low for low, _ in spans), max(high for _, high in spans)
    spans = [upright(piece, rule, 0) for piece in pieces]
    ups = sorted((high for _, high in spans), reverse=True)[: rule.rows]
    downs = sorted((-low for low, _ in spans), reverse=True)[: rule.rows]
    half = -(-(sum(ups) + sum(downs) + rule.row_gap_mm * (len(ups) - 1)) // 2)
    half = min(half, room(task, wall))
    return line - half, line + half


def clear(task: Problem) -> list[Clear]:
    rule = task.arrangement
    margin = {"same": 2, "half": 1, "free": 0}[rule.ends]
    found = []
    for wall in task.walls:
        low, high = band(task, wall)
        stops = [
            (area.x_mm, area.x_mm + area.width_mm, margin)
            for area in wall.blocked
            if area.y_mm < high and area.y_mm + area.height_mm > low
        ]
        for piece in task.pieces:
            if piece.x_mm is not None and piece.wall == wall.id:
                begin = piece.x_mm - lead(piece)
                stops.append((begin, begin + width(piece), 2))
        stops = [(0, 0, margin), *sorted(stops), (wall.length_mm, wall.length_mm, margin)]
        for row in range(rule.rows):
            for (_, start, left), (stop, _, right) in pairwise(stops):
                if start < stop:
                    found.append(Clear(wall, start, stop, left, right, row))
    return found
