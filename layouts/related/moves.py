"""The gain of every insertion and every swap in a row, for many rows at once.

A line is one row: things in an order, with lengths, near weights between them, and leanings: what
it costs more that one stands left of the other, with the opposite sign the other way round. Things
are pieces, or groups of pieces whose inner order is settled.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from layouts.related.row import Ints

Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class Line:
    """Things to set in a row; costs are doubled, lengths in mm.

    With `anchored`, the first and the last stand for all that lies left and right of the row, and
    stay where they are.
    """

    lengths: Ints
    weights: Ints
    leanings: Ints
    anchored: bool = False

    def costs_twice(self, orders: Ints) -> Ints:
        """Return twice the cost of each order (orders by places)."""
        lengths = self.lengths[orders]
        centres = 2 * np.cumsum(lengths, axis=1) - lengths
        apart = np.abs(centres[:, :, None] - centres[:, None, :])
        rows, columns = orders[:, :, None], orders[:, None, :]
        near = (self.weights[rows, columns] * apart).sum(axis=(1, 2)) // 2
        costs: Ints = near + np.triu(self.leanings[rows, columns]).sum(axis=(1, 2))
        return costs

    def insertion_gains(self, orders: Ints) -> Ints:
        """Return what twice the cost changes by when the thing at place p moves to place q.

        Step by step past each neighbour k: the mover's weight to its left less that to its right
        costs it the neighbour's length, and the other way round.
        """
        count = orders.shape[1]
        places = np.arange(count)
        rows, columns = orders[:, :, None], orders[:, None, :]
        lengths, near = self.lengths[orders], self.weights[rows, columns]
        sums = np.cumsum(near, axis=2)
        degree = sums[:, :, -1]
        pull = 2 * sums - near - degree[:, :, None]
        balance = pull[:, places, places]
        sign = np.sign(places[None, :] - places[:, None])
        rightward = lengths[:, None, :] * pull - lengths[:, :, None] * balance[:, None, :]
        rightward -= self.leanings[rows, columns]
        step = 2 * (rightward + sign * lengths[:, :, None] * near)
        step[:, places, places] = 0
        run = np.cumsum(step, axis=2)
        at = run[:, places, places][:, :, None]
        rightwards = run - at
        leftwards = np.where(sign < 0, run - step - at, 0)
        gains = np.where(sign > 0, rightwards, leftwards)
        return self._held(gains)

    def _held(self, gains: Ints) -> Ints:
        """Forbid to move the anchors."""
        if self.anchored:
            never = np.iinfo(np.int64).max // 4
            gains[:, [0, -1], :] = never
            gains[:, :, [0, -1]] = never
        return gains


def moved(orders: Ints, sources: Ints, targets: Ints) -> Ints:
    """Return the orders with, in each, the thing at its source place moved to its target place."""
    places = np.arange(orders.shape[1])[None, :]
    p, q = sources[:, None], targets[:, None]
    right = (p <= places) & (places < q)
    left = (q < places) & (places <= p)
    taken = np.where(places == q, p, places + right - left)
    return np.take_along_axis(orders, taken, axis=1)
