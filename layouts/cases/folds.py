"""Bound from below how many rectangles of one size hold a set of boxes, by folding their sides.

A dual feasible function gives lengths so that sides which together fit a whole still do. Boxes with
sides so changed need no more rectangles than before, and the area that they take is a bound.
Functions after Fekete and Schepers 2001 and Carlier, Clautiaux and Moukrim 2007, from memory.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

Box = tuple[int, int, bool]
# A function of a side, and what it gives for the whole.
Fold = tuple[Callable[[int], int], int]
MOST_MARKS = 40
ROUNDED = (1, 2, 3, 4, 5)
# Sums of some hundred floating shares are right to this at least.
HAIR = 1e-6


def least_rectangles(boxes: Sequence[Box], width: int, depth: int) -> int:
    """Return a number of rectangles below which no packing of the boxes goes.

    Boxes are (width, depth, may be turned); each fits a rectangle alone.
    """
    import numpy as np

    if not boxes:
        return 0
    wide, deep = [b[0] for b in boxes], [b[1] for b in boxes]
    either = [*wide, *deep]
    turning = any(b[2] for b in boxes)
    across = folds(either if turning else wide, width)
    along = folds(either if turning else deep, depth)
    total = np.zeros((len(across), len(along)))
    still = [b for b in boxes if not b[2]]
    if still:
        one = _shares(across, [b[0] for b in still])
        total += one @ _shares(along, [b[1] for b in still]).T
    for w, d, _ in (b for b in boxes if b[2]):
        ways = [
            np.outer(_shares(across, [x])[:, 0], _shares(along, [y])[:, 0])
            for x, y in ((w, d), (d, w))
            if x <= width and y <= depth
        ]
        total += np.minimum.reduce(ways)
    return int(np.ceil(total.max() - HAIR))


def _shares(rows: Sequence[Fold], sides: Sequence[int]) -> Any:
    import numpy as np

    return np.array([[fold(side) / whole for side in sides] for fold, whole in rows])


def folds(sides: Sequence[int], length: int) -> list[Fold]:
    """Return dual feasible functions of whole lengths up to a length, chosen for some sides."""
    marks = _marks(sides, length)
    found: list[Fold] = [(lambda x: x, length)]
    found += [_cut(mark, length) for mark in marks]
    found += [_stepped(mark, length) for mark in sorted({*marks, *(length // n for n in ROUNDED)})]
    found += [_rounded(k, length) for k in ROUNDED]
    return found


def _marks(sides: Sequence[int], length: int) -> list[int]:
    """Return lengths up to half the whole at which functions change, at most MOST_MARKS."""
    near = set(sides) | {length - side + 1 for side in sides}
    marks = sorted(mark for mark in near if 0 < 2 * mark <= length)
    if len(marks) <= MOST_MARKS:
        return marks
    return [marks[len(marks) * n // MOST_MARKS] for n in range(MOST_MARKS)]


def _cut(mark: int, length: int) -> Fold:
    """Count sides over the whole less a mark as the whole, and sides under the mark not at all."""

    def fold(x: int) -> int:
        if x > length - mark:
            return length
        return x if x >= mark else 0

    return fold, length


def _stepped(mark: int, length: int) -> Fold:
    """Count small sides by how many marks they hold, large ones by how many the rest cannot."""
    many = length // mark if mark else 0

    def fold(x: int) -> int:
        if not mark:
            return x
        if 2 * x > length:
            return 2 * (many - (length - x) // mark)
        return many if 2 * x == length else 2 * (x // mark)

    return fold, 2 * many if mark else length


def _rounded(k: int, length: int) -> Fold:
    """Round sides to k-ths, so that k + 1 equal parts of the whole count as k."""

    def fold(x: int) -> int:
        whole, rest = divmod((k + 1) * x, length)
        return k * x if rest == 0 else whole * length

    return fold, k * length
