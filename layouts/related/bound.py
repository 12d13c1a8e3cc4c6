"""What the cost of any order cannot go below.

Of any three pieces one stands between the other two, and the near pair of those two pays its
length. So twice the cost is what each near pair pays for its own halves, and for every three pieces
twice the price of the one in the middle. Taking the cheapest middle for each three gives a bound.
Three pieces cannot choose freely, though: among any four, the middles of the four threes must come
from one order. The prices of each three are shared out among the fours that hold it, each four
takes the cheapest of its twelve orders, and the shares are shifted between the fours, by a rule
under which the sum never falls, as long as it grows.

Source: the betweenness form of the problem is A. R. S. Amaral, A new lower bound for the single row
facility layout problem, Discrete Applied Mathematics 157 (2009) 183-190 (from memory); averaging
least costs over the parts that share a variable is common practice of dual decomposition.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations, permutations

import numpy as np
from numpy.typing import NDArray

from layouts.related.cheap_bounds import by_spectrum_mm, by_stars_mm
from layouts.related.row import Ints, Row

MOST_PIECES_IN_FOURS = 45
MOST_PIECES_IN_THREES = 400
ROUNDS = 100
Floats = NDArray[np.float64]


def own_halves_twice(row: Row) -> int:
    """Return twice what near pairs pay for the halves of their own lengths, in any order."""
    return int((row.weights * (row.lengths[:, None] + row.lengths[None, :])).sum()) // 2


def bound_twice(row: Row, *, rounds: int = ROUNDS, stop: Callable[[], bool] = lambda: False) -> int:
    """Return a whole number that twice the cost of any order reaches or exceeds."""
    count = len(row.lengths)
    cheap = max(by_stars_mm(row), by_spectrum_mm(row))
    best = _whole_below(2 * cheap)
    if 3 <= count <= MOST_PIECES_IN_THREES:
        best = max(best, own_halves_twice(row) + _by_threes(row))
    if 4 <= count <= MOST_PIECES_IN_FOURS:
        best = max(best, own_halves_twice(row) + _by_fours(row, rounds, stop))
    return best


def _whole_below(twice: float) -> int:
    """Return the least whole number not below a bound, with room for rounding in sums."""
    return int(np.ceil(twice * (1 - 1e-9) - 1e-6))


def _by_threes(row: Row) -> int:
    total = 0
    for i in range(len(row.lengths) - 2):
        rest = np.arange(i + 1, len(row.lengths))
        near, lengths = row.weights[np.ix_(rest, rest)], row.lengths[rest]
        i_between = row.lengths[i] * near
        j_between = lengths[:, None] * row.weights[i, rest][None, :]
        least = np.minimum(i_between, np.minimum(j_between, j_between.T))
        total += int(np.triu(least, 1).sum())
    return 2 * total


def _by_fours(row: Row, rounds: int, stop: Callable[[], bool]) -> int:
    """Return the bound by fours; prices are kept as fours by their threes by the middle."""
    fours = np.array(list(combinations(range(len(row.lengths)), 4)), dtype=np.int64)
    threes = np.stack([np.delete(fours, left_out, axis=1) for left_out in range(4)], axis=1)
    number = _numbers(threes, len(row.lengths))
    prices = 2.0 * _prices(row, threes) / (len(row.lengths) - 3)
    middles = _middles()
    best = 0.0
    for _ in range(rounds):
        totals = sum(prices[:, t, middles[:, t]] for t in range(4))
        value = float(np.asarray(totals).min(axis=1).sum())
        if stop() or value < best * (1 + 1e-5):
            best = max(best, value)
            break
        best = value
        least = _least_by_middle(np.asarray(totals), middles) / 4
        shared = np.zeros((int(number.max()) + 1, 3))
        np.add.at(shared, number.reshape(-1), least.reshape(-1, 3))
        prices += shared[number] / (len(row.lengths) - 3) - least
    return _whole_below(best)


def _middles() -> Ints:
    """Return, for each order of four, which of each three (in rising order) is in the middle."""
    orders = [order for order in permutations(range(4)) if order[0] < order[-1]]
    lines = []
    for order in orders:
        threes = [[n for n in range(4) if n != left_out] for left_out in range(4)]
        lines.append([t.index(sorted(t, key=order.index)[1]) for t in threes])
    return np.array(lines, dtype=np.int64)


def _least_by_middle(totals: Floats, middles: Ints) -> Floats:
    least = np.empty((len(totals), 4, 3))
    for t in range(4):
        for m in range(3):
            least[:, t, m] = totals[:, middles[:, t] == m].min(axis=1)
    return least


def _prices(row: Row, threes: Ints) -> Floats:
    a, b, c = threes[..., 0], threes[..., 1], threes[..., 2]
    lengths, near = row.lengths, row.weights
    middle = [lengths[a] * near[b, c], lengths[b] * near[a, c], lengths[c] * near[a, b]]
    prices: Floats = np.stack(middle, axis=-1).astype(np.float64)
    return prices


def _numbers(threes: Ints, count: int) -> Ints:
    codes = (threes[..., 0] * count + threes[..., 1]) * count + threes[..., 2]
    numbers: Ints = np.unique(codes, return_inverse=True)[1].reshape(codes.shape)
    return numbers
