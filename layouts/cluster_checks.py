"""Verify hangs of tight groups: nothing nearer than the gap, each group in its stretch's middle."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from layouts.problem import Piece, Problem
from layouts.solution import Placement, Run, Solution

Box = tuple[int, int, int, int]
Said = tuple[str, tuple[str, ...], str]
Hung = tuple[Piece, Placement]


def cluster_faults(problem: Problem, solution: Solution) -> Iterator[Said]:
    """Yield every fault of the groups of a hang."""
    pieces = {piece.id: piece for piece in problem.pieces}
    hung = [(pieces[place.id], place) for place in solution.placements]
    loose = [(piece, place) for piece, place in hung if piece.x_mm is None]
    fixed = [(piece, place) for piece, place in hung if piece.x_mm is not None]
    groups = [[pair for pair in loose if _within(run, _hull(pair))] for run in solution.runs]
    held = {piece.id for group in groups for piece, _ in group}
    for piece, place in loose:
        if piece.id not in held:
            yield "stretch", (piece.id,), f"{piece.id} hangs in no clear stretch of {place.wall}."
    for run, group in zip(solution.runs, groups, strict=True):
        here = [pair for pair in fixed if pair[1].wall == run.wall]
        pairs = [*combinations(group, 2), *((a, b) for a in group for b in here)]
        for one, other in pairs:
            apart = min(_apart(a, b) for a in _boxes(one) for b in _boxes(other))
            if apart < problem.arrangement.min_gap_mm:
                names = (one[0].id, other[0].id)
                yield "gap", names, f"{' and '.join(names)} are {apart} mm apart."
        if group:
            yield from _centred(problem, run, group)
    yield from _together(problem, groups)


def _boxes(pair: Hung) -> list[Box]:
    """Return the piece's and its label's left, bottom, right and top."""
    piece, place = pair
    x, y = place.x_mm, place.y_mm
    boxes = [(x, y, x + piece.width_mm, y + piece.height_mm)]
    if label := piece.label:
        if label.side == "below":
            y -= label.gap_mm + label.height_mm
        elif label.side == "left":
            x -= label.gap_mm + label.width_mm
        else:
            x += piece.width_mm + label.gap_mm
        boxes.append((x, y, x + label.width_mm, y + label.height_mm))
    return boxes


def _hull(*pairs: Hung) -> tuple[str, Box]:
    boxes = [box for pair in pairs for box in _boxes(pair)]
    left, bottom = min(box[0] for box in boxes), min(box[1] for box in boxes)
    right, top = max(box[2] for box in boxes), max(box[3] for box in boxes)
    return pairs[0][1].wall, (left, bottom, right, top)


def _within(run: Run, hull: tuple[str, Box]) -> bool:
    wall, (left, _, right, _) = hull
    return wall == run.wall and run.from_mm <= left and right <= run.to_mm


def _apart(one: Box, other: Box) -> int:
    """Return the larger of the distances along the wall and up it."""
    along = max(one[0] - other[2], other[0] - one[2])
    upright = max(one[1] - other[3], other[1] - one[3])
    return max(along, upright)


def _centred(problem: Problem, run: Run, group: Sequence[Hung]) -> Iterator[Said]:
    _, (left, bottom, right, top) = _hull(*group)
    names = tuple(piece.id for piece, _ in group)
    own = next(wall.datum_mm for wall in problem.walls if wall.id == run.wall)
    datum = problem.arrangement.datum_mm if own is None else own
    for got, wanted, what in (
        ((left + right) / 2, (run.from_mm + run.to_mm) / 2, "centred"),
        ((bottom + top) / 2, datum, "datum"),
    ):
        if abs(got - wanted) > 0.5:
            yield (
                what,
                names,
                f"The group on wall {run.wall} has its middle at {got:g} mm, not {wanted:g} mm.",
            )


def _together(problem: Problem, groups: Sequence[Sequence[Hung]]) -> Iterator[Said]:
    """Let each piece of a group, or of groups that share a piece, have another just at the gap."""
    for names in _joined([set(group) for group in problem.together]):
        parts = [[pair for pair in group if pair[0].id in names] for group in groups]
        for part in (part for part in parts if part):
            reached, left = part[:1], part[1:]
            for one in reached:
                near = [pair for pair in left if _neighbours(one, pair, problem)]
                reached += near
                left = [pair for pair in left if pair not in near]
            if left or sum(bool(part) for part in parts) > 1:
                some = tuple(sorted(names))
                yield "together", some, f"{', '.join(some)} do not hang together."
                break


def _neighbours(one: Hung, other: Hung, problem: Problem) -> bool:
    a, b = _hull(one)[1], _hull(other)[1]
    facing = (a[0] < b[2] and b[0] < a[2]) or (a[1] < b[3] and b[1] < a[3])
    return facing and _apart(a, b) == problem.arrangement.min_gap_mm


def _joined(groups: list[set[str]]) -> list[set[str]]:
    joined: list[set[str]] = []
    for group in groups:
        apart = [other for other in joined if not other & group]
        joined = [*apart, group.union(*(other for other in joined if other & group))]
    return joined
