"""Verify a split with code that the search does not use: row by row, from the pieces."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from layouts.rowing.split import Rows


def faults(
    answer: Rows,
    widths_mm: Sequence[int],
    rows: int,
    *,
    heights_mm: Sequence[int] | None = None,
    length_mm: int | None = None,
    left: int = 2,
    right: int = 2,
) -> list[str]:
    """Return a sentence for each fault of an answer, none when it is right."""
    if sorted(i for row in answer.rows for i in row) != list(range(len(widths_mm))):
        return ["Each piece must stand in one row, once."]
    found = []
    if len(answer.rows) != rows or not all(answer.rows):
        found.append(f"There must be {rows} rows with a piece in each.")
        return found
    for n, row in enumerate(answer.rows):
        width = sum(widths_mm[i] for i in row)
        if width != answer.widths_mm[n]:
            found.append(f"Row {n} is {width} mm wide, not {answer.widths_mm[n]} mm.")
        tallest = max(heights_mm[i] for i in row) if heights_mm else 0
        if tallest != answer.heights_mm[n]:
            found.append(f"Row {n} is {tallest} mm high, not {answer.heights_mm[n]} mm.")
        level = answer.levels_mm[n]
        if length_mm is None:
            if level != width:
                found.append(f"Row {n} is {width} mm wide, not {float(level)} mm.")
        elif width + level * (len(row) - 1) + level * Fraction(left + right, 2) != length_mm:
            found.append(f"Row {n} does not fill {length_mm} mm with gaps of {float(level)} mm.")
    if answer.bound_mm > max(answer.levels_mm) - min(answer.levels_mm):
        found.append("The bound is higher than the spread.")
    if answer.height_bound_mm > sum(answer.heights_mm):
        found.append("The bound is higher than the rows.")
    return found
