"""Sums that must come out before any plan can exist: doses, days, objects at hand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby

from conservation.rotation.plan import Conflict
from conservation.rotation.problem import Budget, Candidate, Problem
from conservation.rotation.steps import Group, SetOf, Steps, sets_of


def shortfalls(problem: Problem) -> tuple[Conflict, ...]:
    """Return every sum that does not come out; any one of them proves that no plan exists.

    Doses in lx h, time in days. An empty answer proves nothing. Any problem that could be read;
    nothing is raised. Source: sums of the problem's own figures.

    >>> found = shortfalls(Problem.from_dict({"days": 10, "hours_a_day": 8,
    ...     "places": [{"id": "case", "set": "prints", "lux": 50}],
    ...     "objects": [{"id": "A", "set": "prints", "budgets": [{"lux_hours": 3200}]}]}))
    >>> [(one.asked, one.there) for one in found if one.rule == "budget"]
    [(4000.0, 3200.0)]
    """
    steps = Steps(problem)
    return tuple(found for here in sets_of(problem) for found in _of_set(steps, here))


def least_use(problem: Problem) -> int:
    """Return a share of its tightest budget, per mille, that in any plan some object reaches.

    The smallest share of all budgets for which the sums still come out; 0 where no object has a
    budget. From 0 to 1000, for a rotation whose sums come out; nothing is raised. Source: as
    `shortfalls`.

    >>> least_use(Problem.from_dict({"days": 10, "hours_a_day": 8,
    ...     "places": [{"id": "case", "set": "prints", "lux": 50}],
    ...     "objects": [{"id": "A", "set": "prints", "budgets": [{"lux_hours": 5000}]}]}))
    800
    """
    low, high = -1, 1000
    while high - low > 1:
        middle = (low + high) // 2
        if shortfalls(_with_share(problem, middle)):
            low = middle
        else:
            high = middle
    return high


def _with_share(problem: Problem, permille: int) -> Problem:
    def scaled(item: Candidate) -> Candidate:
        budgets = tuple(
            replace(b, lux_hours=-(-b.lux_hours * permille // 1000)) for b in item.budgets
        )
        return replace(item, budgets=budgets)

    return replace(problem, objects=tuple(scaled(item) for item in problem.objects))


def alone(problem: Problem, name: str) -> Problem:
    """Return the rotation of one set by itself; nothing is raised. Source: definition.

    >>> from conservation.rotation.example import TWO_PRINTS
    >>> alone(TWO_PRINTS, "prints") == TWO_PRINTS
    True
    """
    return replace(
        problem,
        objects=tuple(item for item in problem.objects if item.set == name),
        places=tuple(place for place in problem.places if place.set == name),
    )


def _of_set(steps: Steps, here: SetOf) -> Iterator[Conflict]:
    levels = sorted({group.lux for group in here.groups})
    seen: set[tuple[str, int]] = set()
    for lux in levels:
        groups = [group for group in here.groups if group.lux >= lux]
        items = [item for item in here.objects if item.max_lux is None or item.max_lux >= lux]
        at = "" if lux == levels[0] else f" at {lux} lx or more"
        for conflict in _of_level(steps, here, groups, items, at):
            # A brighter level that lacks the very same amount says nothing new.
            key = (conflict.rule, round((conflict.asked or 0) - (conflict.there or 0)))
            if key not in seen:
                seen.add(key)
                yield conflict


def _of_level(
    steps: Steps, here: SetOf, groups: Sequence[Group], items: Sequence[Candidate], at: str
) -> Iterator[Conflict]:
    names = tuple(item.id for item in items)
    places = tuple(place.id for group in groups for place in group.places)
    what = f"Set {here.name}: {_count(len(places), 'place')}{at}"
    days = steps.problem.days

    def conflict(rule: str, words: str, asked: float, there: float, unit: str) -> Conflict:
        return Conflict(rule, here.name, names, places, words, asked, there, unit)

    at_hand = [sum(steps.at_home(item, step) for item in items) for step in range(steps.count)]
    if min(at_hand) < len(places):
        step = at_hand.index(min(at_hand))
        yield conflict(
            "objects",
            f"{what} need {_count(len(places), 'object')}; from day {steps.bounds[step]} only "
            f"{min(at_hand)} that bear the light are there: short by "
            f"{len(places) - min(at_hand)}.",
            len(places),
            min(at_hand),
            "objects",
        )
        return
    most = {item.id: most_days(steps, item, groups) for item in items}
    asked_days, there_days = days * len(places), sum(most.values())
    if there_days < asked_days:
        yield conflict(
            "days",
            f"{what} ask {asked_days:,} days of showing; stays, rests, absences and budgets leave "
            f"{_count(len(items), 'object')} {there_days:,}: short by "
            f"{asked_days - there_days:,} days.",
            asked_days,
            there_days,
            "days",
        )
    asked = sum(group.rate * len(group.places) for group in groups) * days
    there = sum(most_dose(steps, item, groups, most[item.id]) for item in items)
    if there < asked:
        yield conflict(
            "budget",
            f"{what} ask {asked / 100:,.0f} lx h in {days:,} days; the budgets of "
            f"{_count(len(items), 'object')} allow {there / 100:,.0f} lx h: short by "
            f"{(asked - there) / 100:,.0f} lx h.",
            asked / 100,
            there / 100,
            "lx h",
        )


def _count(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def _borne(item: Candidate, groups: Sequence[Group]) -> list[Group]:
    return [group for group in groups if item.max_lux is None or group.lux <= item.max_lux]


def most_days(steps: Steps, item: Candidate, groups: Sequence[Group]) -> int:
    """Return the most days that an object can be shown: stays, rests, absences, dimmest light.

    An upper bound in d; nothing is raised. Source: sums of the problem's own figures.

    >>> from conservation.rotation.example import TWO_PRINTS
    >>> steps, (here,) = Steps(TWO_PRINTS), sets_of(TWO_PRINTS)
    >>> most_days(steps, here.objects[0], here.groups)
    30
    """
    borne = _borne(item, groups)
    if not borne:
        return 0
    days = _shown_days(steps, item)
    dimmest = min(group.rate for group in borne)
    if dimmest:
        days = min(days, _capped(steps, item, dimmest, days) // dimmest)
    return days


def most_dose(steps: Steps, item: Candidate, groups: Sequence[Group], days: int) -> int:
    """Return the most dose that an object can take up within so many days of showing.

    An upper bound in lx times hundredths of an hour times days; nothing is raised. Source: as for
    `most_days`. Here 50 lx, 8 h and 30 days are 12,000 lx h:

    >>> from conservation.rotation.example import TWO_PRINTS
    >>> steps, (here,) = Steps(TWO_PRINTS), sets_of(TWO_PRINTS)
    >>> most_dose(steps, here.objects[0], here.groups, 30) / 100
    12000.0
    """
    borne = _borne(item, groups)
    if not borne:
        return 0
    return _capped(steps, item, max(group.rate for group in borne), days)


def _shown_days(steps: Steps, item: Candidate) -> int:
    """Choose shows of whole steps, each within the longest stay, rests between: most days."""
    count, bounds = steps.count, steps.bounds
    home = [steps.at_home(item, step) for step in range(count)]
    if item.longest_days is None:
        # Rests only cost days then, so each stretch at home is shown whole.
        return sum(
            sum(steps.days(step) for step in row)
            for there, row in groupby(range(count), key=lambda step: home[step])
            if there
        )
    best = [0] * (count + 2)
    for first in reversed(range(count)):
        best[first] = best[first + 1]
        for last in range(first, count):
            length = bounds[last + 1] - bounds[first]
            if not home[last] or length > item.longest_days:
                break
            best[first] = max(best[first], length + best[min(steps.back(item, last), count)])
    return best[0]


def _capped(steps: Steps, item: Candidate, rate: int, days: int) -> int:
    """Return the most dose under the budgets at this rate and over at most so many days."""
    total = steps.problem.days
    caps = [rate * days]
    for budget in item.budgets:
        stretches, covered = _stretches(budget, total)
        caps.append(stretches * budget.lux_hours * 100 + (total - covered) * rate)
    free, dose = 0, 0
    for budget in sorted(item.budgets, key=lambda b: (b.to_day or total, -b.from_day)):
        stop = min(total if budget.to_day is None else budget.to_day, total)
        if budget.any_days is None and budget.from_day >= free and stop > budget.from_day:
            dose += (budget.from_day - free) * rate + budget.lux_hours * 100
            free = stop
    caps.append(dose + (total - free) * rate)
    return min(caps)


def _stretches(budget: Budget, total: int) -> tuple[int, int]:
    """Return in how many stretches a budget is granted, and how many days they cover."""
    stop = min(total if budget.to_day is None else budget.to_day, total)
    length = max(0, stop - budget.from_day)
    if budget.any_days is None:
        return int(length > 0), length
    return -(-length // budget.any_days), length
