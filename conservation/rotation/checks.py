"""Verify a plan against its problem, day by day, with code that the search does not use."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate, groupby, pairwise
from math import lcm

from conservation.rotation.plan import Plan, Stay
from conservation.rotation.problem import Budget, Candidate, Problem


@dataclass(frozen=True)
class Fault:
    """One broken rule, in a sentence."""

    rule: str
    objects: tuple[str, ...]
    places: tuple[str, ...]
    sentence: str


def check(problem: Problem, plan: Plan) -> list[Fault]:
    """Return every fault of a plan; an empty list means that all demands are kept.

    Days are counted one by one: no place empty, no object in two places, no limit of light, dose,
    stay or rest broken, changes only on changeover days, and the plan's own figures right.
    Any problem and plan that could be read; nothing is raised. Source: the problem's own demands.

    >>> problem = Problem.from_dict({"days": 10, "hours_a_day": 8,
    ...     "places": [{"id": "case", "set": "prints", "lux": 50}],
    ...     "objects": [{"id": "A", "set": "prints"}]})
    >>> [fault.rule for fault in check(problem, Plan("feasible", ()))]
    ['empty']
    """
    faults = list(_presence(problem, plan))
    if faults:
        return faults
    diary = _diary(problem, plan)
    faults += _every_place(problem, plan)
    faults += _once(problem, plan)
    for item in problem.objects:
        days = diary[item.id]
        faults += _limits(problem, item, days)
        faults += _doses(problem, item, days)
        faults += _rests(problem, item, days)
    faults += _changeovers(problem, diary)
    if not faults:
        faults += _figures(problem, plan, diary)
    return faults


def _presence(problem: Problem, plan: Plan) -> Iterator[Fault]:
    sets = {item.id: item.set for item in problem.objects}
    places = {place.id: place for place in problem.places}
    for stay in plan.stays:
        names, where = (stay.object,), (stay.place,)
        if stay.object not in sets:
            yield Fault("unknown", names, where, f"{stay.object} is no object of this rotation.")
        elif stay.place not in places:
            yield Fault("unknown", names, where, f"{stay.place} is no place of this rotation.")
        elif sets[stay.object] != places[stay.place].set:
            yield Fault(
                "set",
                names,
                where,
                f"{stay.object} of set {sets[stay.object]} stands at {stay.place}, which takes "
                f"set {places[stay.place].set}.",
            )
        if not 0 <= stay.from_day < stay.to_day <= problem.days:
            yield Fault(
                "days",
                names,
                where,
                f"{stay.object} stands at {stay.place} from day {stay.from_day} to "
                f"{stay.to_day}: not within the {problem.days} days.",
            )


def _diary(problem: Problem, plan: Plan) -> dict[str, list[list[str]]]:
    """Return for each object the places where it stands, day by day."""
    diary: dict[str, list[list[str]]] = {
        item.id: [[] for _ in range(problem.days)] for item in problem.objects
    }
    for stay in plan.stays:
        for day in range(stay.from_day, stay.to_day):
            diary[stay.object][day].append(stay.place)
    return diary


def _every_place(problem: Problem, plan: Plan) -> Iterator[Fault]:
    for place in problem.places:
        count = [0] * problem.days
        for stay in plan.stays:
            if stay.place == place.id:
                for day in range(stay.from_day, stay.to_day):
                    count[day] += 1
        for what, days in (
            ("empty", [d for d, n in enumerate(count) if n == 0]),
            ("crowded", [d for d, n in enumerate(count) if n > 1]),
        ):
            if days:
                words = "stands empty" if what == "empty" else "shows more than one object"
                yield Fault(
                    what,
                    (),
                    (place.id,),
                    f"{place.id} {words} on {len(days)} days, first on day {days[0]}.",
                )


def _once(problem: Problem, plan: Plan) -> Iterator[Fault]:
    stays: dict[str, list[Stay]] = defaultdict(list)
    for stay in plan.stays:
        stays[stay.object].append(stay)
    for item in problem.objects:
        rows = sorted(stays[item.id], key=lambda s: (s.from_day, s.to_day))
        for first, second in pairwise(rows):
            if second.from_day < first.to_day:
                yield Fault(
                    "twice",
                    (item.id,),
                    (first.place, second.place),
                    f"{item.id} stands in two places on day {second.from_day}.",
                )


def _limits(problem: Problem, item: Candidate, days: list[list[str]]) -> Iterator[Fault]:
    shown = {name for places in days for name in places}
    for place in problem.places:
        if place.id in shown and item.max_lux is not None and place.lux > item.max_lux:
            yield Fault(
                "light",
                (item.id,),
                (place.id,),
                f"{item.id} bears {item.max_lux} lx and stands at {place.id} under {place.lux} lx.",
            )
    for away in item.away:
        for day in range(away.from_day, min(away.to_day, problem.days)):
            if days[day]:
                yield Fault(
                    "away",
                    (item.id,),
                    tuple(days[day]),
                    f"{item.id} is away on day {day} and cannot be shown.",
                )
                break


def _daily(problem: Problem, days: list[list[str]]) -> tuple[list[int], int]:
    """Return the dose of each day, and how many of its units make 1 lx h; nothing is rounded."""
    a_day = {p.id: p.lux * Fraction(str(problem.hours(p))) for p in problem.places}
    parts = lcm(*(dose.denominator for dose in a_day.values()))
    whole = {name: int(dose * parts) for name, dose in a_day.items()}
    return [sum(whole[name] for name in places) for places in days], parts


def _most(budget: Budget, daily: list[int]) -> int:
    stop = len(daily) if budget.to_day is None else min(budget.to_day, len(daily))
    stretch = daily[min(budget.from_day, stop) : stop]
    if budget.any_days is None:
        return sum(stretch)
    total = list(accumulate(stretch, initial=0))
    width = min(budget.any_days, len(stretch))
    return max(total[n + width] - total[n] for n in range(len(stretch) - width + 1))


def _doses(problem: Problem, item: Candidate, days: list[list[str]]) -> Iterator[Fault]:
    daily, parts = _daily(problem, days)
    for budget in item.budgets:
        dose = Fraction(_most(budget, daily), parts)
        if dose > budget.lux_hours:
            span = f"any {budget.any_days} days" if budget.any_days else "its days"
            yield Fault(
                "budget",
                (item.id,),
                (),
                f"{item.id} receives {float(dose):,.0f} lx h within {span}; its budget is "
                f"{budget.lux_hours:,} lx h.",
            )


def _rests(problem: Problem, item: Candidate, days: list[list[str]]) -> Iterator[Fault]:
    day = 0
    spells: list[tuple[int, int]] = []
    for shown, group in groupby(bool(places) for places in days):
        length = len(list(group))
        if shown:
            spells.append((day, day + length))
        day += length
    for start, stop in spells:
        if item.longest_days is not None and stop - start > item.longest_days:
            yield Fault(
                "stay",
                (item.id,),
                (),
                f"{item.id} is shown for {stop - start} days from day {start}; at most "
                f"{item.longest_days}.",
            )
    for (_, stop), (start, _) in pairwise(spells):
        if start - stop < item.rest_days:
            yield Fault(
                "rest",
                (item.id,),
                (),
                f"{item.id} rests for {start - stop} days before day {start}; it needs "
                f"{item.rest_days}.",
            )


def _changeovers(problem: Problem, diary: dict[str, list[list[str]]]) -> Iterator[Fault]:
    allowed = set(problem.changeovers)
    for name, days in diary.items():
        for day in range(1, problem.days):
            if days[day] != days[day - 1] and day not in allowed:
                yield Fault(
                    "changeover",
                    (name,),
                    (),
                    f"{name} changes on day {day}, which is no changeover day.",
                )


def _figures(problem: Problem, plan: Plan, diary: dict[str, list[list[str]]]) -> Iterator[Fault]:
    """Check changes, effort and use as the plan states them."""
    efforts = {place.id: place.effort for place in problem.places}
    changes = effort = 0
    for item in problem.objects:
        days = diary[item.id]
        for day in range(1, problem.days):
            if days[day] and days[day] != days[day - 1]:
                changes += 1
                effort += item.effort + efforts[days[day][0]]
    for name, counted, told in (
        ("changes", changes, plan.measures.changes),
        ("effort", effort, plan.measures.effort),
    ):
        if counted != told:
            yield Fault(
                "figures", (), (), f"The plan says {told} as its {name}; counted are {counted}."
            )
    told_uses = {use.object: use for use in plan.uses}
    peaks: dict[str, int] = defaultdict(int)
    for item in problem.objects:
        daily, parts = _daily(problem, diary[item.id])
        shown = sum(1 for places in diary[item.id] if places)
        permille = _permille(item, daily, parts, shown, problem.days)
        peaks[item.set] = max(peaks[item.set], permille)
        use = told_uses.get(item.id)
        counted_use = (shown, round(sum(daily) / parts, 2), permille)
        if use is None or (use.days, round(use.lux_hours, 2), use.permille) != counted_use:
            yield Fault(
                "figures",
                (item.id,),
                (),
                f"The plan does not state the use of {item.id} as counted: {shown} days, "
                f"{counted_use[1]:,.0f} lx h, {permille} per mille.",
            )
    if (peak := sum(peaks.values())) != plan.measures.peak_use_permille:
        yield Fault(
            "figures",
            (),
            (),
            f"The plan says {plan.measures.peak_use_permille} per mille as its peak use; counted "
            f"are {peak}.",
        )


def _permille(item: Candidate, daily: list[int], parts: int, shown: int, days: int) -> int:
    shares = [
        Fraction(_most(budget, daily), parts * budget.lux_hours)
        for budget in item.budgets
        if budget.lux_hours
    ]
    if not item.budgets:
        shares = [Fraction(shown, days)]
    return -int(-(1000 * max(shares, default=Fraction(0))) // 1)
