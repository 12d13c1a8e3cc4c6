"""Count what a plan gives each object: days, dose, share of its tightest budget."""

from __future__ import annotations

from collections.abc import Sequence

from conservation.rotation.plan import Measures, Stay, Use
from conservation.rotation.problem import Problem
from conservation.rotation.steps import Steps


def uses_of(problem: Problem, stays: Sequence[Stay]) -> tuple[Use, ...]:
    """Return the use of every object; doses in lx h, shares per mille rounded up.

    Stays of a problem that could be read; nothing is raised. Source: sums of the stays.

    >>> from conservation.rotation.example import TWO_PRINTS
    >>> stays = [Stay("A", "case", 0, 30), Stay("B", "case", 30, 60)]
    >>> [(use.object, use.days, use.lux_hours, use.permille) for use in uses_of(TWO_PRINTS, stays)]
    [('A', 30, 12000.0, 500), ('B', 30, 12000.0, 500)]
    """
    steps = Steps(problem)
    rates = {place.id: place.lux * round(problem.hours(place) * 100) for place in problem.places}
    uses = []
    for item in problem.objects:
        mine = [stay for stay in stays if stay.object == item.id]
        days = sum(stay.to_day - stay.from_day for stay in mine)
        dose = sum((stay.to_day - stay.from_day) * rates[stay.place] for stay in mine)
        peak = 0
        for window in steps.windows(item):
            part = sum(window.days_of(s.from_day, s.to_day) * rates[s.place] for s in mine)
            if window.limit:
                peak = max(peak, -(-1000 * part // window.limit))
        if not item.budgets:
            peak = -(-1000 * days // problem.days)
        uses.append(Use(item.id, days, round(dose / 100, 2), peak))
    return tuple(uses)


def measure(problem: Problem, stays: Sequence[Stay], uses: Sequence[Use]) -> Measures:
    """Return changes, effort and peak use; what hangs from the first day is no change.

    Stays and uses of one problem; nothing is raised. Source: sums of the stays.

    >>> from conservation.rotation.example import TWO_PRINTS
    >>> stays = [Stay("A", "case", 0, 30), Stay("B", "case", 30, 60)]
    >>> measure(TWO_PRINTS, stays, uses_of(TWO_PRINTS, stays))
    Measures(changes=1, effort=2, peak_use_permille=500)
    """
    later = [stay for stay in stays if stay.from_day > 0]
    objects = {item.id: item for item in problem.objects}
    efforts = {place.id: place.effort for place in problem.places}
    sets = dict.fromkeys(item.set for item in problem.objects)
    peaks = (max(use.permille for use in uses if objects[use.object].set == name) for name in sets)
    return Measures(
        changes=len(later),
        effort=sum(objects[stay.object].effort + efforts[stay.place] for stay in later),
        peak_use_permille=sum(peaks),
    )
