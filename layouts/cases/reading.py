"""Read showcases and objects from JSON, and say of every fault which field and what to do."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import fields
from typing import Any, TypeVar

from layouts.cases.answer import Place
from layouts.cases.problem import (
    LINES,
    SIDES,
    SPREADS,
    CasesProblem,
    Clearances,
    Climate,
    Display,
    InvalidCases,
    Kind,
    Rule,
    Shelf,
    Thing,
    Viewing,
)
from layouts.json_row import JsonRow

MOST_OBJECTS, MOST_CASES = 2_000, 500
LARGEST = 100_000_000
T = TypeVar("T")


class _Row(JsonRow):
    """One JSON object of a showcase problem."""

    def whole(self, key: str, least: int = 0, most: int = LARGEST, *, empty: bool = False) -> Any:
        value = self.value(key)
        if value is None and empty:
            return None
        if isinstance(value, bool) or not isinstance(value, int):
            self.fault(key, value, "give a whole number")
        elif not least <= value <= most:
            self.fault(key, value, f"it must lie from {least} to {most}")
        else:
            return value
        return least

    def word(self, key: str, choices: tuple[str, ...] = (), *, empty: bool = False) -> Any:
        value = self.value(key)
        if value is None and empty:
            return None
        if not isinstance(value, str) or (not value and not empty):
            self.fault(key, value, "give a name")
        elif choices and value not in choices:
            self.fault(key, value, f"use one of {', '.join(choices)}")
        else:
            return value
        return choices[0] if choices else ""

    def words(self, key: str, choices: tuple[str, ...] = ()) -> tuple[str, ...]:
        default = self.defaults[key]
        value = self.data.get(key, default)
        if not isinstance(value, list | tuple) or not all(isinstance(v, str) for v in value):
            self.fault(key, value, "give a list of names")
            return ()
        if choices and (odd := [v for v in value if v not in choices]):
            self.fault(key, odd[0], f"use some of {', '.join(choices)}")
        return tuple(value)

    def numbers(self, key: str) -> tuple[int, ...]:
        value = self.data.get(key, self.defaults[key])
        if not isinstance(value, list | tuple) or not all(
            isinstance(v, int) and not isinstance(v, bool) and 0 <= v <= LARGEST for v in value
        ):
            self.fault(key, value, "give a list of whole numbers from 0")
            return ()
        return tuple(value)

    def rows(self, key: str, read: Callable[[list[str], Any, str], T]) -> tuple[T, ...]:
        value = self.data.get(key) or []
        if not isinstance(value, list):
            self.fault(key, value, "give a list")
            return ()
        return tuple(
            read(self.faults, row, f"{self.place(key)}[{n}]") for n, row in enumerate(value)
        )

    def part(self, key: str, read: Callable[[list[str], Any, str], T], default: T) -> T:
        value = self.data.get(key)
        return default if value is None else read(self.faults, value, self.place(key))


def read_cases(data: Any) -> CasesProblem:
    """Return the problem, or raise InvalidCases with every fault found."""
    faults: list[str] = []
    if not isinstance(data, dict):
        raise InvalidCases(["The problem must be a JSON object with kinds and objects."])
    row = _Row(faults, data, "", CasesProblem)
    previous = data.get("previous")
    if previous is not None and not isinstance(previous, dict):
        row.fault("previous", previous, "give an earlier answer, or null")
        previous = None
    for n, place in enumerate((previous or {}).get("places", [])):
        _check_place(faults, place, f"previous.places[{n}]")
    problem = CasesProblem(
        kinds=row.rows("kinds", _kind),
        objects=row.rows("objects", _thing),
        conflicts=row.rows("conflicts", _rule),
        together=row.rows("together", _names),
        sections=row.words("sections"),
        clearances=row.part("clearances", _clearances, Clearances()),
        display=row.part("display", _display, Display()),
        viewing=row.part("viewing", _viewing, Viewing()),
        previous=previous,
        moves_at_most=row.whole("moves_at_most", empty=True),
    )
    _cross_check(faults, problem)
    if faults:
        raise InvalidCases(faults)
    return problem


def _check_place(faults: list[str], data: Any, where: str) -> None:
    row = _Row(faults, data, where, Place)
    row.word("id")
    row.word("case")
    for key in ("shelf", "x_mm", "y_mm"):
        row.whole(key)
    row.flag("turned")


def _kind(faults: list[str], data: Any, where: str) -> Kind:
    row = _Row(faults, data, where, Kind)
    sizes = {key: row.whole(key, 1) for key in ("width_mm", "depth_mm", "height_mm")}
    kind = Kind(
        id=row.word("id"),
        count=row.whole("count", 0, MOST_CASES),
        cost=row.whole("cost"),
        floor_mm=row.whole("floor_mm"),
        shelves=row.rows("shelves", _shelf),
        lux=row.numbers("lux"),
        climates=row.rows("climates", _climate),
        security=row.whole("security"),
        glazed=row.words("glazed", SIDES),
        max_g=row.whole("max_g", empty=True),
        **sizes,
    )
    for n, shelf in enumerate(kind.shelves):
        if shelf.depth_mm > kind.depth_mm or shelf.highest_mm >= kind.height_mm:
            faults.append(
                f"{where}.shelves[{n}] is {shelf.depth_mm} mm deep and up to {shelf.highest_mm} mm "
                f"high: it must lie inside {kind.depth_mm} mm by {kind.height_mm} mm."
            )
    return kind


def _shelf(faults: list[str], data: Any, where: str) -> Shelf:
    row = _Row(faults, data, where, Shelf)
    shelf = Shelf(
        depth_mm=row.whole("depth_mm", 1),
        lowest_mm=row.whole("lowest_mm", 1),
        highest_mm=row.whole("highest_mm", 1),
        step_mm=row.whole("step_mm", 1),
        thickness_mm=row.whole("thickness_mm"),
        max_g=row.whole("max_g", empty=True),
        opaque=row.flag("opaque"),
    )
    if shelf.highest_mm < shelf.lowest_mm:
        row.fault("highest_mm", shelf.highest_mm, f"it must be at least {shelf.lowest_mm}")
    return shelf


def _climate(faults: list[str], data: Any, where: str) -> Climate:
    row = _Row(faults, data, where, Climate)
    band = Climate(row.whole("low_percent", 0, 100), row.whole("high_percent", 0, 100))
    if band.high_percent < band.low_percent:
        row.fault("high_percent", band.high_percent, f"it must be at least {band.low_percent}")
    return band


def _thing(faults: list[str], data: Any, where: str) -> Thing:
    row = _Row(faults, data, where, Thing)
    return Thing(
        id=row.word("id"),
        width_mm=row.whole("width_mm", 1),
        depth_mm=row.whole("depth_mm", 1),
        height_mm=row.whole("height_mm", 1),
        mass_g=row.whole("mass_g"),
        turns=row.flag("turns"),
        max_lux=row.whole("max_lux", empty=True),
        min_lux=row.whole("min_lux", empty=True),
        climate=row.part("climate", _climate, None),
        security=row.whole("security"),
        tags=row.words("tags"),
        section=row.word("section", empty=True),
        case=row.word("case", empty=True),
        shelf=row.whole("shelf", empty=True),
        x_mm=row.whole("x_mm", empty=True),
        y_mm=row.whole("y_mm", empty=True),
        turned=row.flag("turned"),
    )


def _rule(faults: list[str], data: Any, where: str) -> Rule:
    row = _Row(faults, data, where, Rule)
    rule = Rule(row.words("tags"), row.words("objects"), row.word("reason", empty=True) or "")
    if sorted((len(rule.tags), len(rule.objects))) != [0, 2]:
        faults.append(f"{where} must name two tags or two objects.")
    elif rule.objects and rule.objects[0] == rule.objects[1]:
        faults.append(f"{where} names {rule.objects[0]!r} twice: name two different objects.")
    return rule


def _names(faults: list[str], data: Any, where: str) -> tuple[str, ...]:
    if not isinstance(data, list) or not all(isinstance(name, str) for name in data):
        faults.append(f"{where} is {data!r}: give a list of names of objects.")
        return ()
    return tuple(data)


def _clearances(faults: list[str], data: Any, where: str) -> Clearances:
    row = _Row(faults, data, where, Clearances)
    return Clearances(*(row.whole(f.name) for f in fields(Clearances)))


def _display(faults: list[str], data: Any, where: str) -> Display:
    row = _Row(faults, data, where, Display)
    strip = row.whole("label_strip_mm")
    return Display(row.word("line", LINES), row.word("spread", SPREADS), strip)


def _viewing(faults: list[str], data: Any, where: str) -> Viewing:
    row = _Row(faults, data, where, Viewing)
    return Viewing(row.whole("distance_mm", 1), row.numbers("eyes_mm"))


def _cross_check(faults: list[str], problem: CasesProblem) -> None:
    if not problem.kinds:
        faults.append("kinds is empty: give at least one kind of showcase.")
    if len(problem.objects) > MOST_OBJECTS:
        faults.append(f"There are {len(problem.objects)} objects: at most {MOST_OBJECTS} go.")
    if sum(kind.count for kind in problem.kinds) > MOST_CASES:
        faults.append(f"There are more than {MOST_CASES} cases: lower kinds[].count.")
        return
    for what, names in (
        ("kind", [kind.id for kind in problem.kinds]),
        ("object", [thing.id for thing in problem.objects]),
    ):
        for name, times in Counter(names).items():
            if times > 1:
                faults.append(f"{what} {name!r} stands {times} times: give each its own id.")
    known = {thing.id for thing in problem.objects}
    groups = [(f"together[{n}]", group) for n, group in enumerate(problem.together)]
    groups += [(f"conflicts[{n}]", rule.objects) for n, rule in enumerate(problem.conflicts)]
    for where, group in groups:
        for name in group:
            if name not in known:
                faults.append(f"{where} names {name!r}, which is not an object.")
    _check_fixed(faults, problem)


def _check_fixed(faults: list[str], problem: CasesProblem) -> None:
    kind_of = {kind.case_id(n): kind for kind in problem.kinds for n in range(kind.count)}
    for thing in problem.objects:
        where = f"object {thing.id!r}"
        if thing.max_lux is not None and (thing.min_lux or 0) > thing.max_lux:
            faults.append(f"{where}: min_lux {thing.min_lux} is over max_lux {thing.max_lux}.")
        if problem.sections and thing.section and thing.section not in problem.sections:
            faults.append(f"{where}: section {thing.section!r} is not among sections.")
        if thing.turned and not thing.turns:
            faults.append(f"{where} is turned and may not be turned: set turns to true.")
        if thing.case is not None and thing.case not in kind_of:
            faults.append(f"{where}: case {thing.case!r} is not among {', '.join(kind_of)}.")
        if thing.case is None and thing.shelf is not None:
            faults.append(f"{where} has a shelf but no case: name the case.")
        if (thing.x_mm is None) != (thing.y_mm is None) or (
            thing.x_mm is not None and thing.shelf is None
        ):
            faults.append(f"{where} is fixed in place: give case, shelf, x_mm and y_mm together.")
        kind = kind_of.get(thing.case or "")
        if kind and thing.shelf is not None and thing.shelf > len(kind.shelves):
            faults.append(
                f"{where}: shelf {thing.shelf} is not among 0 to {len(kind.shelves)} of {kind.id}."
            )
