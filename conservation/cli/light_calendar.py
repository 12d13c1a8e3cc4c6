"""The action `calendar` of the command `light`: a show from day to day against a budget."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import Any

from conservation.cli.common import Answer, Grid, InputError
from conservation.light.calendar import EVERY_DAY, Habit, day_spent, dose_of_days, worst_stretch
from conservation.light.dose import use_of_budget, use_of_year
from conservation.light.limits import DEFAULT_RULE_SET, LightLimit, light_limit
from conservation.ranges import in_range
from conservation.tables import Tables

FIELDS = {
    "first",
    "last",
    "class",
    "rule_set",
    "budget_lux_h",
    "years",
    "already_lux_h",
    "habits",
}
HABIT = {"what", "lux", "hours_a_day", "weekdays", "first", "last"}
MOST_HABITS = 200
YEAR = 365


def answer(data: object, file: str, tables: Tables) -> Answer:
    """Return dose, use of the budget, and the day on which it is spent."""
    given = _object(data, FIELDS, file)
    first, last = _day(given, "first", file), _day(given, "last", file)
    if first is None or last is None:
        raise InputError(f"{file} needs first and last, days such as 2026-03-01.")
    habits = _habits(given.get("habits"), file)
    already = in_range("already_lux_h", given.get("already_lux_h", 0), unit="lx·h")
    limit, budget = _budget(given, file, tables)
    taken = dose_of_days(habits, first, last)
    use = use_of_budget(already + taken, budget, sources=(limit.source,) if limit else ())
    spent = day_spent(habits, first, last, budget, already_lux_h=already)
    most = limit.max_lux if limit else None
    bright = [habit for habit in habits if most is not None and habit.lux > most]
    notes = [
        f"{habit.what} at {habit.lux:g} lx is above the limit of {most:g} lx." for habit in bright
    ]
    if spent.over_on:
        kept = (
            f"{spent.last_day} is the last day within it" if spent.last_day else "no day keeps it"
        )
        notes.append(f"The budget would be exceeded on {spent.over_on}; {kept}.")
    notes += [source.cite() for source in use.sources]
    rows: list[tuple[object, ...]] = [
        (habit.what, habit.lux, dose_of_days([habit], first, last)) for habit in habits
    ]
    rows += [("taken before", None, already)] if already else []
    rows.append(("sum", None, use.dose_lux_h))
    title = f"{first} to {last}: {100 * use.share:,.1f} % of {budget:,.0f} lx·h"
    worst = worst_stretch(habits, first, last)
    if (last - first).days >= YEAR:
        words = f"The {YEAR} days with the most light begin on {worst.first}"
        notes.append(f"{words}: {worst.dose_lux_h:,.0f} lx·h.")
    result = {"use": use, "spent": spent, "worst_year": worst, "limit": limit, "notes": notes}
    grid = Grid(title, ("what", "lx", "lx·h"), rows)
    return Answer(result, (grid,), tuple(notes), 0 if use.kept and not bright else 1)


def _budget(given: Mapping[str, Any], file: str, tables: Tables) -> tuple[LightLimit | None, float]:
    if ("class" in given) == ("budget_lux_h" in given):
        raise InputError(f"{file} needs either class or budget_lux_h.")
    if "class" not in given:
        return None, in_range("budget_lux_h", given["budget_lux_h"], 1e-6, unit="lx·h")
    names = (given["class"], given.get("rule_set", DEFAULT_RULE_SET))
    if not all(isinstance(name, str) for name in names):
        raise InputError(f"{file}: class and rule_set must be names in quotes.")
    limit = light_limit(*names, tables=tables)
    return limit, use_of_year(0, limit, years=given.get("years", 1)).budget_lux_h


def _habits(rows: object, file: str) -> list[Habit]:
    if not isinstance(rows, list) or not 1 <= len(rows) <= MOST_HABITS:
        raise InputError(f"{file} needs habits, a list of 1 to {MOST_HABITS} objects.")
    return [_habit(row, f"{file}, habits[{n}]") for n, row in enumerate(rows)]


def _habit(row: object, where: str) -> Habit:
    given = _object(row, HABIT, where)
    weekdays = given.get("weekdays", list(EVERY_DAY))
    if not isinstance(weekdays, list) or not all(type(day) is int for day in weekdays):
        raise InputError(f"{where}: weekdays must be a list of numbers, 1 is Monday.")
    return Habit(
        str(given.get("what", "light"))[:200],
        in_range(f"{where}: lux", given.get("lux"), unit="lx"),
        in_range(f"{where}: hours_a_day", given.get("hours_a_day"), 0, 24, unit="h"),
        tuple(weekdays),
        _day(given, "first", where),
        _day(given, "last", where),
    )


def _object(data: object, known: set[str], where: str) -> Mapping[str, Any]:
    if not isinstance(data, dict):
        raise InputError(f"{where} must be an object with {', '.join(sorted(known))}.")
    for key in data.keys() - known:
        raise InputError(f"{where} has the field {key!r:.40}; known: {', '.join(sorted(known))}.")
    return data


def _day(given: Mapping[str, Any], key: str, where: str) -> datetime.date | None:
    value = given.get(key)
    if value is None:
        return None
    try:
        return datetime.date.fromisoformat(value)
    except (TypeError, ValueError) as error:
        words = f"{where}: {key} is {value!r:.40}; give a day such as 2026-03-01."
        raise InputError(words) from error
