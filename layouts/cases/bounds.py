"""Bound from below how many cases any arrangement needs, by arithmetic."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from itertools import product

from layouts.cases.opencase import room
from layouts.cases.task import Task

Fold = Callable[[Fraction], Fraction]


def least_cases(task: Task) -> tuple[int, list[int]]:
    """Return a number of cases below which nothing goes, and items that need a case each."""
    if not task.items:
        return 0, []
    clique = task.clique
    largest = max((room(task, k) for k in range(len(task.kinds))), default=0)
    area = -(-sum(item.area for item in task.items) // largest) if largest else 0
    return max(len(clique), area, _folded(task)), clique


def _folded(task: Task) -> int:
    """Bound by dual feasible functions after Fekete and Schepers 2001, from memory.

    Only for one kind without shelves: each side of a box counts by a function under which no
    boxes that fit side by side exceed 1.
    """
    if len(task.kinds) != 1 or len(task.surfaces[0]) != 1:
        return 0
    surface, gap = task.surfaces[0][0], task.problem.clearances.between_mm
    width, depth = surface.width_mm + gap, surface.depth_mm + gap
    boxes = [
        (
            Fraction(t.width_mm + gap, width),
            Fraction(t.depth_mm + gap, depth),
            Fraction(t.depth_mm + gap, width),
            Fraction(t.width_mm + gap, depth),
            t.turns,
        )
        for t in task.things
    ]
    folds = _folds({side for box in boxes for side in box[:4] if side <= Fraction(1, 2)})
    best = Fraction(0)
    for one, other in product(folds, repeat=2):
        total = Fraction(0)
        for w, d, w_turned, d_turned, turns in boxes:
            share = one(w) * other(d) if w <= 1 and d <= 1 else None
            if turns and w_turned <= 1 and d_turned <= 1:
                turned = one(w_turned) * other(d_turned)
                share = turned if share is None else min(share, turned)
            total += share or 0
        best = max(best, total)
    return -(-best.numerator // best.denominator)


def _folds(sides: Sequence[Fraction] | set[Fraction]) -> list[Fold]:
    found: list[Fold] = [lambda x: x]
    found += [_rounded(k) for k in (1, 2, 3)]
    marks = sorted(sides)
    chosen = marks if len(marks) <= 6 else [marks[len(marks) * n // 6] for n in range(6)]
    found += [_split(mark) for mark in chosen]
    return found


def _rounded(k: int) -> Fold:
    def fold(x: Fraction) -> Fraction:
        many = (k + 1) * x
        return x if many.denominator == 1 else Fraction(many.numerator // many.denominator, k)

    return fold


def _split(mark: Fraction) -> Fold:
    """Count sides over 1 - mark whole, sides under mark not at all."""

    def fold(x: Fraction) -> Fraction:
        if x > 1 - mark:
            return Fraction(1)
        return x if x >= mark else Fraction(0)

    return fold
