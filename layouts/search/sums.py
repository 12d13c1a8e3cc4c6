"""All widths and counts that subsets of some blocks can have, as bits of whole numbers.

`rows[c]` has bit w set where some subset counts c pieces and is w mm wide. A shift and an "or" of
such numbers treats thousands of subsets at once.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from random import Random

Item = tuple[int, int, int]
"""A block's number, its width in mm and its count of pieces."""
Rows = list[int]


def sums_of(items: Sequence[Item], most: int) -> Rows:
    """Return the sums of all subsets with up to `most` pieces."""
    rows = [1] + [0] * most
    for _, width, count in items:
        _add(rows, width, count)
    return rows


def _add(rows: Rows, width: int, count: int) -> None:
    """Let each subset be with or without one block more."""
    for c in range(len(rows) - 1 - count, -1, -1):
        if rows[c]:
            rows[c + count] |= rows[c] << width


def taken_off(items: Sequence[Item], width: int, most: int) -> Rows:
    """Return what is left of a width when subsets of up to `most` pieces are taken off it."""
    rows = [1 << width] + [0] * most
    for _, wide, count in items:
        for c in range(most - count, -1, -1):
            if rows[c]:
                rows[c + count] |= rows[c] >> wide
    return rows


def either(one: Rows, other: Rows) -> Rows:
    """Return the sums that one or the other has."""
    return [a | b for a, b in zip(one, other, strict=True)]


def filled(rows: Rows) -> Iterator[tuple[int, int]]:
    """Yield count and row where there are any sums."""
    return ((c, row) for c, row in enumerate(rows) if row)


def shifted(rows: Rows, width: int, count: int) -> Rows:
    """Return the sums with one fixed width and count added to each."""
    return [0] * count + [row << width for row in rows[: len(rows) - count]]


def widened(row: int, by: int) -> int:
    """Return a row in which each bit also sets the next `by` higher ones."""
    done = 0
    while done < by:
        step = min(done + 1, by - done)
        row |= row << step
        done += step
    return row


def window(low: int, high: int) -> int:
    """Return a row with the bits from low to high set, those below zero left out."""
    low = max(0, low)
    return 0 if high < low else ((1 << (high - low + 1)) - 1) << low


def moved(row: int, by: int) -> int:
    """Return a row moved towards higher bits, or lower ones where `by` is negative."""
    return row << by if by >= 0 else row >> -by


def some_bit(row: int, dice: Random) -> int:
    """Return a set bit of a row that is not empty."""
    at = dice.randrange(row.bit_length())
    below, above = row & ((1 << (at + 1)) - 1), row >> at
    if above:
        return at + (above & -above).bit_length() - 1
    return below.bit_length() - 1


def some_subset(items: Sequence[Item], width: int, count: int, dice: Random) -> list[int] | None:
    """Return the numbers of some blocks with exactly this width and count, or None."""
    if width < 0 or count < 0:
        return None
    order = list(items)
    dice.shuffle(order)
    layers = [[1] + [0] * count]
    for _, wide, many in order:
        layers.append(list(layers[-1]))
        _add(layers[-1], wide, many)
    if not layers[-1][count] >> width & 1:
        return None
    chosen = []
    for n in range(len(order) - 1, -1, -1):
        name, wide, many = order[n]
        without = layers[n][count] >> width & 1
        within = width >= wide and count >= many and layers[n][count - many] >> (width - wide) & 1
        if within and (not without or dice.random() < 0.5):
            chosen.append(name)
            width, count = width - wide, count - many
    return chosen
