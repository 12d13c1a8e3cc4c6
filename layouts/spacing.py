"""Equal gaps in whole millimetres."""

from __future__ import annotations

import itertools
from dataclasses import dataclass


@dataclass(frozen=True)
class Row:
    """Left edges of blocks from the run's start, and the gaps that came of it, all in mm."""

    starts_mm: tuple[int, ...]
    gaps_mm: tuple[int, ...]


def spread(
    *,
    length_mm: int,
    widths_mm: list[int],
    left: int = 2,
    right: int = 2,
    most_mm: int | None = None,
    fixed_mm: dict[int, int] | None = None,
) -> Row:
    """Place blocks with equal gaps; where whole millimetres do not divide, gaps differ by 1 mm.

    `left` and `right` are the margins wanted in half gaps (2: as the gaps; 1: half; 0: what is
    left over, equally at both ends). `most_mm` caps the gap and centres the row. `fixed_mm` gives
    gaps after a block (by its index) that do not share. Gaps come back with both margins.

    Source: g = (L - sum of widths) / (n + 1) for margins equal to the gaps (common practice of
    hanging, no source).
    """
    count = len(widths_mm)
    fixed_mm = fixed_mm or {}
    free = length_mm - sum(widths_mm) - sum(fixed_mm.values())
    inner = [2 if n not in fixed_mm else 0 for n in range(count - 1)]
    units = [left, *inner, right]
    if most_mm is not None and free * 2 > most_mm * sum(units):
        inner_total = most_mm * (sum(inner) // 2)
        margin = free - inner_total
        gaps = [margin // 2, *[most_mm if unit else 0 for unit in inner], margin - margin // 2]
    else:
        gaps = _shares(free, units)
    for n, width in fixed_mm.items():
        gaps[n + 1] = width
    starts, at = [], 0
    for gap, width in zip(gaps, widths_mm, strict=False):
        at += gap
        starts.append(at)
        at += width
    return Row(tuple(starts), tuple(gaps))


def _shares(total: int, units: list[int]) -> list[int]:
    """Divide `total` in proportion to `units`, mirrored as far as whole millimetres allow."""
    everything = sum(units)
    if everything == 0:
        return [total // 2, *[0] * (len(units) - 2), total - total // 2]
    marks, done = [], 0
    for unit in [0, *units]:
        done += unit
        exact = total * done
        down, rest = divmod(exact, everything)
        marks.append(down + (2 * rest > everything))
    return [after - before for before, after in itertools.pairwise(marks)]


def equal_gap_mm(*, length_mm: int, widths_mm: list[int], left: int = 2, right: int = 2) -> int:
    """Return the equal gap of a row, rounded down; negative when the row is too long."""
    units = left + right + 2 * (len(widths_mm) - 1)
    free = length_mm - sum(widths_mm)
    return 2 * free // units if units else free
