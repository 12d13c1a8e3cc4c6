"""Verify what an arrangement of showcases says of itself: measures, what is hidden, its status."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import pairwise

from layouts.cases.answer import CAUTIONS, CasesAnswer, Place, UsedCase
from layouts.cases.problem import CasesProblem, Kind, Thing
from layouts.cases.shadows import TOLERANCE_PERCENT, Block, Eye, shares

# An object counts as hidden when more than so many percent of its front are.
HIDDEN_FROM_PERCENT = 10
FLOOR_SLAB_MM = 60
Told = tuple[str, tuple[str, ...], str]


def untrue(problem: CasesProblem, answer: CasesAnswer, kinds: dict[str, Kind]) -> Iterator[Told]:
    """Yield what an answer says wrongly: rule, objects, and a sentence."""
    yield from _status(answer)
    if not answer.cases:
        return
    yield from _hidden(problem, answer, kinds)
    measures, things = answer.measures, {thing.id: thing for thing in problem.objects}
    sections = _sections(answer, things)
    much = {row.id for row in answer.hidden if row.percent > HIDDEN_FROM_PERCENT}
    for name, told, true, hair in (
        ("breaks", measures.breaks, _breaks(sections), 0),
        ("out_of_order", measures.out_of_order, _backward(problem, sections), 0),
        ("hidden", measures.hidden, len(much), 0),
        ("uneven_lines", measures.uneven_lines, _uneven(problem, answer, things), 0),
        ("use_spread_percent", measures.use_spread_percent, _spread(problem, answer, kinds), 1),
    ):
        if abs(told - true) > hair:
            yield "measure", (), f"The answer says {name} is {told}; it is {true}."


def _status(answer: CasesAnswer) -> Iterator[Told]:
    score = answer.measures.cost, answer.measures.cases
    good = answer.status in ("optimal", "feasible")
    if answer.status == "optimal" and score != (answer.bound_cost, answer.bound_cases):
        yield "status", (), "The answer is called optimal, and its bound lies lower."
    if good and answer.unplaced:
        yield "status", answer.unplaced, f"{', '.join(answer.unplaced)} stand nowhere."
    for words in set(CAUTIONS) - set(answer.cautions):
        yield "caution", (), f"A caution is missing: {words}"


def _hidden(problem: CasesProblem, answer: CasesAnswer, kinds: dict[str, Kind]) -> Iterator[Told]:
    told = {(row.id, row.eye_mm): row for row in answer.hidden}
    if len(told) < len(answer.hidden):
        yield "hidden", (), "A hidden share is told twice."
    for case in answer.cases:
        kind = kinds[case.id]
        here, opaque = _blocks(problem, answer, case, kind)
        for eye_mm in problem.viewing.eyes_mm:
            eye = Eye(problem.viewing.distance_mm, eye_mm - kind.floor_mm)
            for target in here:
                row = told.pop((target.name, eye_mm), None)
                true, alone = shares(target, [*here, *opaque], eye)
                percent = row.percent if row else 0
                if abs(percent - true) > TOLERANCE_PERCENT:
                    words = f"{true:.0f} % of {target.name} are hidden from an eye at {eye_mm} mm"
                    yield "hidden", (target.name,), f"{words}; the answer says {percent} %."
                behind = set(row.behind) if row else set()
                strange = behind - alone.keys() - {""}
                silent = {n for n, part in alone.items() if n and part > TOLERANCE_PERCENT}
                for name in sorted(strange | (silent - behind)):
                    words = "does not stand" if name in strange else "stands, unsaid,"
                    yield "hidden", (name,), f"{name} {words} before {target.name}."
    for name, eye_mm in told:
        yield "hidden", (name,), f"Nobody looks at {name} from {eye_mm} mm, or it stands nowhere."


def _blocks(
    problem: CasesProblem, answer: CasesAnswer, case: UsedCase, kind: Kind
) -> tuple[list[Block], list[Block]]:
    """Return the objects of a case, and what else stands in the way: its floor, opaque shelves."""
    tops = {level.shelf: level.z_mm for level in case.levels}
    things = {thing.id: thing for thing in problem.objects}
    here = []
    for place in answer.places:
        if place.case == case.id:
            wide, deep = _foot(things[place.id], place)
            bottom = tops[place.shelf]
            here.append(
                Block(
                    place.id,
                    (place.x_mm, place.x_mm + wide),
                    (place.y_mm, place.y_mm + deep),
                    (bottom, bottom + things[place.id].height_mm),
                )
            )
    whole = (0, kind.width_mm)
    opaque = [Block("", whole, (0, kind.depth_mm), (-FLOOR_SLAB_MM, 0))]
    for number, shelf in enumerate(kind.shelves, 1):
        if shelf.opaque and number in tops:
            y = (kind.depth_mm - shelf.depth_mm, kind.depth_mm)
            z = (tops[number] - shelf.thickness_mm, tops[number])
            opaque.append(Block("", whole, y, z))
    return here, opaque


def _foot(thing: Thing, place: Place) -> tuple[int, int]:
    if place.turned:
        return thing.depth_mm, thing.width_mm
    return thing.width_mm, thing.depth_mm


def _sections(answer: CasesAnswer, things: dict[str, Thing]) -> list[set[str]]:
    found = []
    for case in answer.cases:
        here = {things[p.id].section for p in answer.places if p.case == case.id}
        found.append({section for section in here if section})
    return found


def _breaks(sections: Sequence[set[str]]) -> int:
    """Count for each section how many stretches of cases it takes beyond one."""
    total = 0
    for section in set().union(*sections):
        there = [section in here for here in sections]
        starts = there[0] + sum(b and not a for a, b in pairwise(there))
        total += starts - 1
    return total


def _backward(problem: CasesProblem, sections: Sequence[set[str]]) -> int:
    named = [*problem.sections, *(t.section for t in problem.objects if t.section)]
    order = list(dict.fromkeys(named))
    means = [sum(map(order.index, here)) / len(here) for here in sections if here]
    return sum(a > b for a, b in pairwise(means))


def _uneven(problem: CasesProblem, answer: CasesAnswer, things: dict[str, Thing]) -> int:
    """Count surfaces where objects share front edges, or centre lines, too seldom."""
    marks: dict[tuple[str, int], list[int]] = defaultdict(list)
    for place in answer.places:
        mark = 2 * place.y_mm
        if problem.display.line == "centre":
            mark += _foot(things[place.id], place)[1]
        marks[place.case, place.shelf].append(mark)
    count = 0
    for here in marks.values():
        here.sort()
        lines = 1 + sum(b - a > 2 for a, b in pairwise(here))
        count += lines > max(1, len(here) // 2)
    return count


def _spread(problem: CasesProblem, answer: CasesAnswer, kinds: dict[str, Kind]) -> int:
    """Return by how much the use of cases of one kind differs at most, in percent of surface."""
    things = {thing.id: thing for thing in problem.objects}
    gap = problem.clearances.between_mm
    shares: dict[str, list[float]] = defaultdict(list)
    for case in answer.cases:
        kind = kinds[case.id]
        taken = sum(
            (things[p.id].width_mm + gap) * (things[p.id].depth_mm + gap)
            for p in answer.places
            if p.case == case.id
        )
        shares[kind.id].append(100 * taken / max(1, _surface(problem, kind)))
    return round(max((max(row) - min(row) for row in shares.values()), default=0))


def _surface(problem: CasesProblem, kind: Kind) -> int:
    """Return all ground that may be stood on, with the room between objects, in mm2."""
    glass, gap = problem.clearances.glass_mm, problem.clearances.between_mm
    kept = {
        side: glass if side in kind.glazed else 0 for side in ("left", "right", "front", "back")
    }
    wide = max(0, kind.width_mm - kept["left"] - kept["right"])
    total = 0
    for depth in (kind.depth_mm, *(shelf.depth_mm for shelf in kind.shelves)):
        edge = kind.depth_mm - depth + problem.display.label_strip_mm
        deep = max(0, kind.depth_mm - kept["back"] - max(kept["front"], edge))
        total += (wide + gap) * (deep + gap)
    return total
