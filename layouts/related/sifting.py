"""Descent for long rows: one thing at a time finds its best place."""

from __future__ import annotations

import numpy as np

from layouts.related.moves import Line
from layouts.related.row import Ints


class Sifting:
    """An order, with each thing's weight to its left less that to its right kept up to date."""

    def __init__(self, line: Line, order: Ints) -> None:
        self.line, self.order = line, order.copy()
        near = line.weights[np.ix_(order, order)]
        self.balance = 2 * np.tril(near).sum(axis=1) - near.sum(axis=1)
        self.degree = line.weights.sum(axis=1)
        self.cost = int(line.costs_twice(order[None])[0])

    def sift(self) -> int:
        """Let each thing move once to its best place; return by how much twice the cost fell."""
        before = self.cost
        held = {int(self.order[0]), int(self.order[-1])} if self.line.anchored else set()
        for thing in self.order.tolist():
            if thing not in held:
                self._place(thing)
        return before - self.cost

    def _place(self, thing: int) -> None:
        line, order = self.line, self.order
        at = int(np.flatnonzero(order == thing)[0])
        near = line.weights[thing][order]
        length = line.lengths[thing]
        pull = 2 * np.cumsum(near) - near - self.degree[thing]
        rightward = line.lengths[order] * pull - length * self.balance - line.leanings[thing][order]
        past = 2 * (rightward + np.sign(np.arange(len(order)) - at) * length * near)
        past[at] = 0
        gains = np.concatenate([-np.cumsum(past[:at][::-1])[::-1], [0], np.cumsum(past[at + 1 :])])
        if line.anchored:
            gains[[0, -1]] = 0
        to = int(gains.argmin())
        if gains[to] >= 0:
            return
        self.cost += int(gains[to])
        passed = slice(at + 1, to + 1) if to > at else slice(to, at)
        self.balance[passed] -= 2 * np.sign(to - at) * near[passed]
        own = pull[to] + np.sign(to - at) * near[to]
        self.order = np.insert(np.delete(order, at), to, thing)
        self.balance = np.insert(np.delete(self.balance, at), to, own)
