"""Rank the stays of a set by how likely good plans hold them, with a bound on the effort.

Where there are too many stays, changeovers are passed over until few enough are left; the bound
still counts them all, at prices spread over the days.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, replace

from conservation.rotation.prices import UNIT, Priced, Prices
from conservation.rotation.relaxed import Relaxed
from conservation.rotation.steps import SetOf, Steps
from conservation.rotation.stretches import FreeReach, Reach, Stretch

MOST_COLUMNS = 30_000
MOST_PRICED = 2_000_000


@dataclass(frozen=True)
class Likely:
    """Stays in order, the likeliest first.

    `bound` is an effort that no plan can undercut, `beyond(n)` one that no plan can undercut that
    holds a stay not among the first n.
    """

    stretches: tuple[Stretch, ...]
    bound: int
    slacks: tuple[int, ...]
    exact: int

    def beyond(self, count: int) -> int:
        """Return the bound of plans that need more than the first so many stays."""
        slack = self.slacks[min(count, len(self.slacks) - 1)]
        return max(self.bound, -(-(self.exact + slack) // UNIT))


def likely(steps: Steps, here: SetOf, seconds: float) -> Likely | None:
    """Return the stays of a set in order; None where shares of stays do not fill its places.

    `seconds` is the most that the linear programme may take. Source: `prices.py`.

    >>> from conservation.rotation.example import TWO_PRINTS
    >>> from conservation.rotation.steps import sets_of
    >>> likely(Steps(TWO_PRINTS), sets_of(TWO_PRINTS)[0], 60).bound
    2
    """
    coarse = _coarse(steps, here)
    reach = Reach(coarse, here)
    relaxed = Relaxed(reach, seconds)
    relaxed.add(reach.all())
    prices = relaxed.solve()
    return None if prices is None else _ranked(prices, reach, Reach(steps, here))


def filling(steps: Steps, here: SetOf, seconds: float) -> Likely | None:
    """As `likely`, to fill the places whatever it costs.

    The bound counts the steps for which places must stay empty: above 0 no plan exists.

    >>> from conservation.rotation.example import TWO_PRINTS
    >>> from conservation.rotation.steps import sets_of
    >>> alone = replace(TWO_PRINTS, objects=TWO_PRINTS.objects[:1])
    >>> filling(Steps(alone), sets_of(alone)[0], 60).bound
    1
    """
    coarse = _coarse(steps, here)
    reach = FreeReach(coarse, here)
    relaxed = Relaxed(reach, seconds)
    relaxed.add(reach.all())
    relaxed.allow_empty()
    prices = relaxed.solve()
    if prices is None:
        return None
    # A place left empty costs 1: nothing more can be earned by filling it.
    capped = {key: min(price, UNIT) for key, price in prices.places.items()}
    return _ranked(Prices(capped, prices.budgets), reach, FreeReach(steps, here))


def _ranked(prices: Prices, reach: Reach, every: Reach) -> Likely:
    priced = Priced(reach, prices)
    slacks = sorted((priced.slack(stretch), stretch) for stretch in reach.all())
    found = tuple(stretch for _, stretch in slacks)
    if reach.steps is every.steps:
        limits = (*(min(slack, priced.moving) for slack, _ in slacks), priced.moving)
        return Likely(found, priced.bound, limits, priced.exact)
    finer = tuple(_finer(stretch, reach.steps, every.steps) for stretch in found)
    bound = 0
    if every.count() <= MOST_PRICED:
        bound = Priced(every, _spread(prices, reach.steps, every.steps)).bound
    return Likely(finer, bound, (0,), bound * UNIT)


def _coarse(steps: Steps, here: SetOf) -> Steps:
    """Leave out changeovers until the stays are few enough."""
    coarse, every = steps, 1
    while coarse.count > 1 and Reach(coarse, here).count() > MOST_COLUMNS:
        every += 1
        left = steps.problem.changeovers[every - 1 :: every]
        coarse = Steps(replace(steps.problem, changeovers=left))
    return coarse


def _finer(stretch: Stretch, coarse: Steps, steps: Steps) -> Stretch:
    first = steps.bounds.index(coarse.bounds[stretch.first])
    last = steps.bounds.index(coarse.bounds[stretch.last + 1]) - 1
    return stretch._replace(first=first, last=last)


def _spread(prices: Prices, coarse: Steps, steps: Steps) -> Prices:
    """Share each price of a long step among the short ones within it, by their days."""
    places: dict[tuple[int, int], int] = {}
    groups = {g for g, _ in prices.places}
    for step in range(steps.count):
        within = bisect_right(coarse.bounds, steps.bounds[step]) - 1
        for g in groups:
            part = prices.places[g, within] * steps.days(step)
            places[g, step] = part // coarse.days(within)
    return Prices(places, prices.budgets)
