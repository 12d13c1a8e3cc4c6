"""Dose of light by reciprocity, and what is left of a budget.

Reciprocity: a level held for a time does what half the level does in twice the time. Sources: a
French-language site on preventive conservation, whose example the tests use; CIE 157:2004, from
memory.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from conservation.light.limits import LightLimit
from conservation.ranges import ConservationError, in_range
from conservation.tables import Source

HIGHEST_LUX = 200_000
LONGEST_H = 1_000_000
LARGEST_LUX_H = HIGHEST_LUX * LONGEST_H
# Sums of many products in floating point may differ in the last digits from the exact budget.
ROUNDING = 1e-9


class NoBudgetError(ConservationError):
    """The rule set sets no yearly limit for this class, so no share can be told."""


@dataclass(frozen=True)
class Interval:
    """A level of light held for some hours: opening, cleaning, an event, the night."""

    lux: float
    hours: float
    what: str = ""

    def __post_init__(self) -> None:
        """Refuse what is no level or no time."""
        in_range("The level", self.lux, 0, HIGHEST_LUX, unit="lx")
        in_range("The time", self.hours, 0, LONGEST_H, unit="h")

    @property
    def lux_h(self) -> float:
        """The dose of this interval in lx·h."""
        return self.lux * self.hours


@dataclass(frozen=True)
class BudgetUse:
    """A dose against a budget; `share` 1 is all of it, `left_lux_h` is negative beyond it."""

    dose_lux_h: float
    budget_lux_h: float
    share: float
    left_lux_h: float
    kept: bool
    sources: tuple[Source, ...] = ()


def dose_lux_h(intervals: Iterable[Interval]) -> float:
    """Return the dose in lx·h of intervals: the sum of level times hours.

    Levels 0 to 200 000 lx, hours 0 to 1 000 000; others raise OutOfRangeError in Interval.
    Source: definition of exposure as the time integral of illuminance.

    >>> dose_lux_h([Interval(50, 8 * 365, "open"), Interval(0, 16 * 365, "night")])
    146000.0
    """
    return math.fsum(interval.lux_h for interval in intervals)


def use_of_budget(dose: float, budget: float, *, sources: tuple[Source, ...] = ()) -> BudgetUse:
    """Return how much of a budget, both in lx·h, a dose takes; exactly all of it is kept.

    Dose at least 0, budget above 0; others raise OutOfRangeError. Source: arithmetic.

    >>> use = use_of_budget(31_500, 30_000)
    >>> use.kept, use.left_lux_h
    (False, -1500.0)
    """
    dose = in_range("The dose", dose, 0, LARGEST_LUX_H, unit="lx·h")
    budget = in_range("The budget", budget, 1e-6, LARGEST_LUX_H, unit="lx·h")
    kept = dose <= budget * (1 + ROUNDING)
    return BudgetUse(dose, budget, dose / budget, budget - dose, kept, sources)


def use_of_year(dose: float, limit: LightLimit, *, years: float = 1) -> BudgetUse:
    """Return how much of the yearly limit of a class a dose in lx·h over some years takes.

    Years above 0, up to 1000. Raises NoBudgetError where the rule set has no yearly limit.
    Source: the limit's own, carried along.

    >>> from conservation.light.limits import light_limit
    >>> round(100 * use_of_year(146_000, light_limit("R2")).share, 1)
    97.3
    >>> use_of_year(31_500, light_limit("R3"), years=2).left_lux_h
    -1500.0
    """
    years = in_range("The number of years", years, 1e-6, 1000)
    if limit.max_lux_h_per_year is None:
        words = f"{limit.rule_set} sets no yearly exposure for {limit.responsivity}"
        raise NoBudgetError(f"{words}: give a budget of your own in lx·h.")
    return use_of_budget(dose, limit.max_lux_h_per_year * years, sources=(limit.source,))


def brightest_lux(
    budget: float, hours: float, *, other_lux_h: float = 0, max_lux: float | None = None
) -> float:
    """Return the brightest level in lx for some hours that keeps a budget in lx·h.

    `other_lux_h` is dose that falls anyway (cleaning, night, events); `max_lux` caps the level.
    Budget and other dose at least 0, hours above 0; others raise OutOfRangeError. 0 where the other
    dose takes all. Source: reciprocity.

    >>> brightest_lux(15_000, 600)
    25.0
    >>> brightest_lux(150_000, 600, max_lux=50)
    50.0
    """
    left = _left(budget, other_lux_h)
    level = left / in_range("The time", hours, 1e-6, LONGEST_H, unit="h")
    if max_lux is not None:
        level = min(level, in_range("The highest level", max_lux, 0, HIGHEST_LUX, unit="lx"))
    return min(level, float(HIGHEST_LUX))


def longest_h(budget: float, lux: float, *, other_lux_h: float = 0) -> float:
    """Return the longest time in h at a level in lx that keeps a budget in lx·h.

    Budget and other dose at least 0, level above 0; others raise OutOfRangeError. 0 where the other
    dose takes all. Source: reciprocity.

    >>> longest_h(15_000, 50)
    300.0
    >>> round(longest_h(15_000, 50) / 42, 2)  # weeks of 42 open hours
    7.14
    """
    return _left(budget, other_lux_h) / in_range("The level", lux, 1e-6, HIGHEST_LUX, unit="lx")


def _left(budget: float, other_lux_h: float) -> float:
    budget = in_range("The budget", budget, 0, LARGEST_LUX_H, unit="lx·h")
    other = in_range("The other dose", other_lux_h, 0, LARGEST_LUX_H, unit="lx·h")
    return max(0.0, budget - other)
