"""Search group by group where a row with groups is too long for the exact search.

A group's children are set in a row of their own, with all that lies left and right of the group as
anchors at its ends, and each child group as one thing whose inner order stands. So each gain there
is a gain of the whole row.
"""

from __future__ import annotations

import numpy as np

from layouts.related.exact import best_order, transitions
from layouts.related.moves import Line
from layouts.related.row import Group, Row, members_of
from layouts.related.search import Effort, improved

SMALL = 200_000
ROUNDS = 4
STARTS = 3


def search(row: Row, group: Group, dice: np.random.Generator, effort: Effort) -> list[int]:
    """Return a good order of the row's pieces, with the groups kept adjacent."""
    if not any(isinstance(child, Group) for child in group.children):
        return _Descent(row, dice, effort, effort.steps).rearranged(group, list(group.members))
    steps = max(1, effort.steps // (STARTS * ROUNDS * _groups_in(group)))
    best: list[int] = []
    for n in range(STARTS):
        start = _shuffled(group, dice) if n else list(group.members)
        order = _Descent(row, dice, effort, steps).order(group, start)
        if not best or row.cost_twice(order) < row.cost_twice(best):
            best = order
    return best


def _groups_in(group: Group) -> int:
    return 1 + sum(_groups_in(child) for child in group.children if isinstance(child, Group))


def _shuffled(child: int | Group, dice: np.random.Generator) -> list[int]:
    if not isinstance(child, Group):
        return [child]
    numbers = range(len(child.children))
    if not child.fixed:
        numbers = dice.permutation(len(child.children)).tolist()
    return [i for n in numbers for i in _shuffled(child.children[n], dice)]


class _Descent:
    def __init__(self, row: Row, dice: np.random.Generator, effort: Effort, steps: int) -> None:
        self.row, self.dice, self.effort, self.steps = row, dice, effort, steps

    def order(self, group: Group, order: list[int]) -> list[int]:
        """Settle groups from the outermost inwards, again and again until nothing is gained."""
        cost = self.row.cost_twice(order)
        for _ in range(ROUNDS):
            order = self._settled(group, order)
            before, cost = cost, self.row.cost_twice(order)
            if cost >= before or self.effort.stopped:
                break
        return order

    def _settled(self, group: Group, order: list[int]) -> list[int]:
        if transitions(group) <= SMALL:
            left, _, right = _around(group, order)
            return [*left, *best_order(self.row, group, left=left), *right]
        if not group.fixed:
            order = self.rearranged(group, order)
        for child in group.children:
            if isinstance(child, Group):
                order = self._settled(child, order)
        return order

    def rearranged(self, group: Group, order: list[int]) -> list[int]:
        """Return the order with the group's children rearranged, each as it is within."""
        left, inside, right = _around(group, order)
        place = {i: n for n, i in enumerate(inside)}
        things = [sorted(members_of(child), key=place.__getitem__) for child in group.children]
        things.sort(key=lambda thing: place[thing[0]])
        line = self._line(things, left, right)
        anchored = int(line.anchored)
        start = np.arange(len(line.lengths), dtype=np.int64)
        best = improved(line, start, self.dice, self.effort, self.steps)
        chosen = best[anchored : len(best) - anchored] - anchored
        return [*left, *(i for n in chosen for i in things[n]), *right]

    def _line(self, things: list[list[int]], left: list[int], right: list[int]) -> Line:
        anchored = bool(left or right)
        parts = [left, *things, right] if anchored else things
        belongs = np.zeros((len(parts), len(self.row.lengths)), dtype=np.int64)
        offset = np.zeros(len(self.row.lengths), dtype=np.int64)
        lengths = np.zeros(len(parts), dtype=np.int64)
        for n, part in enumerate(parts):
            belongs[n, part] = 1
            if anchored and n in (0, len(parts) - 1):
                continue
            own = self.row.lengths[part]
            lengths[n] = own.sum()
            offset[part] = 2 * np.cumsum(own) - own - lengths[n]
        weights = belongs @ self.row.weights @ belongs.T
        np.fill_diagonal(weights, 0)
        off = (belongs * offset) @ self.row.weights @ belongs.T
        leanings = off.T - off
        return Line(lengths, weights, leanings, anchored)


def _around(group: Group, order: list[int]) -> tuple[list[int], list[int], list[int]]:
    """Return what lies left of a group, the group, and what lies right of it."""
    members = set(group.members)
    begin = next(n for n, i in enumerate(order) if i in members)
    end = begin + len(members)
    return order[:begin], order[begin:end], order[end:]
