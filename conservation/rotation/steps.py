"""Cut a rotation into steps between changeovers, alike places into groups, budgets into windows.

Doses are whole numbers here: lx times hundredths of an hour times days.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate

from conservation.rotation.problem import Budget, Candidate, Place, Problem

Key = tuple[int, int, int]


@dataclass(frozen=True)
class Group:
    """Places that are alike in all that counts; `rate` is their dose a day."""

    places: tuple[Place, ...]
    lux: int
    rate: int
    effort: int


@dataclass(frozen=True)
class Window:
    """A stretch of days and the dose that may fall within it."""

    from_day: int
    to_day: int
    limit: int

    def days_of(self, start: int, stop: int) -> int:
        """Return how many days from start to stop lie within the window."""
        return max(0, min(stop, self.to_day) - max(start, self.from_day))


@dataclass(frozen=True)
class SetOf:
    """One set of interchangeable objects with the places that take it."""

    name: str
    objects: tuple[Candidate, ...]
    groups: tuple[Group, ...]

    @property
    def places(self) -> int:
        """Return how many places the set fills."""
        return sum(len(group.places) for group in self.groups)


@dataclass(frozen=True)
class Steps:
    """The boundaries of all steps: the opening, every changeover, the close."""

    problem: Problem

    @cached_property
    def bounds(self) -> tuple[int, ...]:
        """Return the first day of each step, and the day after the last."""
        return (0, *self.problem.changeovers, self.problem.days)

    @property
    def count(self) -> int:
        """Return the number of steps."""
        return len(self.bounds) - 1

    def span(self, step: int) -> tuple[int, int]:
        """Return the days of a step."""
        return self.bounds[step], self.bounds[step + 1]

    def days(self, step: int) -> int:
        """Return the length of a step in days."""
        return self.bounds[step + 1] - self.bounds[step]

    def days_in(self, days_of: Callable[[int, int], int]) -> list[int]:
        """Return how many days counted by `days_of` lie before the beginning of each step."""
        spans = (self.span(step) for step in range(self.count))
        return list(accumulate((days_of(*span) for span in spans), initial=0))

    def at_home(self, item: Candidate, step: int) -> bool:
        """Return whether an object is there for the whole of a step."""
        start, stop = self.span(step)
        return all(away.to_day <= start or away.from_day >= stop for away in item.away)

    def back(self, item: Candidate, step: int) -> int:
        """Return the first step that may follow a show ended at the end of this one and rested."""
        ready = self.bounds[step + 1] + item.rest_days
        return max(step + 2, bisect_left(self.bounds, ready))

    def windows(self, item: Candidate) -> tuple[Window, ...]:
        """Return stretches of days whose limits together are all the object's budgets."""
        found = [window for budget in item.budgets for window in self._windows(budget)]
        return tuple(dict.fromkeys(found))

    def _windows(self, budget: Budget) -> list[Window]:
        """A dose over a sliding stretch is largest where the stretch begins or ends with a step."""
        limit = budget.lux_hours * 100
        start = budget.from_day
        stop = self.problem.days if budget.to_day is None else budget.to_day
        stop = min(stop, self.problem.days)
        if start >= stop:
            return []
        width = budget.any_days
        if width is None or width >= stop - start:
            return [Window(start, stop, limit)]
        begins = {start, stop - width}
        for bound in self.bounds:
            begins |= {at for at in (bound, bound - width) if start <= at <= stop - width}
        return [Window(at, at + width, limit) for at in sorted(begins)]

    def bearable(self, item: Candidate, group: Group, first: int, last: int) -> bool:
        """Return whether one unbroken stay in a group, from step to step, breaks nothing."""
        if item.max_lux is not None and group.lux > item.max_lux:
            return False
        if item.away and not all(self.at_home(item, step) for step in range(first, last + 1)):
            return False
        start, stop = self.bounds[first], self.bounds[last + 1]
        if item.longest_days is not None and stop - start > item.longest_days:
            return False
        return all(_within(self.problem, b, group.rate, start, stop) for b in item.budgets)


def _within(problem: Problem, budget: Budget, rate: int, start: int, stop: int) -> bool:
    end = problem.days if budget.to_day is None else budget.to_day
    days = max(0, min(stop, end) - max(start, budget.from_day))
    if budget.any_days is not None:
        days = min(days, budget.any_days)
    return days * rate <= budget.lux_hours * 100


def sets_of(problem: Problem) -> tuple[SetOf, ...]:
    """Return the sets in the order of the places; nothing ties one set to another.

    >>> from conservation.rotation.example import TWO_PRINTS
    >>> [(here.name, len(here.objects), here.places) for here in sets_of(TWO_PRINTS)]
    [('prints', 2, 1)]
    """
    names = dict.fromkeys(place.set for place in problem.places)
    return tuple(
        SetOf(
            name,
            tuple(item for item in problem.objects if item.set == name),
            _groups(problem, [place for place in problem.places if place.set == name]),
        )
        for name in names
    )


def _groups(problem: Problem, places: Sequence[Place]) -> tuple[Group, ...]:
    alike: dict[tuple[int, int, int], list[Place]] = {}
    for place in places:
        rate = place.lux * round(problem.hours(place) * 100)
        alike.setdefault((place.lux, rate, place.effort), []).append(place)
    return tuple(
        Group(tuple(members), lux, rate, effort)
        for (lux, rate, effort), members in sorted(alike.items(), key=lambda pair: pair[0])
    )
