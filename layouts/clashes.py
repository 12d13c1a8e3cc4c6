"""Find a smallest set of single demands that cannot hold together.

Smallest in that any demand taken out of the set leaves the rest possible: found by halving, each
half asked of the same search that looks for hangs, borders read leniently so that what is called
impossible is.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from layouts.problem import Arrangement, Fixing, Problem

if TYPE_CHECKING:
    from layouts.search.solver import Allowance

ASKED_WORK = 0.5
KINDS_ASKED = ("even", "by_section", "rise", "related", "rows")


@dataclass(frozen=True)
class Demand:
    """One demand in words, with the problem's pieces and walls that it is about."""

    rule: str
    words: str
    pieces: tuple[str, ...] = ()
    walls: tuple[str, ...] = ()
    number: int = 0


def demands_of(problem: Problem) -> list[Demand]:
    """Return every demand that could be given up, in the order in which one would rather keep."""
    rule = problem.arrangement
    found = [Demand("gap", f"gaps are at least {rule.min_gap_mm} mm")] if rule.min_gap_mm else []
    if rule.order:
        found.append(Demand("order", "the pieces hang in the order given"))
    if rule.kind == "by_section":
        found.append(Demand("sections", "sections stay whole and in their order"))
    for number, group in enumerate(problem.together):
        words = f"{' and '.join(group)} hang together"
        found.append(Demand("together", words, group, number=number))
    for wall in problem.walls:
        for number, fixing in enumerate(wall.fixings):
            found += _loads(wall.id, number, fixing)
    for piece in problem.pieces:
        if piece.wall is not None and piece.x_mm is None:
            words = f"{piece.id} hangs on {piece.wall}"
            found.append(Demand("fixed", words, (piece.id,), (piece.wall,)))
        if piece.max_lux is not None:
            words = f"{piece.id} bears {piece.max_lux} lx"
            found.append(Demand("light", words, (piece.id,)))
    return found


def _loads(wall: str, number: int, fixing: Fixing) -> list[Demand]:
    where = f"{wall} from {fixing.from_mm} to {fixing.to_mm} mm carries"
    found = []
    if fixing.max_kg_per_object is not None:
        words = f"{where} {fixing.max_kg_per_object:g} kg an object"
        found.append(Demand("load", words, (), (wall,), number))
    if fixing.max_kg_per_m is not None:
        words = f"{where} {fixing.max_kg_per_m:g} kg a metre"
        found.append(Demand("load_per_metre", words, (), (wall,), number))
    return found


def only(problem: Problem, kept: Sequence[Demand]) -> Problem:
    """Return the problem with no demands but these; lengths, order of walls and doors stay."""
    rule = problem.arrangement
    rules = {demand.rule for demand in kept}
    lit = {d.pieces[0] for d in kept if d.rule == "light"}
    bound = {d.pieces[0] for d in kept if d.rule == "fixed"}
    loads = {(d.rule, d.walls[0], d.number) for d in kept if d.walls and d.rule != "fixed"}
    return replace(
        problem,
        walls=tuple(
            replace(
                wall,
                fixings=tuple(
                    replace(
                        fixing,
                        max_kg_per_object=fixing.max_kg_per_object
                        if ("load", wall.id, n) in loads
                        else None,
                        max_kg_per_m=fixing.max_kg_per_m
                        if ("load_per_metre", wall.id, n) in loads
                        else None,
                    )
                    for n, fixing in enumerate(wall.fixings)
                ),
            )
            for wall in problem.walls
        ),
        pieces=tuple(
            replace(
                piece,
                max_lux=piece.max_lux if piece.id in lit else None,
                wall=piece.wall if piece.id in bound or piece.x_mm is not None else None,
            )
            for piece in problem.pieces
        ),
        arrangement=_rule(rule, rules),
        together=tuple(problem.together[d.number] for d in kept if d.rule == "together"),
        apart=(),
        previous=None,
    )


def _rule(rule: Arrangement, rules: set[str]) -> Arrangement:
    kind = "even" if rule.kind == "by_section" and "sections" not in rules else rule.kind
    return replace(
        rule,
        kind=kind,
        min_gap_mm=rule.min_gap_mm if "gap" in rules else 0,
        max_gap_mm=rule.max_gap_mm if "gap" in rules else None,
        order=rule.order if "order" in rules else None,
        sections=rule.sections if kind == "by_section" else None,
        section_gap_mm=rule.section_gap_mm if kind == "by_section" else None,
    )


def smallest_clash(
    problem: Problem,
    *,
    seconds: float,
    seed: int,
    cancelled: Callable[[], bool] = lambda: False,
) -> list[Demand]:
    """Return demands that clash, none of which could be spared; empty when none is known."""
    from layouts.search.solver import Allowance

    if problem.arrangement.kind not in KINDS_ASKED:
        return []
    allowance = Allowance(seconds, seed, cancelled)
    everything = demands_of(problem)

    def clash(kept: Sequence[Demand]) -> bool:
        return _impossible(only(problem, kept), allowance)

    if not clash(everything) or clash([]):
        return []
    found = _halved(clash, [], [], everything)
    return [] if allowance.spent else sorted(found, key=everything.index)


def _halved(
    clash: Callable[[Sequence[Demand]], bool],
    given: list[Demand],
    new: list[Demand],
    asked: list[Demand],
) -> list[Demand]:
    """Return what of `asked` is needed, beside `given`, for a clash (divide and conquer)."""
    if new and clash(given):
        return []
    if len(asked) == 1:
        return asked
    half = len(asked) // 2
    first, second = asked[:half], asked[half:]
    of_second = _halved(clash, given + first, first, second)
    of_first = _halved(clash, given + of_second, of_second, first)
    return of_first + of_second


def _impossible(problem: Problem, allowance: Allowance) -> bool:
    from layouts.blocks import blocks_of
    from layouts.bounds import impossible
    from layouts.geometry import cells_of, clear_runs
    from layouts.search.assign import ask
    from layouts.search.model import Task

    if impossible(problem):
        return True
    runs = clear_runs(problem)
    blocks = [b for b in blocks_of(problem) if b.pieces[0].x_mm is None]
    if not blocks:
        return False
    task = Task(problem, blocks, runs, cells_of(runs, problem), lenient=True)
    widest = max((run.length_mm for run in runs), default=0)
    band = (problem.arrangement.min_gap_mm, widest)
    return ask(task, band, allowance, most_work=ASKED_WORK) == (None, True)
