"""What holds along a wall where stretches overlap. Lengths in mm from the wall's left end."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

Value = int | Decimal


@dataclass(frozen=True)
class Held:
    """A stretch of wall and the value that holds along it; None where nothing was stated."""

    from_mm: int
    to_mm: int
    value: Value | None


def holding(
    length_mm: int,
    stated: Iterable[tuple[int, int, Value | None]],
    strictest: Callable[[Iterable[Value]], Value],
) -> list[Held]:
    """Return the whole wall in stretches, each with the strictest value stated for it.

    `stated` gives (from, to, value). Light is strictest at its brightest (`max`), a load at its
    least (`min`).

    >>> holding(9, [(0, 6, 50), (4, 9, 150)], max)
    [Held(from_mm=0, to_mm=4, value=50), Held(from_mm=4, to_mm=9, value=150)]
    """
    known = [(start, end, value) for start, end, value in stated if value is not None]
    ends = {0, length_mm}.union(*((start, end) for start, end, _ in known))
    marks = sorted(mark for mark in ends if 0 <= mark <= length_mm)
    found: list[Held] = []
    for start, end in pairwise(marks):
        values = [value for left, right, value in known if left <= start and end <= right]
        value = strictest(values) if values else None
        if found and found[-1].value == value:
            start = found.pop().from_mm
        found.append(Held(start, end, value))
    return found


def covered_mm(length_mm: int, spans: Iterable[tuple[int, int]]) -> int:
    """Return how much of the wall lies within at least one span.

    >>> covered_mm(100, [(10, 30), (20, 50)])
    40
    """
    held = holding(length_mm, [(start, end, 1) for start, end in spans], max)
    return sum(part.to_mm - part.from_mm for part in held if part.value)
