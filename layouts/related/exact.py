"""The best order by dynamic programming over subsets, with groups kept adjacent.

An order built from the left pays, for each piece set down, its length times the weight of all near
pairs that pass over it: one end set down before, the other still to come. That sum depends on which
pieces lie to the left and not on their order, so the best way to set down a set is built from the
best ways to set down all but one of it. What remains of the cost, half of both lengths of each near
pair, is the same in every order.

Source: J.-C. Picard and M. Queyranne, On the one-dimensional space allocation problem, Operations
Research 29 (1981) 371-391 (from memory); groups are our extension.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from layouts.related.row import Group, Ints, Row, members_of

TRANSITIONS = 24_000_000
CELLS_AT_ONCE = 1 << 20
UNREACHED = np.iinfo(np.int64).max // 4


def transitions(group: Group, contexts: int = 1) -> int:
    """Return how many steps the exact search takes; above TRANSITIONS it is not worth while."""
    count = len(group.children)
    if count > 24:
        return TRANSITIONS + 1
    sets = 1 << (count - 1)
    work = contexts * sets * (1 if group.fixed else count)
    for child in group.children:
        if work > TRANSITIONS:
            break
        if isinstance(child, Group):
            work += transitions(child, contexts * (1 if group.fixed else sets))
    return work


def best_order(
    row: Row,
    group: Group,
    *,
    left: Sequence[int] = (),
    cancelled: Callable[[], bool] = lambda: False,
) -> list[int]:
    """Return the order of least cost of a group, with pieces `left` of it and all others right.

    Raises InterruptedError when cancelled.
    """
    pulls = row.weights[np.ix_(group.members, list(left))].sum(axis=1)
    context = Context(np.zeros(1, dtype=np.int64), pulls[None])
    return _Exact(row, cancelled).order(group, context)


@dataclass(frozen=True)
class Context:
    """What lies left of a group, one line a case.

    `over` is the weight of pairs that pass over the whole group, `left` the weight between each of
    the group's pieces and all that lies left of the group.
    """

    over: Ints
    left: Ints

    def lines(self, begin: int, end: int) -> Context:
        return Context(self.over[begin:end], self.left[begin:end])

    def __len__(self) -> int:
        return len(self.over)


class _Sums:
    """Weights between any subset of a group's children and its pieces.

    Looked up in two tables, for the lower and the upper half of the children.
    """

    def __init__(self, row: Row, group: Group) -> None:
        self.members = group.members
        parts = [members_of(child) for child in group.children]
        ends = np.cumsum([0, *map(len, parts)])
        self.spans = [slice(int(a), int(b)) for a, b in pairwise(ends)]
        within = row.weights[np.ix_(self.members, self.members)]
        outside = row.weights[np.ix_(self.members)].sum(axis=1) - within.sum(axis=1)
        self.outside = np.array([outside[span].sum() for span in self.spans])
        by_child = np.stack([within[:, span].sum(axis=1) for span in self.spans])
        self.bits = len(parts) // 2
        self.low = _subset_sums(by_child[: self.bits])
        self.high = _subset_sums(by_child[self.bits :])
        self.passing_inside = np.zeros(1, dtype=np.int64)
        for n, span in enumerate(self.spans):
            rest = int(by_child[:, span].sum()) - int(by_child[n, span].sum())
            met = self.to(n, np.arange(1 << n)).sum(axis=0)
            more = self.passing_inside + rest - 2 * met
            self.passing_inside = np.concatenate([self.passing_inside, more])

    def to(self, number: int, subsets: Ints) -> Ints:
        """Return the weight between each piece of a child and each subset of the others."""
        low = self.low[self.spans[number]][:, subsets & ((1 << self.bits) - 1)]
        high = self.high[self.spans[number]][:, subsets >> self.bits]
        both: Ints = low + high
        return both

    def passing(self, context: Context) -> Ints:
        """Return the weight that passes the right end of each subset: contexts by subsets."""
        total = (context.over + context.left.sum(axis=1))[:, None]
        for n, span in enumerate(self.spans):
            step = self.outside[n] - 2 * context.left[:, span].sum(axis=1)
            total = np.concatenate([total, total + step[:, None]], axis=1)
        passing: Ints = total + self.passing_inside
        return passing


def _subset_sums(lines: Ints) -> Ints:
    """Return, for each column, the sums over every subset of lines."""
    sums = np.zeros((lines.shape[1], 1), dtype=np.int64)
    for line in lines:
        sums = np.concatenate([sums, sums + line[:, None]], axis=1)
    return sums


class _Exact:
    def __init__(self, row: Row, cancelled: Callable[[], bool]) -> None:
        self.row = row
        self.cancelled = cancelled
        self.sums: dict[Group, _Sums] = {}

    def order(self, group: Group, context: Context) -> list[int]:
        """Return the best order of a group in a single context."""
        level = self._level(group, context)
        sequence: list[int] = []
        for number, before in self._walk(level):
            child = group.children[number]
            if isinstance(child, Group):
                sequence += self.order(child, level.inside(number, before))
            else:
                sequence.append(child)
        return sequence

    def _walk(self, level: _Level) -> list[tuple[int, Ints]]:
        """Return the children's numbers in their best order, each with the subset before it.

        Of orders that cost the same, the one that keeps the last of the input last.
        """
        count = len(level.group.children)
        if level.group.fixed:
            return [(n, np.array([(1 << n) - 1])) for n in range(count)]
        best = self._table(level)[0]
        steps: list[tuple[int, Ints]] = []
        at = (1 << count) - 1
        while at:
            for n in (n for n in reversed(range(count)) if at >> n & 1):
                before = np.array([at ^ (1 << n)])
                if best[before[0]] + self._prices(level, n, before)[0, 0] == best[at]:
                    steps.append((n, before))
                    at = int(before[0])
                    break
        return steps[::-1]

    def costs(self, group: Group, context: Context) -> Ints:
        """Return the least cost of setting down a group, for each context."""
        count = len(group.children)
        each = max(1, CELLS_AT_ONCE >> count)
        if len(context) > each:
            parts = range(0, len(context), each)
            return np.concatenate([self.costs(group, context.lines(n, n + each)) for n in parts])
        level = self._level(group, context)
        if group.fixed:
            firsts = [np.array([(1 << n) - 1]) for n in range(count)]
            prices = [self._prices(level, n, before) for n, before in enumerate(firsts)]
            total: Ints = np.sum(prices, axis=0)[:, 0]
            return total
        last: Ints = self._table(level)[:, -1]
        return last

    def _table(self, level: _Level) -> Ints:
        """Return the least cost of setting down each subset of children first."""
        count = len(level.group.children)
        numbers = np.arange(1 << count, dtype=np.int64)
        sizes = np.zeros(1 << count, dtype=np.int8)
        for n in range(count):
            sizes[1 << n : 2 << n] = sizes[: 1 << n] + 1
        best = np.full((len(level.context), 1 << count), UNREACHED, dtype=np.int64)
        best[:, 0] = 0
        for size in range(count):
            if self.cancelled():
                raise InterruptedError
            these = numbers[sizes == size]
            for n in range(count):
                before = these[(these >> n) & 1 == 0]
                after = before | (1 << n)
                reached = best[:, before] + self._prices(level, n, before)
                best[:, after] = np.minimum(best[:, after], reached)
        return best

    def _prices(self, level: _Level, number: int, before: Ints) -> Ints:
        """Return the cost of setting down a child after each subset: contexts by subsets."""
        child = level.group.children[number]
        if isinstance(child, Group):
            return self.costs(child, level.inside(number, before)).reshape(-1, len(before))
        prices: Ints = self.row.lengths[child] * level.over(number, before)
        return prices

    def _level(self, group: Group, context: Context) -> _Level:
        if group not in self.sums:
            self.sums[group] = _Sums(self.row, group)
        return _Level(group, context, self.sums[group])


class _Level:
    """A group in its contexts."""

    def __init__(self, group: Group, context: Context, sums: _Sums) -> None:
        self.group, self.context, self.sums = group, context, sums
        self.passing = sums.passing(context)

    def over(self, number: int, before: Ints) -> Ints:
        """Return the weight that passes over a child after each subset: contexts by subsets."""
        own = self.context.left[:, self.sums.spans[number]].sum(axis=1)
        met = self.sums.to(number, before).sum(axis=0)
        over: Ints = self.passing[:, before] - own[:, None] - met[None]
        return over

    def inside(self, number: int, before: Ints) -> Context:
        """Return the contexts of a child after each subset, for each context of its group."""
        left = self.context.left[:, None, self.sums.spans[number]]
        left = left + self.sums.to(number, before).T[None]
        return Context(self.over(number, before).reshape(-1), left.reshape(-1, left.shape[2]))
