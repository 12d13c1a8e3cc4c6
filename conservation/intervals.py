"""Quantities known only within a range: ranges in, ranges out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import product
from typing import TypeAlias

from conservation.ranges import ConservationError, OutOfRangeError, in_range

MOST_CORNERS = 12


class InvalidInterval(ConservationError):  # noqa: N818
    """A range is no pair of numbers, or ends before it begins."""


@dataclass(frozen=True)
class Interval:
    """A quantity that lies from `low` to `high`, both included; equal where it is known."""

    low: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.high:
            raise InvalidInterval(f"A range runs from {self.low} to {self.high}: give low ≤ high.")

    @property
    def known(self) -> bool:
        """Return whether the quantity is a single number."""
        return self.low == self.high

    def meet(self, other: Interval) -> Interval | None:
        """Return what both ranges hold, or None where they do not meet.

        >>> Interval(40, 55).meet(Interval(50, 60))
        Interval(low=50, high=55)
        """
        low, high = max(self.low, other.low), min(self.high, other.high)
        return Interval(low, high) if low <= high else None

    def __str__(self) -> str:
        return f"{self.low:g}" if self.known else f"{self.low:g} to {self.high:g}"


Amount: TypeAlias = "float | int | Interval | Sequence[float]"


def interval(
    name: str, value: Amount, least: float, most: float, *, unit: str = "", above: bool = False
) -> Interval:
    """Return a number or a pair [low, high] as a range from `least` to `most`.

    `above` refuses `least` itself. Raises OutOfRangeError or InvalidInterval. Source: arithmetic.

    >>> interval("The air exchange", [0.1, 0.4], 0, 1000, unit="1/d")
    Interval(low=0.1, high=0.4)
    """
    if isinstance(value, Interval):
        ends: list[object] = [value.low, value.high]
    elif isinstance(value, list | tuple):
        ends = list(value)
        if len(ends) != 2:
            raise InvalidInterval(f"{name} is {value!r:.60}: give a number or a pair [low, high].")
    else:
        ends = [value, value]
    low, high = (in_range(name, end, least, most, unit=unit) for end in ends)
    if above and low <= least:
        raise OutOfRangeError(name, low, least, most, f"{unit} (above {least:g})".strip())
    if low > high:
        raise InvalidInterval(f"{name} runs from {low:g} to {high:g}: give the lower number first.")
    return Interval(low, high)


def over(formula: Callable[..., float], *amounts: Interval) -> Interval:
    """Return the range of a formula that rises or falls steadily in each of its amounts.

    Its extremes then lie where every amount is at one of its ends. At most 12 amounts;
    more raise InvalidInterval. Source: arithmetic.

    >>> over(lambda a, b: a / b, Interval(1, 2), Interval(4, 5))
    Interval(low=0.2, high=0.5)
    """
    if len(amounts) > MOST_CORNERS:
        raise InvalidInterval(f"A formula of {len(amounts)} amounts: at most {MOST_CORNERS}.")
    ends = [(a.low,) if a.known else (a.low, a.high) for a in amounts]
    results = [formula(*corner) for corner in product(*ends)]
    return Interval(min(results), max(results))
