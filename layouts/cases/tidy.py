"""Stand objects on a surface so that they please: rows, taller behind lower, even gaps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from layouts.cases.packing import Spot
from layouts.cases.surfaces import Surface
from layouts.cases.task import Task

# Twice a line's place, when centres fall on half millimetres.
ROUNDING = 2


@dataclass(frozen=True)
class _Row:
    """Objects side by side with how each is turned; the first row stands in front."""

    members: tuple[tuple[int, bool], ...]
    width_mm: int
    depth_mm: int


def in_rows(task: Task, surface: Surface, numbers: Sequence[int]) -> list[Spot] | None:
    """Return the objects in as few rows as hold them, lower ones in front; None if none does."""
    if any(task.things[n].x_mm is not None for n in numbers):
        return None
    best: list[_Row] | None = None
    for way in ("given", "narrow", "shallow"):
        rows = _rows(task, surface, numbers, way)
        if rows is not None and (best is None or len(rows) < len(best)):
            best = rows
    if best is None:
        return None
    return _stand(task, surface, best)


def _turned(task: Task, surface: Surface, n: int, way: str) -> bool | None:
    """Say whether a thing stands turned; None where it does not fit the surface either way."""
    thing = task.things[n]
    ways = [
        t
        for t in ((False, True) if thing.turns else (False,))
        if thing.footprint_mm(t)[0] <= surface.width_mm
        and thing.footprint_mm(t)[1] <= surface.depth_mm
    ]
    if not ways:
        return None
    if way == "given":
        return ways[0]
    return min(ways, key=lambda t: (thing.footprint_mm(t)[0 if way == "narrow" else 1], t))


def _rows(task: Task, surface: Surface, numbers: Sequence[int], way: str) -> list[_Row] | None:
    """Cut the objects, sorted by height, into rows: fewest first, then least deep."""
    gap = task.problem.clearances.between_mm
    order = sorted(numbers, key=lambda n: (task.things[n].height_mm, n))
    turned = [_turned(task, surface, n, way) for n in order]
    if None in turned:
        return None
    feet = [task.things[n].footprint_mm(bool(t)) for n, t in zip(order, turned, strict=True)]
    best: list[tuple[int, int, int]] = [(0, 0, 0)]
    for end in range(1, len(order) + 1):
        options = []
        width = depth = 0
        for start in range(end - 1, -1, -1):
            width += feet[start][0] + (gap if start < end - 1 else 0)
            depth = max(depth, feet[start][1])
            if width > surface.width_mm:
                break
            rows, deep, _ = best[start]
            options.append((rows + 1, deep + depth + (gap if rows else 0), start))
        if not options:
            return None
        fitting = [option for option in options if option[1] <= surface.depth_mm]
        best.append(min(fitting or options))
    if best[-1][1] > surface.depth_mm:
        return None
    found: list[_Row] = []
    end = len(order)
    while end:
        start = best[end][2]
        members = tuple(
            (n, bool(t)) for n, t in zip(order[start:end], turned[start:end], strict=True)
        )
        widths = [foot[0] for foot in feet[start:end]]
        deep = max(foot[1] for foot in feet[start:end])
        found.append(_Row(members, sum(widths), deep))
        end = start
    return found[::-1]


def _stand(task: Task, surface: Surface, rows: list[_Row]) -> list[Spot]:
    gap = task.problem.clearances.between_mm
    spare = surface.depth_mm - sum(row.depth_mm for row in rows) - gap * (len(rows) - 1)
    spots, y = [], surface.front_mm
    if len(rows) == 1 and task.problem.display.line == "centre":
        y += spare // 2
    for number, row in enumerate(rows):
        at = y + (spare * number // (len(rows) - 1) if len(rows) > 1 else 0)
        spots += _row(task, surface, row, at)
        y += row.depth_mm + gap
    return spots


def _row(task: Task, surface: Surface, row: _Row, front: int) -> list[Spot]:
    display, gap = task.problem.display, task.problem.clearances.between_mm
    members = list(row.members)
    if display.spread == "symmetrical":
        members = _mirrored(task, members)
    else:
        members.sort(key=lambda member: (task.things[member[0]].section or "", member[0]))
    free = surface.width_mm - row.width_mm
    inner = len(members) - 1
    equal = free // (inner + 2)
    between = max(gap, equal)
    rest = free - between * inner
    x = surface.left_mm + rest // 2
    spots = []
    for n, turned in members:
        wide, deep = task.things[n].footprint_mm(turned)
        back = (row.depth_mm - deep) // 2 if display.line == "centre" else 0
        spots.append(Spot(n, surface.number, x, front + back, turned))
        x += wide + between
    return spots


def _mirrored(task: Task, members: list[tuple[int, bool]]) -> list[tuple[int, bool]]:
    """Put the tallest in the middle and its nearest in height to both sides."""
    ranked = sorted(members, key=lambda m: (-task.things[m[0]].height_mm, m[0]))
    left = [member for n, member in enumerate(ranked) if n % 2]
    right = [member for n, member in enumerate(ranked) if not n % 2]
    return left[::-1] + right


def on_line(task: Task, spots: Sequence[Spot]) -> bool:
    """Say whether objects of a surface stand in rows that share a front edge or a centre line."""
    centre = task.problem.display.line == "centre"
    lines: dict[int, list[Spot]] = {}
    for spot in spots:
        deep = task.things[spot.thing].footprint_mm(spot.turned)[1]
        lines.setdefault(2 * spot.y_mm + (deep if centre else 0), []).append(spot)
    marks = sorted(lines)
    count = sum(b - a > ROUNDING for a, b in pairwise(marks)) + 1
    return count <= max(1, len(spots) // 2)
