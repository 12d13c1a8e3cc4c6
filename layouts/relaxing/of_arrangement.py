"""Demands of the arrangement: gaps, order, edges."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from typing import Any

from layouts.problem import Problem
from layouts.relaxing.kinds import Amounts, Demand, Kind


def _rule(problem: Problem, **changes: Any) -> Problem:
    return replace(problem, arrangement=replace(problem.arrangement, **changes))


def _of_rule(
    name: str, words: str, asked: Callable[[Problem], bool], problem: Problem
) -> Iterator[Demand]:
    if asked(problem):
        yield Demand(name, words.format(rule=problem.arrangement))


def _shrink(field: str, problem: Problem, demand: Demand, amount: int) -> Problem:
    return _rule(problem, **{field: getattr(problem.arrangement, field) - amount})


def _up_to(field: str, problem: Problem, demand: Demand) -> Amounts:
    return range(1, (getattr(problem.arrangement, field) or 0) + 1)


def _mm(rule: str, field: str, words: str, say: str, asked: Callable[[Problem], bool]) -> Kind:
    """Return a kind for a length of the arrangement that may shrink down to nothing."""
    return Kind(
        rule,
        partial(_of_rule, rule, words, asked),
        partial(_shrink, field),
        lambda problem, demand, amount: say.format(
            was=(was := getattr(problem.arrangement, field)), now=was - amount
        ),
        partial(_up_to, field),
        "mm",
    )


def _whole(rule: str, words: str, say: str, asked: Callable[[Problem], bool], **off: Any) -> Kind:
    """Return a kind for something of the arrangement that can only be given up."""
    return Kind(
        rule,
        partial(_of_rule, rule, words, asked),
        lambda problem, demand, amount: _rule(problem, **off),
        lambda problem, demand, amount: say,
    )


def _datums(rule: str, problem: Problem) -> Iterator[Demand]:
    yield Demand(rule, f"pieces hang about {problem.arrangement.datum_mm} mm")


def _shift(sign: int, problem: Problem, demand: Demand, amount: int) -> Problem:
    walls = tuple(
        replace(w, datum_mm=None if w.datum_mm is None else w.datum_mm + sign * amount)
        for w in problem.walls
    )
    moved = _rule(problem, datum_mm=problem.arrangement.datum_mm + sign * amount)
    return replace(moved, walls=walls)


def _within_walls(problem: Problem, demand: Demand) -> Amounts:
    return range(1, max(wall.height_mm for wall in problem.walls) // 2)


OF_ARRANGEMENT = (
    _mm(
        "gap",
        "min_gap_mm",
        "gaps are at least {rule.min_gap_mm} mm",
        "Let gaps be {now} mm instead of {was} mm",
        lambda p: p.arrangement.min_gap_mm > 0,
    ),
    Kind(
        "max_gap",
        partial(
            _of_rule,
            "max_gap",
            "gaps are at most {rule.max_gap_mm} mm",
            lambda p: p.arrangement.max_gap_mm is not None,
        ),
        lambda p, d, n: _rule(p, max_gap_mm=(p.arrangement.max_gap_mm or 0) + n),
        lambda p, d, n: (
            f"Let gaps be up to {(p.arrangement.max_gap_mm or 0) + n} mm instead of "
            f"{p.arrangement.max_gap_mm} mm"
        ),
        lambda p, d: range(
            1, max(w.length_mm for w in p.walls) - (p.arrangement.max_gap_mm or 0) + 1
        ),
        "mm",
    ),
    Kind(
        "section_gap",
        partial(
            _of_rule,
            "section_gap",
            "sections part by {rule.section_gap_mm} mm",
            lambda p: p.arrangement.section_gap_mm is not None,
        ),
        partial(_shrink, "section_gap_mm"),
        lambda p, d, n: (
            f"Let sections part by {(p.arrangement.section_gap_mm or 0) - n} mm instead of "
            f"{p.arrangement.section_gap_mm} mm"
        ),
        lambda p, d: range(1, (p.arrangement.section_gap_mm or 0) - p.arrangement.min_gap_mm + 1),
        "mm",
    ),
    _mm(
        "row_gap",
        "row_gap_mm",
        "rows stand {rule.row_gap_mm} mm from each other",
        "Let rows stand {now} mm from each other instead of {was} mm",
        lambda p: p.arrangement.kind == "rows" and p.arrangement.row_gap_mm > 0,
    ),
    _mm(
        "lowest_edge",
        "lowest_edge_mm",
        "no lower edge hangs below {rule.lowest_edge_mm} mm",
        "Let lower edges come down to {now} mm instead of {was} mm",
        lambda p: p.arrangement.lowest_edge_mm is not None,
    ),
    Kind(
        "highest_edge",
        partial(
            _of_rule,
            "highest_edge",
            "no upper edge hangs above {rule.highest_edge_mm} mm",
            lambda p: p.arrangement.highest_edge_mm is not None,
        ),
        lambda p, d, n: _rule(p, highest_edge_mm=(p.arrangement.highest_edge_mm or 0) + n),
        lambda p, d, n: (
            f"Let upper edges reach {(p.arrangement.highest_edge_mm or 0) + n} mm instead of "
            f"{p.arrangement.highest_edge_mm} mm"
        ),
        lambda p, d: range(
            1, max(w.height_mm for w in p.walls) - (p.arrangement.highest_edge_mm or 0) + 1
        ),
        "mm",
    ),
    _whole(
        "order",
        "the pieces hang in the order given",
        "Let the pieces hang in another order",
        lambda p: p.arrangement.order is not None,
        order=None,
    ),
    _whole(
        "section_order",
        "the sections follow in the order given",
        "Let the sections follow in another order",
        lambda p: p.arrangement.kind == "by_section" and p.arrangement.sections is not None,
        sections=None,
    ),
    _whole(
        "sections",
        "sections stay whole",
        "Let sections mix",
        lambda p: p.arrangement.kind == "by_section",
        kind="even",
        sections=None,
        section_gap_mm=None,
    ),
)

OF_HEIGHT = (
    Kind(
        "datum_up",
        partial(_datums, "datum_up"),
        partial(_shift, 1),
        lambda p, d, n: f"Raise the datum by {n} mm",
        _within_walls,
        "mm",
        monotone=False,
        beside=("height", "row_gap", "lowest_edge", "highest_edge"),
    ),
    Kind(
        "datum_down",
        partial(_datums, "datum_down"),
        partial(_shift, -1),
        lambda p, d, n: f"Lower the datum by {n} mm",
        _within_walls,
        "mm",
        monotone=False,
        beside=("height", "row_gap", "lowest_edge", "highest_edge"),
    ),
)
