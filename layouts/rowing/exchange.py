"""Even rows by exchange: the largest first into the emptiest row, then swaps and moves that gain.

Largest first: R. L. Graham, Bounds on multiprocessing timing anomalies, SIAM Journal on Applied
Mathematics 17 (1969) 416-429 (from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from layouts.rowing.task import Ints, Numbers, Task

OUTSIDE_IS_WORSE = 1e4
HARDLY_COUNTS = 1e-6
KICK = 3


@dataclass(frozen=True)
class Aim:
    """What a row's shortcomings are: its distance from the even level, squared; or, with
    `allowed_mm`, first its distance beyond half of that, then its height.
    """

    task: Task
    allowed_mm: float | None = None

    def shortcomings(self, widths: Ints, counts: Ints, heights: Ints) -> Numbers:
        off = np.abs(self.task.levels(widths, counts) - float(self.task.even_level))
        if self.allowed_mm is None:
            return off * off
        beyond = np.maximum(0.0, off - self.allowed_mm / 2)
        worst: Numbers = OUTSIDE_IS_WORSE * beyond + heights + HARDLY_COUNTS * off
        return worst


def largest_first(task: Task) -> list[list[int]]:
    """Return rows filled with the widest piece left, always the emptiest row."""
    taken = task.taken
    rows: list[list[int]] = [[] for _ in range(task.rows)]
    filled = [0.0] * task.rows
    for i in sorted(range(len(taken)), key=lambda i: (-taken[i], i)):
        r = min(range(task.rows), key=lambda r: (len(rows[r]) > 0, filled[r], r))
        rows[r].append(i)
        filled[r] += float(taken[i])
    return rows


def by_height(task: Task) -> list[list[int]]:
    """Return rows of the tallest pieces, the next tallest and so on, all about as full."""
    taken = task.taken
    order = sorted(range(len(taken)), key=lambda i: (-task.heights[i], -taken[i], i))
    share = float(taken.sum()) / task.rows
    rows: list[list[int]] = [[]]
    filled = 0.0
    for n, i in enumerate(order):
        must = len(order) - n <= task.rows - len(rows)
        full = filled + float(taken[i]) / 2 > share * len(rows) and len(rows) < task.rows
        if rows[-1] and (must or full):
            rows.append([])
        rows[-1].append(i)
        filled += float(taken[i])
    return rows


def descended(aim: Aim, rows: Sequence[Sequence[int]]) -> list[list[int]]:
    """Return rows after exchanges between two rows, the best each time, until none gains."""
    state = [list(row) for row in rows]
    pairs = list(combinations(range(len(state)), 2))
    quiet = 0
    while quiet < len(pairs):
        for a, b in pairs:
            if _exchange(aim, state, a, b):
                quiet = 0
            else:
                quiet += 1
            if quiet >= len(pairs):
                break
    return state


def _exchange(aim: Aim, rows: list[list[int]], a: int, b: int) -> bool:
    """Swap a piece of each row, or move one over, if that gains; the last place is no piece."""
    task = aim.task
    sides = [_Side(task, rows[a]), _Side(task, rows[b])]
    first, second = sides
    d_width = second.widths[None, :] - first.widths[:, None]
    d_count = second.counts[None, :] - first.counts[:, None]
    total = np.zeros(d_width.shape)
    heights_a = np.maximum(first.height_without[:, None], second.heights[None, :])
    heights_b = np.maximum(second.height_without[None, :], first.heights[:, None])
    for side, sign, heights in ((first, 1, heights_a), (second, -1, heights_b)):
        counts = side.count + sign * d_count
        total += aim.shortcomings(side.width + sign * d_width, counts, heights)
        total[counts < 1] = np.inf
    i, j = np.unravel_index(int(total.argmin()), total.shape)
    if total[i, j] >= total[-1, -1] - 1e-9 * (1 + abs(total[-1, -1])):
        return False
    from_a, from_b = rows[a][i : i + 1], rows[b][j : j + 1]
    rows[a][i : i + 1] = []
    rows[b][j : j + 1] = []
    rows[a] += from_b
    rows[b] += from_a
    return True


class _Side:
    """A row and, in the last place, no piece."""

    def __init__(self, task: Task, row: list[int]) -> None:
        self.widths = np.append(task.widths[row], 0)
        self.heights = np.append(task.heights[row], 0)
        self.counts = np.append(np.ones(len(row), dtype=np.int64), 0)
        self.width, self.count = int(self.widths.sum()), len(row)
        tallest = np.sort(self.heights)[::-1]
        alone = int((self.heights == tallest[0]).sum()) == 1
        second = tallest[1] if alone else tallest[0]
        self.height_without = np.where(self.heights == tallest[0], second, tallest[0])


def improved(
    aim: Aim,
    start: Sequence[Sequence[int]],
    worth: Callable[[list[list[int]]], tuple[float, ...]],
    *,
    kicks: int,
    seed: int,
    enough: Callable[[tuple[float, ...]], bool] = lambda worth: False,
    cancelled: Callable[[], bool] = lambda: False,
) -> list[list[int]]:
    """Return the rows of least `worth` met in descents from kicked rows, `start` counted."""
    dice = np.random.default_rng(seed)
    best = [list(row) for row in start]
    at = descended(aim, best)
    if worth(at) <= worth(best):
        best = at
    for _ in range(kicks):
        if enough(worth(best)) or cancelled():
            break
        at = descended(aim, _kicked(best, dice))
        if worth(at) <= worth(best):
            best = at
    return best


def _kicked(rows: list[list[int]], dice: np.random.Generator) -> list[list[int]]:
    rows = [list(row) for row in rows]
    for _ in range(KICK):
        a, b = dice.choice(len(rows), 2, replace=False)
        i, j = dice.integers(len(rows[a])), dice.integers(len(rows[b]))
        rows[a][i], rows[b][j] = rows[b][j], rows[a][i]
    return rows
