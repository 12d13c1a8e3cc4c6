"""Rotate as one would by hand: leave what may stay, else take the least used object.

The second way takes the object that may stay longest for its effort; it starts the search.
"""

from __future__ import annotations

from conservation.rotation.steps import SetOf, Steps, Window
from conservation.rotation.stretches import Reach

Rows = frozenset[tuple[int, int, int]]


def by_hand(reach: Reach, *, longest_first: bool = False) -> tuple[Rows, int]:
    """Return who is shown by (object, group, step), and how many steps of places stay empty.

    Any set; nothing is raised. Source: common practice, no source.

    >>> from conservation.rotation.example import TWO_PRINTS
    >>> from conservation.rotation.steps import sets_of
    >>> reach = Reach(Steps(TWO_PRINTS), sets_of(TWO_PRINTS)[0])
    >>> rows, empty = by_hand(reach)
    >>> sorted(rows), empty
    ([(0, 0, 0), (1, 0, 1)], 0)
    """
    return _ByHand(reach, longest_first).run()


class _ByHand:
    def __init__(self, reach: Reach, longest_first: bool) -> None:
        self.reach, self.longest_first = reach, longest_first
        self.steps: Steps = reach.steps
        self.here: SetOf = reach.here
        self.shown: set[tuple[int, int, int]] = set()
        self.within = reach.within
        self.doses: list[dict[Window, int]] = [dict.fromkeys(mine, 0) for mine in reach.windows]
        self.since: dict[int, int] = {}
        self.back: dict[int, int] = {}
        self.days = [0] * len(self.here.objects)

    def run(self) -> tuple[Rows, int]:
        empty = 0
        groups = self.here.groups
        held: list[list[int]] = [[] for _ in groups]
        for step in range(self.steps.count):
            keep = [[n for n in row if self._may(n, g, step)] for g, row in enumerate(held)]
            taken = {n for row in keep for n in row}
            for n in [n for n in self.since if n not in taken]:
                del self.since[n]
                self.back[n] = self.steps.back(self.here.objects[n], step - 1)
            for g in sorted(range(len(groups)), key=lambda g: -groups[g].lux):
                while len(keep[g]) < len(groups[g].places):
                    new = self._next(g, step, taken)
                    if new is None:
                        empty += len(groups[g].places) - len(keep[g])
                        break
                    keep[g].append(new)
                    taken.add(new)
                    self.since[new] = step
            held = keep
            self._note(held, step)
        return frozenset(self.shown), empty

    def _next(self, g: int, step: int, taken: set[int]) -> int | None:
        free = [
            n
            for n in range(len(self.here.objects))
            if n not in taken and self.back.get(n, 0) <= step and self._may(n, g, step)
        ]
        if self.longest_first:
            return min(free, key=lambda n: (-self._worth(n, g, step), n), default=None)
        return min(free, key=lambda n: (self.days[n], self.here.objects[n].effort, n), default=None)

    def _worth(self, n: int, g: int, step: int) -> float:
        """Return the days that a stay begun here may last, for one unit of effort."""
        group = self.here.groups[g]
        left = min(
            ((w.limit - dose) / group.rate for w, dose in self.doses[n].items() if group.rate),
            default=float("inf"),
        )
        last = self.reach.last[n][g][step]
        days = min(left, self.steps.bounds[last + 1] - self.steps.bounds[step])
        return days / max(1, self.reach.change(n, g))

    def _may(self, n: int, g: int, step: int) -> bool:
        item = self.here.objects[n]
        if self.reach.last[n][g][step] < step:
            return False
        first = self.since.get(n, step)
        start, stop = self.steps.bounds[first], self.steps.bounds[step + 1]
        if item.longest_days is not None and stop - start > item.longest_days:
            return False
        rate, doses = self.here.groups[g].rate, self.doses[n]
        return all(
            doses[window] + days * rate <= window.limit for window, days in self.within[n][step]
        )

    def _note(self, held: list[list[int]], step: int) -> None:
        for g, row in enumerate(held):
            for n in row:
                self.shown.add((n, g, step))
                self.days[n] += self.steps.days(step)
                for window, days in self.within[n][step]:
                    self.doses[n][window] += days * self.here.groups[g].rate
