"""Pieces to split into rows, and what makes rows even."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Task:
    """Widths and heights in mm, how many rows, and the length that each row fills.

    `margins` is how many half gaps the two ends of a row take together (4: each end as wide as a
    gap). Without a length, rows are even when their widths are equal.
    """

    widths: Ints
    heights: Ints
    rows: int
    length_mm: int | None
    margins: int

    def level(self, width_mm: int, count: int) -> Fraction:
        """Return what ought to be equal in all rows: the gap, or without a length the width."""
        if self.length_mm is None:
            return Fraction(width_mm)
        return Fraction(2 * (self.length_mm - width_mm), self.margins + 2 * (count - 1))

    def levels(self, widths: Ints | Numbers, counts: Ints) -> Numbers:
        """Return the levels of many rows at once, as floats."""
        if self.length_mm is None:
            return np.asarray(widths, dtype=np.float64)
        halves = np.maximum(self.margins + 2 * (counts - 1), 1)
        gaps: Numbers = 2.0 * (self.length_mm - widths) / halves
        return gaps

    @property
    def even_level(self) -> Fraction:
        """Return the level that all rows would have could pieces be divided."""
        total = int(self.widths.sum())
        if self.length_mm is None:
            return Fraction(total, self.rows)
        halves = self.rows * (self.margins - 2) + 2 * len(self.widths)
        return Fraction(2 * (self.rows * self.length_mm - total), halves)

    def row_levels(self, rows: Sequence[Sequence[int]]) -> list[Fraction]:
        return [self.level(int(self.widths[list(row)].sum()), len(row)) for row in rows]

    def spread(self, rows: Sequence[Sequence[int]]) -> Fraction:
        levels = self.row_levels(rows)
        return max(levels) - min(levels)

    def height(self, rows: Sequence[Sequence[int]]) -> int:
        """Return the sum of the rows' heights, each that of its tallest piece."""
        return sum(int(self.heights[list(row)].max()) for row in rows)

    @property
    def taken(self) -> Numbers:
        """Return the width that each piece takes in an even row, its gap counted."""
        gap = 0.0 if self.length_mm is None else float(self.even_level)
        taken: Numbers = self.widths.astype(np.float64) + gap
        return taken
