"""Light from day to day: opening hours, cleaning, events and nights, and when a budget is spent."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate

from conservation.light.dose import HIGHEST_LUX, LARGEST_LUX_H, ROUNDING
from conservation.ranges import ConservationError, in_range

EVERY_DAY = (1, 2, 3, 4, 5, 6, 7)
LONGEST_DAYS = 36_525
Day = datetime.date


class CalendarError(ConservationError):
    """Days, weekdays or hours that cannot be."""


@dataclass(frozen=True)
class Habit:
    """Light that falls on the same hours of some weekdays (1 is Monday), from day to day.

    `first` and `last` bound it, both included; None leaves that end open. An event is a habit of
    one day. Habits that fall on the same hours add, as lamps do.
    """

    what: str
    lux: float
    hours_a_day: float
    weekdays: tuple[int, ...] = EVERY_DAY
    first: Day | None = None
    last: Day | None = None

    def __post_init__(self) -> None:
        """Refuse what is no level, no time of a day or no weekday."""
        in_range(f"The level of {self.what}", self.lux, 0, HIGHEST_LUX, unit="lx")
        in_range(f"The time of {self.what}", self.hours_a_day, 0, 24, unit="h a day")
        if not self.weekdays or not set(self.weekdays) <= set(EVERY_DAY):
            raise CalendarError(f"Weekdays of {self.what} must be numbers from 1 (Monday) to 7.")
        if self.first and self.last and self.last < self.first:
            raise CalendarError(f"{self.what} ends on {self.last}, before it begins.")

    def lux_h_on(self, day: Day) -> float:
        """Return the dose in lx·h of one day."""
        outside = (self.first and day < self.first) or (self.last and day > self.last)
        falls = not outside and day.isoweekday() in self.weekdays
        return self.lux * self.hours_a_day if falls else 0.0


@dataclass(frozen=True)
class Spent:
    """When a budget is spent: `last_day` still keeps it, `over_on` would exceed it."""

    budget_lux_h: float
    dose_lux_h: float
    last_day: Day | None
    over_on: Day | None


@dataclass(frozen=True)
class Stretch:
    """The stretch of days with the most light, both ends included."""

    first: Day
    last: Day
    dose_lux_h: float


def daily_lux_h(habits: Sequence[Habit], first: Day, last: Day) -> list[tuple[Day, float]]:
    """Return the dose in lx·h of each day from first to last, both included.

    Up to 36 525 days; more, or an end before the beginning, raise CalendarError.
    Source: reciprocity.

    >>> opening = Habit("open", 50, 7, weekdays=(2, 3, 4, 5, 6, 7))
    >>> days = daily_lux_h([opening], Day(2026, 6, 1), Day(2026, 6, 7))
    >>> sum(dose for _, dose in days)
    2100.0
    """
    return list(_days(habits, first, last))


def dose_of_days(habits: Sequence[Habit], first: Day, last: Day) -> float:
    """Return the dose in lx·h from the first to the last day, both included.

    Valid range, errors and source as for `daily_lux_h`.

    >>> dose_of_days([Habit("open", 50, 7)], Day(2026, 3, 1), Day(2026, 5, 29))
    31500.0
    """
    return math.fsum(dose for _, dose in _days(habits, first, last))


def day_spent(
    habits: Sequence[Habit], first: Day, last: Day, budget: float, *, already_lux_h: float = 0
) -> Spent:
    """Return the last day from first to last that keeps a budget in lx·h, and the day beyond it.

    `already_lux_h` was taken before the first day. `over_on` is None where the budget outlasts the
    show; `last_day` is None where the first day already exceeds it. `dose_lux_h` is what was taken
    up to the evening of `last_day`. Budget and earlier dose at least 0; valid range else, errors
    and source as for `daily_lux_h`.

    >>> spent = day_spent([Habit("open", 50, 7)], Day(2026, 3, 1), Day(2026, 12, 31), 15_000)
    >>> str(spent.last_day), str(spent.over_on), spent.dose_lux_h
    ('2026-04-11', '2026-04-12', 14700.0)
    """
    budget = in_range("The budget", budget, 0, LARGEST_LUX_H, unit="lx·h")
    total = in_range("The earlier dose", already_lux_h, 0, LARGEST_LUX_H, unit="lx·h")
    last_day: Day | None = None
    for day, dose in _days(habits, first, last):
        now = total + dose
        if now > budget * (1 + ROUNDING):
            return Spent(budget, total, last_day, day)
        total, last_day = now, day
    return Spent(budget, total, last_day, None)


def worst_stretch(habits: Sequence[Habit], first: Day, last: Day, *, days: int = 365) -> Stretch:
    """Return the stretch of so many days with the highest dose in lx·h; the earliest of equals.

    A show that runs over several years keeps a yearly limit if its worst 365 days do. Days from 1
    to 36 525; a show shorter than that is taken whole. Errors and source as for `daily_lux_h`.

    >>> show = [Habit("open", 50, 7, last=Day(2026, 8, 31))]
    >>> worst = worst_stretch(show, Day(2026, 6, 1), Day(2026, 12, 31), days=30)
    >>> str(worst.first), str(worst.last), worst.dose_lux_h
    ('2026-06-01', '2026-06-30', 10500.0)
    """
    length = int(in_range("The number of days", days, 1, LONGEST_DAYS))
    doses = daily_lux_h(habits, first, last)
    sums = [0.0, *accumulate(dose for _, dose in doses)]
    length = min(length, len(doses))
    totals = [after - before for before, after in zip(sums, sums[length:], strict=False)]
    most = max(totals)
    at = next(n for n, total in enumerate(totals) if total >= most * (1 - ROUNDING))
    exact = math.fsum(dose for _, dose in doses[at : at + length])
    return Stretch(doses[at][0], doses[at + length - 1][0], exact)


def _days(habits: Sequence[Habit], first: Day, last: Day) -> Iterator[tuple[Day, float]]:
    if last < first:
        raise CalendarError(f"The last day, {last}, lies before the first, {first}.")
    count = (last - first).days + 1
    if count > LONGEST_DAYS:
        raise CalendarError(
            f"From {first} to {last} are {count} days; give at most {LONGEST_DAYS}."
        )
    for number in range(count):
        day = first + datetime.timedelta(days=number)
        yield day, math.fsum(habit.lux_h_on(day) for habit in habits)
