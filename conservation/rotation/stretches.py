"""List the stretches of steps that each object of a set bears in one stay at each group of places.

How long a stay may last is found once for each object, group and first step; all else asks here.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cached_property
from typing import NamedTuple

from conservation.rotation.steps import Key, SetOf, Steps, Window


class Stretch(NamedTuple):
    """One stay: the object's and the group's number, the first and the last step shown."""

    object: int
    group: int
    first: int
    last: int

    def shown(self) -> Iterator[Key]:
        """Return what is shown, by (object, group, step)."""
        return ((self.object, self.group, step) for step in range(self.first, self.last + 1))


class Reach:
    """The last step of the longest stay begun at a step; the step before where none can begin."""

    def __init__(self, steps: Steps, here: SetOf) -> None:
        self.steps, self.here = steps, here
        self.last = [
            [self._lasts(number, g) for g in range(len(here.groups))]
            for number in range(len(here.objects))
        ]

    @cached_property
    def windows(self) -> list[tuple[Window, ...]]:
        """Return the windows of each object's budgets."""
        return [self.steps.windows(item) for item in self.here.objects]

    @cached_property
    def within(self) -> list[list[list[tuple[Window, int]]]]:
        """Return for each object and step the windows that it falls in, and with how many days."""
        spans = [self.steps.span(step) for step in range(self.steps.count)]
        return [
            [
                [(window, days) for window in mine if (days := window.days_of(*span))]
                for span in spans
            ]
            for mine in self.windows
        ]

    def _lasts(self, number: int, g: int) -> list[int]:
        item, group = self.here.objects[number], self.here.groups[g]
        found, last = [], -1
        for first in range(self.steps.count):
            # A stay begun later may end no earlier, unless none can begin here at all.
            last = max(last, first - 1)
            while last + 1 < self.steps.count and self.steps.bearable(item, group, first, last + 1):
                last += 1
            found.append(last)
        return found

    def count(self) -> int:
        """Return how many stretches there are."""
        return sum(
            last - first + 1
            for groups in self.last
            for lasts in groups
            for first, last in enumerate(lasts)
        )

    def all(self) -> list[Stretch]:
        """Return every stretch."""
        return [
            Stretch(number, g, first, last)
            for number, groups in enumerate(self.last)
            for g, lasts in enumerate(groups)
            for first, most in enumerate(lasts)
            for last in range(first, most + 1)
        ]

    def change(self, number: int, g: int) -> int:
        """Return what it costs to put an object up in a group."""
        return self.here.objects[number].effort + self.here.groups[g].effort

    def effort(self, stretch: Stretch) -> int:
        """Return what a stay costs; what hangs from the first day costs nothing."""
        return self.change(stretch.object, stretch.group) if stretch.first else 0

    def busy_until(self, number: int, last: int) -> int:
        """Return the first step at which the object may be shown again."""
        return min(self.steps.count, self.steps.back(self.here.objects[number], last))


class FreeReach(Reach):
    """The same stays where changes cost nothing, for asking only whether all places are filled."""

    def change(self, number: int, g: int) -> int:
        """Return nothing."""
        return 0


def stretches_of(rows: Iterable[Key]) -> list[Stretch]:
    """Return the stays that make up what is shown by (object, group, step).

    >>> stretches_of({(0, 0, 1), (0, 0, 2), (1, 0, 0)})
    [Stretch(object=0, group=0, first=1, last=2), Stretch(object=1, group=0, first=0, last=0)]
    """
    found: list[Stretch] = []
    for number, g, step in sorted(rows):
        before = found[-1] if found else None
        if before and (before.object, before.group, before.last) == (number, g, step - 1):
            found[-1] = before._replace(last=step)
        else:
            found.append(Stretch(number, g, step, step))
    return found
