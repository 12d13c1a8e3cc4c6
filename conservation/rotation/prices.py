"""Bound the effort of a set's plans from below, in whole numbers.

Give each step of each place a price that an object earns by standing there, and each lx h of a
budget a price that it pays. No plan costs less than what the places' prices come to, less the
budgets', plus for each object the least that effort and prices leave of any way to show it. That
holds whatever the prices are; good ones come from `relaxed.py`. (Lagrangian duality, textbook.)
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from conservation.rotation.steps import Window
from conservation.rotation.stretches import Reach, Stretch

UNIT = 1 << 50
FAR = 1 << 90


@dataclass(frozen=True)
class Prices:
    """What a step in a group earns, and what a unit of dose in an object's window pays.

    By (group, step) and by (object, window), in effort divided by `UNIT`.
    """

    places: Mapping[tuple[int, int], int]
    budgets: Mapping[tuple[int, Window], int]


class Priced:
    """Every object's cheapest way to be shown at given prices, and what each stretch adds to it.

    Ways are sequences of shows with rests between; a show may move from group to group. Budgets
    count only by their prices, and within one stay: more ways than there are, which keeps the
    bound valid.
    """

    def __init__(self, reach: Reach, prices: Prices) -> None:
        self.reach, self.steps, self.here = reach, reach.steps, reach.here
        self.prices = prices
        self.sums: dict[tuple[int, int], list[int]] = {}
        self.from_step: list[list[int]] = []
        self.to_step: list[list[int]] = []
        self.moving = FAR
        windows = _by_object(prices, len(self.here.objects))
        for number in range(len(self.here.objects)):
            for g in range(len(self.here.groups)):
                self.sums[number, g] = self._sums(number, g, windows[number])
            self._ways(number)

    @cached_property
    def exact(self) -> int:
        """Return the bound times `UNIT`."""
        total = sum(way[0] for way in self.from_step)
        for (g, _), price in self.prices.places.items():
            total += price * len(self.here.groups[g].places)
        for (_, window), price in self.prices.budgets.items():
            total -= price * window.limit
        return total

    @property
    def bound(self) -> int:
        """Return an effort that no plan can undercut."""
        return max(0, -(-self.exact // UNIT))

    def slack(self, stretch: Stretch) -> int:
        """Return by how much a plan with this stay is above the bound at least, times `UNIT`."""
        number = stretch.object
        after = self.from_step[number][self.reach.busy_until(number, stretch.last)]
        way = self.to_step[number][stretch.first] + self._cost(stretch) + after
        return way - self.from_step[number][0]

    def _cost(self, stretch: Stretch) -> int:
        sums = self.sums[stretch.object, stretch.group]
        earned = sums[stretch.last + 1] - sums[stretch.first]
        return self.reach.effort(stretch) * UNIT - earned

    def _sums(self, number: int, g: int, windows: Sequence[tuple[Window, int]]) -> list[int]:
        """Return what an object has earned in a group by the beginning of each step."""
        rate, sums = self.here.groups[g].rate, [0]
        for step in range(self.steps.count):
            span = self.steps.span(step)
            paid = sum(price * window.days_of(*span) for window, price in windows)
            sums.append(sums[-1] + self.prices.places.get((g, step), 0) - paid * rate)
        return sums

    def _ways(self, number: int) -> None:
        count = self.steps.count
        shows = [self._shows(number, first) for first in range(count)]
        ends = [self.reach.busy_until(number, last) for last in range(count)]
        ahead = [0] * (count + 1)
        for first in reversed(range(count)):
            whole = (min(cost, moved) + ahead[ends[last]] for last, cost, moved in shows[first])
            ahead[first] = min(ahead[first + 1], min(whole, default=FAR))
        behind = [0] + [FAR] * count
        for first in range(count):
            behind[first + 1] = min(behind[first + 1], behind[first])
            for last, cost, moved in shows[first]:
                begun = behind[first] + min(cost, moved)
                behind[ends[last]] = min(behind[ends[last]], begun)
                way = behind[first] + moved + ahead[ends[last]]
                self.moving = min(self.moving, way - ahead[0])
        self.from_step.append(ahead)
        self.to_step.append(behind)

    def _shows(self, number: int, first: int) -> list[tuple[int, int, int]]:
        """Return each step that a show begun here may end with, and its least cost.

        First the cost in one group, then that of passing on from group to group.
        """
        item, bounds, lasts = self.here.objects[number], self.steps.bounds, self.reach.last[number]
        found: list[tuple[int, int, int]] = []
        single: dict[int, int] = {}
        moved: dict[int, int] = {}
        for last in range(first, self.steps.count):
            longest = item.longest_days
            if longest is not None and bounds[last + 1] - bounds[first] > longest:
                break
            after = {
                g: self._passed_on(number, g, last, single, moved)
                for g in range(len(lasts))
                if lasts[g][last] >= last
            }
            single = {
                g: self._cost(Stretch(number, g, first, last))
                for g in after
                if lasts[g][first] >= last
            }
            moved = {g: cost for g, cost in after.items() if cost < FAR}
            if not single and not moved:
                break
            found.append(
                (last, min(single.values(), default=FAR), min(moved.values(), default=FAR))
            )
        return found

    def _passed_on(
        self, number: int, g: int, step: int, single: dict[int, int], moved: dict[int, int]
    ) -> int:
        """Return the least cost of being in a group at a step, having come from another."""
        change = self.reach.change(number, g) * UNIT
        others = [cost for costs in (single, moved) for one, cost in costs.items() if one != g]
        least = min(min(others, default=FAR) + change, moved.get(g, FAR))
        if least >= FAR:
            return FAR
        sums = self.sums[number, g]
        return least - sums[step + 1] + sums[step]


def _by_object(prices: Prices, count: int) -> list[list[tuple[Window, int]]]:
    rows: list[list[tuple[Window, int]]] = [[] for _ in range(count)]
    for (number, window), price in prices.budgets.items():
        rows[number].append((window, price))
    return rows
