"""Refuse quantities that are no numbers or lie outside the range in which a formula holds."""

from __future__ import annotations

import math
from typing import SupportsFloat


class ConservationError(ValueError):
    """Base of every expected refusal of this package; its text is a sentence for a reader."""


class OutOfRangeError(ConservationError):
    """A quantity lies outside the range in which a formula or a table holds."""

    def __init__(self, name: str, value: object, least: float, most: float, unit: str) -> None:
        self.name, self.value, self.least, self.most, self.unit = name, value, least, most, unit
        of = f" {unit}" if unit else ""
        bound = f"at least {least:g}" if math.isinf(most) else f"from {least:g} to {most:g}"
        shown = "missing" if value == "None" else f"{value!s:.40}"
        super().__init__(f"{name} is {shown}: give a number {bound}{of}.")


def in_range(
    name: str, value: object, least: float = 0.0, most: float = math.inf, *, unit: str = ""
) -> float:
    """Return the value as a float, or raise OutOfRangeError.

    NaN, infinities, booleans and text are refused whatever the range.

    >>> in_range("The level", 50, 0, 200_000, unit="lx")
    50.0
    >>> in_range("The level", float("nan"), 0, 200_000, unit="lx")
    Traceback (most recent call last):
        ...
    conservation.ranges.OutOfRangeError: The level is nan: give a number from 0 to 200000 lx.
    """
    if isinstance(value, bool | str) or not isinstance(value, SupportsFloat):
        raise OutOfRangeError(name, f"{value!r:.40}", least, most, unit)
    try:
        number = float(value)
    except (OverflowError, TypeError, ValueError) as error:
        raise OutOfRangeError(name, "no finite number", least, most, unit) from error
    if not math.isfinite(number) or not least <= number <= most:
        raise OutOfRangeError(name, value, least, most, unit)
    return number
