"""Verify an arrangement of showcases with code that the search does not use."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from layouts.cases.answer import CasesAnswer, Place, UsedCase
from layouts.cases.measure_checks import untrue
from layouts.cases.problem import CasesProblem, Climate, Kind, Thing


@dataclass(frozen=True)
class CaseFault:
    """One broken rule, in a sentence."""

    rule: str
    objects: tuple[str, ...]
    sentence: str


@dataclass(frozen=True)
class _Standing:
    """An object where it stands: its box in the case, and the surface that bears it."""

    thing: Thing
    place: Place
    x0: int
    y0: int
    z0: int
    x1: int
    y1: int
    z1: int


def check_cases(problem: CasesProblem, answer: CasesAnswer) -> list[CaseFault]:
    """Return every fault of an answer; an empty list means that all demands are kept."""
    kinds = {kind.case_id(n): kind for kind in problem.kinds for n in range(kind.count)}
    faults = list(_presence(problem, answer, kinds))
    if faults:
        return faults
    for case in answer.cases:
        faults += _levels(case, kinds[case.id])
    if faults:
        return faults
    things = {thing.id: thing for thing in problem.objects}
    for case in answer.cases:
        kind = kinds[case.id]
        standing = [_stand(things[p.id], p, case) for p in answer.places if p.case == case.id]
        faults += _inside(problem, case, kind, standing)
        faults += _overlaps(problem, standing)
        faults += _loads(case, kind, standing)
        faults += _limits(case, kind, standing)
        faults += _conflicts(problem, case, standing)
    faults += _together(problem, answer)
    faults += _fixed(problem, answer)
    faults += _sums(problem, answer, kinds)
    faults += [CaseFault(*told) for told in untrue(problem, answer, kinds)]
    return faults


def _presence(
    problem: CasesProblem, answer: CasesAnswer, kinds: dict[str, Kind]
) -> Iterator[CaseFault]:
    names = {thing.id for thing in problem.objects}
    used = Counter(case.id for case in answer.cases)
    for name, times in used.items():
        if name not in kinds:
            yield CaseFault("unknown", (), f"{name} is not a case of this problem.")
        if times > 1:
            yield CaseFault("twice", (), f"Case {name} is listed {times} times.")
    for place in answer.places:
        if place.id not in names:
            yield CaseFault("unknown", (place.id,), f"{place.id} is not an object here.")
        if place.case not in used:
            yield CaseFault("unknown", (place.id,), f"{place.id} stands in no case in use.")
    for name, times in Counter(place.id for place in answer.places).items():
        if times > 1:
            yield CaseFault("twice", (name,), f"{name} stands {times} times.")
    stood = {place.id for place in answer.places}
    for name in sorted(names - stood - set(answer.unplaced)):
        yield CaseFault("missing", (name,), f"{name} stands nowhere and is not left out openly.")
    for case in answer.cases:
        for place in answer.places:
            if place.case == case.id and place.shelf not in {one.shelf for one in case.levels}:
                words = f"{place.id} stands on surface {place.shelf} of {case.id}, not in use."
                yield CaseFault("level", (place.id,), words)


def _levels(case: UsedCase, kind: Kind) -> Iterator[CaseFault]:
    if case.kind != kind.id:
        yield CaseFault("setting", (), f"{case.id} is a {kind.id}, not a {case.kind}.")
    if (case.lux is None) != (not kind.lux) or (kind.lux and case.lux not in kind.lux):
        yield CaseFault("setting", (), f"{case.id} cannot be set to {case.lux} lx.")
    kept = (case.low_percent, case.high_percent)
    bands = [(band.low_percent, band.high_percent) for band in kind.climates]
    if kept not in bands and (bands or kept != (None, None)):
        words = f"{case.id} cannot keep {case.low_percent} to {case.high_percent} % RH."
        yield CaseFault("setting", (), words)
    if [one.shelf for one in case.levels] != sorted({one.shelf for one in case.levels}):
        yield CaseFault("level", (), f"The surfaces of {case.id} are not listed from below.")
    below = 0
    for level in case.levels:
        if level.shelf > len(kind.shelves):
            yield CaseFault("level", (), f"{case.id} has no surface {level.shelf}.")
        elif level.shelf == 0 and level.z_mm:
            yield CaseFault("level", (), f"The floor of {case.id} is not at 0 mm.")
        elif level.shelf:
            shelf = kind.shelves[level.shelf - 1]
            up = level.z_mm - shelf.lowest_mm
            if up < 0 or level.z_mm > shelf.highest_mm or up % shelf.step_mm:
                words = f"Shelf {level.shelf} of {case.id} cannot be set to {level.z_mm} mm."
                yield CaseFault("level", (), words)
            if level.z_mm - shelf.thickness_mm < below:
                words = f"Shelf {level.shelf} of {case.id} lies in the surface below it."
                yield CaseFault("level", (), words)
            below = level.z_mm


def _stand(thing: Thing, place: Place, case: UsedCase) -> _Standing:
    z = next(level.z_mm for level in case.levels if level.shelf == place.shelf)
    wide, deep = thing.width_mm, thing.depth_mm
    if place.turned:
        wide, deep = deep, wide
    return _Standing(
        thing,
        place,
        place.x_mm,
        place.y_mm,
        z,
        place.x_mm + wide,
        place.y_mm + deep,
        z + thing.height_mm,
    )


def _inside(
    problem: CasesProblem, case: UsedCase, kind: Kind, standing: list[_Standing]
) -> Iterator[CaseFault]:
    glass, strip = problem.clearances.glass_mm, problem.display.label_strip_mm
    above = problem.clearances.above_mm
    tops = {level.shelf: level.z_mm for level in case.levels}
    for one in standing:
        name, shelf = one.thing.id, one.place.shelf
        depth = kind.shelves[shelf - 1].depth_mm if shelf else kind.depth_mm
        edge = kind.depth_mm - depth
        sides = {
            "left": one.x0,
            "right": kind.width_mm - one.x1,
            "front": one.y0,
            "back": kind.depth_mm - one.y1,
            "top": kind.height_mm - one.z1,
        }
        if min(sides.values()) < 0 or one.y0 < edge:
            yield CaseFault("outside", (name,), f"{name} reaches beyond its surface in {case.id}.")
        for side, room in sides.items():
            if side in kind.glazed and room < glass:
                words = f"{name} is {room} mm from the glass ({side}) of {case.id}, not {glass} mm."
                yield CaseFault("glass", (name,), words)
        if one.y0 < edge + strip:
            words = f"{name} stands on the {strip} mm strip for labels in {case.id}."
            yield CaseFault("strip", (name,), words)
        lids = [
            tops[number] - kind.shelves[number - 1].thickness_mm
            for number in tops
            if number > shelf
        ]
        room = min([*lids, kind.height_mm]) - one.z1
        if room < above:
            yield CaseFault(
                "above", (name,), f"{name} has {room} mm above it in {case.id}, not {above} mm."
            )
        if one.place.turned and not one.thing.turns:
            yield CaseFault("turned", (name,), f"{name} is turned and may not be.")


def _overlaps(problem: CasesProblem, standing: list[_Standing]) -> Iterator[CaseFault]:
    gap = problem.clearances.between_mm
    for a, b in combinations(standing, 2):
        if a.place.shelf != b.place.shelf:
            continue
        across = max(a.x0, b.x0) - min(a.x1, b.x1)
        along = max(a.y0, b.y0) - min(a.y1, b.y1)
        if max(across, along) < gap:
            names = (a.thing.id, b.thing.id)
            words = f"{names[0]} and {names[1]} are {max(across, along)} mm apart, not {gap} mm."
            yield CaseFault("overlap", names, words)


def _loads(case: UsedCase, kind: Kind, standing: list[_Standing]) -> Iterator[CaseFault]:
    names = tuple(one.thing.id for one in standing)
    total = sum(one.thing.mass_g for one in standing)
    if kind.max_g is not None and total > kind.max_g:
        words = f"{case.id} bears {total} g; its limit is {kind.max_g} g."
        yield CaseFault("case_load", names, words)
    for number, shelf in enumerate(kind.shelves, 1):
        here = [one.thing for one in standing if one.place.shelf == number]
        load = sum(thing.mass_g for thing in here)
        if shelf.max_g is not None and load > shelf.max_g:
            words = f"Shelf {number} of {case.id} bears {load} g; its limit is {shelf.max_g} g."
            yield CaseFault("shelf_load", tuple(thing.id for thing in here), words)


def _limits(case: UsedCase, kind: Kind, standing: list[_Standing]) -> Iterator[CaseFault]:
    for one in standing:
        thing, name = one.thing, one.thing.id
        if case.lux is not None and thing.max_lux is not None and case.lux > thing.max_lux:
            words = f"{name} bears {thing.max_lux} lx and stands under {case.lux} lx in {case.id}."
            yield CaseFault("light", (name,), words)
        if case.lux is not None and thing.min_lux is not None and case.lux < thing.min_lux:
            words = f"{name} needs {thing.min_lux} lx and stands under {case.lux} lx in {case.id}."
            yield CaseFault("light", (name,), words)
        if thing.climate is not None:
            low, high = case.low_percent, case.high_percent
            kept = None if low is None or high is None else Climate(low, high)
            if kept is None or not kept.within(thing.climate):
                words = f"{name} needs {thing.climate}; {case.id} keeps {kept or 'no band'}."
                yield CaseFault("climate", (name,), words)
        if thing.security > kind.security:
            words = f"{name} needs security {thing.security}; {case.id} has {kind.security}."
            yield CaseFault("security", (name,), words)


def _conflicts(
    problem: CasesProblem, case: UsedCase, standing: list[_Standing]
) -> Iterator[CaseFault]:
    for rule in problem.conflicts:
        for a, b in combinations([one.thing for one in standing], 2):
            if set(rule.objects) == {a.id, b.id} or (
                rule.tags
                and any(
                    one in a.tags and other in b.tags for one, other in (rule.tags, rule.tags[::-1])
                )
            ):
                why = f": {rule.reason}" if rule.reason else ""
                words = f"{a.id} and {b.id} must not share {case.id} ({rule}){why}."
                yield CaseFault("conflict", (a.id, b.id), words)


def _together(problem: CasesProblem, answer: CasesAnswer) -> Iterator[CaseFault]:
    case_of = {place.id: place.case for place in answer.places}
    for group in problem.together:
        if len({case_of.get(name) for name in group}) > 1:
            yield CaseFault("together", group, f"{', '.join(group)} do not stand in one case.")


def _fixed(problem: CasesProblem, answer: CasesAnswer) -> Iterator[CaseFault]:
    places = {place.id: place for place in answer.places}
    for thing in problem.objects:
        place = places.get(thing.id)
        if place is None:
            continue
        pairs = [("case", thing.case, place.case), ("shelf", thing.shelf, place.shelf)]
        pairs += [("x_mm", thing.x_mm, place.x_mm), ("y_mm", thing.y_mm, place.y_mm)]
        if thing.x_mm is not None:
            pairs.append(("turned", thing.turned, place.turned))
        for what, wanted, got in pairs:
            if wanted is not None and wanted != got:
                words = f"{thing.id}: {what} is {got}, fixed at {wanted}."
                yield CaseFault("fixed", (thing.id,), words)


def _sums(
    problem: CasesProblem, answer: CasesAnswer, kinds: dict[str, Kind]
) -> Iterator[CaseFault]:
    measures = answer.measures
    cost = sum(kinds[case.id].cost for case in answer.cases)
    if (measures.cost, measures.cases) != (cost, len(answer.cases)):
        words = f"The answer says {measures.cases} cases for {measures.cost}; it uses "
        yield CaseFault("sums", (), f"{words}{len(answer.cases)} for {cost}.")
    if answer.bound_cost > cost or (
        answer.bound_cost == cost and answer.bound_cases > len(answer.cases)
    ):
        yield CaseFault("bound", (), "The bound is above what the answer reaches.")
    if problem.previous:
        before = {row["id"]: row["case"] for row in problem.previous.get("places", [])}
        moved = sum(before.get(place.id, place.case) != place.case for place in answer.places)
        if moved != measures.moved:
            yield CaseFault("moved", (), f"{moved} objects moved, not {measures.moved}.")
        if problem.moves_at_most is not None and moved > problem.moves_at_most:
            words = f"{moved} objects moved; at most {problem.moves_at_most} may."
            yield CaseFault("moved", (), words)
