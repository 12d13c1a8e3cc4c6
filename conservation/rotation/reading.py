"""Read a rotation from JSON, and say of every fault which field, which value and what to do."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import fields
from datetime import date
from typing import Any

from conservation.json_reading import LARGEST, JsonReader, short
from conservation.rotation.problem import (
    Away,
    Budget,
    Candidate,
    InvalidRotation,
    Place,
    Problem,
)

MOST_DAYS = 36_525
MOST_OBJECTS = 1_000
MOST_PLACES = 200
MOST_STEPS = 400
MOST_BUDGETS, MOST_AWAY = 50, 200
MOST_EFFORT = 1_000_000
MOST_CELLS = 400_000
BRIGHTEST_LUX = 200_000


class _Reader(JsonReader):
    def maybe(
        self, row: dict[str, Any], key: str, where: str, *, least: int = 0, most: int = LARGEST
    ) -> int | None:
        return None if row.get(key) is None else self.whole(row, key, where, least, most)

    def hours(self, row: dict[str, Any], where: str) -> float:
        value = row.get("hours_a_day")
        if isinstance(value, bool) or not isinstance(value, int | float):
            self.faults.append(
                f"{where}.hours_a_day is {short(value)}: give the mean hours of light a day."
            )
            return 0.0
        if not math.isfinite(value) or not 0 <= value <= 24:
            self.faults.append(f"{where}.hours_a_day is {value}: it must lie from 0 to 24.")
            return 0.0
        if abs(value * 100 - round(value * 100)) > 1e-6:
            self.faults.append(f"{where}.hours_a_day is {value}: give at most two decimals.")
        return round(value * 100) / 100


def read_problem(data: Any) -> Problem:
    """Return the rotation, or raise InvalidRotation with every fault found.

    Days from 1 to 36,525, light from 0 to 200,000 lx, doses in lx h. Source: the asker's figures.

    >>> read_problem({"days": 0, "hours_a_day": 25})  # doctest: +ELLIPSIS
    Traceback (most recent call last):
    conservation.rotation.problem.InvalidRotation: rotation.days is 0: give a whole number ...
    """
    if not isinstance(data, dict):
        raise InvalidRotation(["The rotation must be a JSON object with days, objects and places."])
    reader = _Reader()
    reader.known(data, _fields(Problem, "every_days"), "rotation")
    days = reader.whole(data, "days", "rotation", least=1, most=MOST_DAYS)
    problem = Problem(
        days=days,
        hours_a_day=reader.hours(data, "rotation"),
        objects=tuple(
            _candidate(reader, row, f"objects[{n}]", days)
            for n, row in enumerate(reader.rows(data, "objects", MOST_OBJECTS))
        ),
        places=tuple(
            _place(reader, row, f"places[{n}]")
            for n, row in enumerate(reader.rows(data, "places", MOST_PLACES))
        ),
        changeovers=_changeovers(reader, data, days),
        first_day=_date(reader, data, days),
    )
    reader.once("object", [item.id for item in problem.objects])
    reader.once("place", [place.id for place in problem.places])
    reader.faults += _cross_check(problem)
    if reader.faults:
        raise InvalidRotation(reader.faults)
    return problem


def _candidate(reader: _Reader, row: dict[str, Any], where: str, days: int) -> Candidate:
    reader.known(row, _fields(Candidate), where)
    return Candidate(
        id=reader.name(row, "id", where),
        set=reader.name(row, "set", where),
        max_lux=reader.maybe(row, "max_lux", where, most=BRIGHTEST_LUX),
        budgets=tuple(
            _budget(reader, item, f"{where}.budgets[{n}]", days)
            for n, item in enumerate(reader.rows(row, "budgets", MOST_BUDGETS, f"{where}."))
        ),
        longest_days=reader.maybe(row, "longest_days", where, least=1),
        rest_days=reader.whole(row, "rest_days", where, most=MOST_DAYS, default=0),
        away=tuple(
            _away(reader, item, f"{where}.away[{n}]")
            for n, item in enumerate(reader.rows(row, "away", MOST_AWAY, f"{where}."))
        ),
        effort=reader.whole(row, "effort", where, most=MOST_EFFORT, default=1),
        mass_g=reader.whole(row, "mass_g", where, default=0),
        hazards=reader.names(row, "hazards", where),
    )


def _budget(reader: _Reader, row: dict[str, Any], where: str, days: int) -> Budget:
    reader.known(row, _fields(Budget), where)
    start = reader.whole(row, "from_day", where, most=MOST_DAYS, default=0)
    stop = reader.maybe(row, "to_day", where, most=MOST_DAYS)
    if start >= (days if stop is None else stop):
        reader.faults.append(f"{where} ends before it begins: give a later to_day.")
    return Budget(
        lux_hours=reader.whole(row, "lux_hours", where),
        from_day=start,
        to_day=stop,
        any_days=reader.maybe(row, "any_days", where, least=1, most=MOST_DAYS),
    )


def _away(reader: _Reader, row: dict[str, Any], where: str) -> Away:
    reader.known(row, _fields(Away), where)
    start = reader.whole(row, "from_day", where, most=MOST_DAYS)
    stop = reader.whole(row, "to_day", where, most=MOST_DAYS)
    if stop <= start:
        reader.faults.append(f"{where}.to_day is {stop}: it must be later than from_day {start}.")
    return Away(start, stop)


def _place(reader: _Reader, row: dict[str, Any], where: str) -> Place:
    reader.known(row, _fields(Place), where)
    return Place(
        id=reader.name(row, "id", where),
        set=reader.name(row, "set", where),
        lux=reader.whole(row, "lux", where, most=BRIGHTEST_LUX),
        hours_a_day=None if row.get("hours_a_day") is None else reader.hours(row, where),
        effort=reader.whole(row, "effort", where, most=MOST_EFFORT, default=0),
        glass=reader.flag(row, "glass", where, False),
    )


def _changeovers(reader: _Reader, data: dict[str, Any], days: int) -> tuple[int, ...]:
    given, every = data.get("changeovers"), data.get("every_days")
    if given and every is not None:
        reader.faults.append("rotation has both changeovers and every_days: give one of them.")
    if every is not None:
        step = reader.whole(data, "every_days", "rotation", least=1, most=MOST_DAYS)
        given = list(range(step, days, step)) if step else []
    given = given or []
    if not isinstance(given, list) or any(
        isinstance(day, bool) or not isinstance(day, int) for day in given
    ):
        reader.faults.append("rotation.changeovers must be a list of whole days.")
        return ()
    if len(given) >= MOST_STEPS:
        reader.faults.append(
            f"rotation has {len(given)} changeovers: at most {MOST_STEPS - 1} are taken."
        )
        return ()
    for day in given:
        if not 0 < day < days:
            reader.faults.append(
                f"rotation.changeovers has day {day}: it must lie from 1 to {days - 1}."
            )
    return tuple(sorted(set(given)))


def _date(reader: _Reader, data: dict[str, Any], days: int) -> date | None:
    found = reader.day(data, "first_day", "rotation")
    if found is not None and days > (date.max - found).days:
        reader.faults.append(f"rotation.first_day is {found}: the display would end after 9999.")
    return found


def _fields(kind: type, *also: str) -> list[str]:
    return sorted({*(item.name for item in fields(kind)), *also})


def _cross_check(problem: Problem) -> Iterator[str]:
    if not problem.places:
        yield "places is empty: give at least one place."
    if not problem.objects:
        yield "objects is empty: give at least one object."
    sets = {item.set for item in problem.objects}
    for place in problem.places:
        if problem.objects and place.set not in sets:
            yield f"place {place.id!r}: no object belongs to set {place.set!r}."
    wanted = {place.set for place in problem.places}
    for item in problem.objects:
        if problem.places and item.set not in wanted:
            yield f"object {item.id!r}: no place takes set {item.set!r}."
    cells = len(problem.objects) * len(problem.places) * (len(problem.changeovers) + 1)
    if cells > MOST_CELLS:
        yield (
            f"The rotation has {cells} combinations of object, place and stretch: at most "
            f"{MOST_CELLS} are taken; use fewer changeovers or split it by set."
        )
