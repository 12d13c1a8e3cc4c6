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

from collections.abc import Callable, Sequence
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
    """Return the bound by fours; prices are kept by three, by the middle, by four."""
    count = len(row.lengths)
    fours = np.array(list(combinations(range(count), 4)), dtype=np.int64).T
    threes = [np.delete(fours, left_out, axis=0) for left_out in range(4)]
    numbers = _numbers(np.stack(threes), count)
    prices = [[2.0 * price / (count - 3) for price in _prices(row, three)] for three in threes]
    middles = _middles()
    best = 0.0
    for _ in range(rounds):
        totals = [_total([prices[t][m] for t, m in enumerate(order)]) for order in middles]
        value = float(_least(totals).sum())
        if stop() or value < best * (1 + 1e-5):
            best = max(best, value)
            break
        best = value
        for m in range(3):
            least = [_least_with(totals, middles, t, m) / 4 for t in range(4)]
            shared = np.bincount(numbers.reshape(-1), weights=np.concatenate(least)) / (count - 3)
            for t in range(4):
                prices[t][m] = prices[t][m] + shared[numbers[t]] - least[t]
    return _whole_below(best)


def _total(lines: Sequence[Floats]) -> Floats:
    total = lines[0] + lines[1]
    for line in lines[2:]:
        total += line
    return total


def _least(lines: Sequence[Floats]) -> Floats:
    least: Floats = lines[0]
    for line in lines[1:]:
        least = np.minimum(least, line)
    return least


def _least_with(
    totals: Sequence[Floats], middles: Sequence[Sequence[int]], three: int, middle: int
) -> Floats:
    """Return the least total of the orders in which that three has that middle."""
    pairs = zip(totals, middles, strict=True)
    return _least([total for total, order in pairs if order[three] == middle])


def _middles() -> list[list[int]]:
    """Return, for each order of four, which of each three (in rising order) is in the middle."""
    orders = [order for order in permutations(range(4)) if order[0] < order[-1]]
    lines = []
    for order in orders:
        threes = [[n for n in range(4) if n != left_out] for left_out in range(4)]
        lines.append([t.index(sorted(t, key=order.index)[1]) for t in threes])
    return lines


def _prices(row: Row, threes: Ints) -> list[Floats]:
    a, b, c = threes
    lengths, near = row.lengths, row.weights.astype(np.float64)
    return [lengths[a] * near[b, c], lengths[b] * near[a, c], lengths[c] * near[a, b]]


def _numbers(threes: Ints, count: int) -> Ints:
    """Return a number for each three of each four, the same wherever the three is the same."""
    codes = (threes[:, 0] * count + threes[:, 1]) * count + threes[:, 2]
    numbers: Ints = np.unique(codes, return_inverse=True)[1].reshape(codes.shape)
    return numbers
