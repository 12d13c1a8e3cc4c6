"""A good order by descent from many starts, for rows too long for the exact search.

Each lane descends by the best insertion until none gains, keeps the best order it has met, and goes
on from that order with a few things exchanged; a lane that stays without gain begins afresh. All
lanes advance in step, in one array. Work is counted in steps of all lanes, never in time, and the
seed decides everything else.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from layouts.related.moves import Line, moved
from layouts.related.row import Ints
from layouts.related.sifting import Sifting

LANES = 24
CELLS_IN_STEP = 40_000
LONGEST_AT_ONCE = 150
SHORT = 40
KICKS_BEFORE_AFRESH = 60
LARGEST = np.iinfo(np.int64).max


@dataclass
class Effort:
    """How many steps may still be taken, and whether somebody wants to stop sooner."""

    steps: int
    stop: Callable[[], bool] = lambda: False
    on_step: Callable[[int], None] = lambda done: None
    done: int = field(default=0, init=False)
    stopped: bool = field(default=False, init=False)

    def spend(self) -> bool:
        """Count one step; False when no more may be taken."""
        if self.stopped or self.done >= self.steps:
            return False
        self.done += 1
        if self.done % 32 == 0:
            self.on_step(self.done)
            self.stopped = self.stop()
        return not self.stopped


def improved(
    line: Line, start: Ints, dice: np.random.Generator, effort: Effort, steps: int
) -> Ints:
    """Return an order no worse than `start`, as numbers of things from left to right."""
    count = len(start)
    if count - 2 * line.anchored < 2:
        return start
    if count > SHORT and not line.anchored:
        start = min(
            start, _by_spectrum(line), key=lambda order: int(line.costs_twice(order[None])[0])
        )
    if count > LONGEST_AT_ONCE:
        return _sifted(line, start, dice, effort, steps)
    lanes = int(np.clip(CELLS_IN_STEP // count**2, 1, LANES))
    search = _Lanes(line, start, lanes, dice)
    for _ in range(steps):
        if not effort.spend():
            break
        search.step()
    return search.answer()


def _by_spectrum(line: Line) -> Ints:
    """Return the order in which a string of springs, one a near pair, swings slowest."""
    root = np.sqrt(np.maximum(line.lengths, 1).astype(np.float64))
    laplacian = np.diag(line.weights.sum(axis=1)) - line.weights
    values, shapes = np.linalg.eigh(laplacian / root[:, None] / root[None, :])
    slowest = int(np.argmax(values > 1e-9 * values[-1]))
    return np.argsort(shapes[:, slowest] / root, kind="stable")


def _sifted(line: Line, start: Ints, dice: np.random.Generator, effort: Effort, steps: int) -> Ints:
    """Sift until nothing moves, then exchange a few things of the best order and sift again."""
    best = at = Sifting(line, start)
    for _ in range(steps):
        if not effort.spend():
            break
        if at.sift() > 0:
            continue
        if at.cost <= best.cost:
            best = at
        at = Sifting(line, kicked(best.order, dice, anchored=line.anchored))
    return min(best, at, key=lambda sifting: sifting.cost).order


def kicked(order: Ints, dice: np.random.Generator, *, anchored: bool) -> Ints:
    """Exchange two or three pairs of things, anchors left alone."""
    order = order.copy()
    free = np.arange(anchored, len(order) - anchored)
    for _ in range(int(dice.integers(2, 4))):
        a, b = dice.choice(free, 2, replace=False)
        order[[a, b]] = order[[b, a]]
    return order


class _Lanes:
    def __init__(self, line: Line, start: Ints, lanes: int, dice: np.random.Generator) -> None:
        self.line, self.dice, self.count = line, dice, len(start)
        self.orders = np.stack([start, *(self._afresh(start) for _ in range(lanes - 1))])
        self.costs = line.costs_twice(self.orders)
        self.best = self.orders.copy()
        self.best_costs = self.costs.copy()
        self.idle = np.zeros(lanes, dtype=np.int64)
        self.ever, self.ever_cost = start.copy(), int(self.costs[0])

    def step(self) -> None:
        """Let each lane take its best insertion, or start again from a kick where none gains."""
        lanes = np.arange(len(self.orders))
        gains = self.line.insertion_gains(self.orders).reshape(len(lanes), -1)
        choice = gains.argmin(axis=1)
        gain = gains[lanes, choice]
        sources, targets = choice // self.count, choice % self.count
        self.orders = moved(self.orders, sources, np.where(gain < 0, targets, sources))
        self.costs += gain
        at_rest = np.flatnonzero(gain == 0)
        for lane in at_rest:
            self._settled(int(lane))
        if at_rest.size:
            self.costs[at_rest] = self.line.costs_twice(self.orders[at_rest])

    def _settled(self, lane: int) -> None:
        order = self.orders[lane]
        self.idle[lane] += 1
        if self.costs[lane] <= self.best_costs[lane]:
            if self.costs[lane] < self.best_costs[lane]:
                self.idle[lane] = 0
            self.best[lane], self.best_costs[lane] = order.copy(), self.costs[lane]
        if self.costs[lane] < self.ever_cost:
            self.ever, self.ever_cost = order.copy(), int(self.costs[lane])
        if self.idle[lane] > KICKS_BEFORE_AFRESH:
            self.idle[lane], self.best_costs[lane] = 0, LARGEST
            self.orders[lane] = self._afresh(order)
        else:
            self.orders[lane] = kicked(self.best[lane], self.dice, anchored=self.line.anchored)

    def _afresh(self, order: Ints) -> Ints:
        order = order.copy()
        free = slice(self.line.anchored, self.count - self.line.anchored)
        order[free] = self.dice.permutation(order[free])
        return order

    def answer(self) -> Ints:
        """Return the best order met, those on their way down counted."""
        costs = self.line.costs_twice(self.orders)
        lowest: Ints = self.orders[int(costs.argmin())]
        return lowest if costs.min() < self.ever_cost else self.ever
