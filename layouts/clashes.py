"""Find a smallest set of single demands that cannot hold together.

Smallest in that any demand taken out of the set leaves the rest possible: found by halving, each
half asked of the same search that looks for hangs, borders read leniently so that what is called
impossible is.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from layouts.problem import Problem
from layouts.relaxing.demands import demands_of, without
from layouts.relaxing.kinds import Demand

if TYPE_CHECKING:
    from layouts.search.solver import Allowance

ASKED_WORK = 0.5
MOST_SETS = 4

Test = Callable[[Problem], bool]


def only(problem: Problem, kept: Sequence[Demand]) -> Problem:
    """Return the problem with no demands but these; lengths, order of walls and doors stay."""
    problem = replace(problem, previous=None, moves_at_most=None)
    for demand in demands_of(problem):
        if demand not in kept:
            problem = without(problem, demand)
    return problem


def smallest_clash(problem: Problem, impossible: Test) -> list[Demand] | None:
    """Return demands that clash, none of which could be spared.

    Empty when walls and sizes alone make the hang impossible; None when no clash is known.
    `impossible` tells whether a problem certainly has no hang.
    """
    everything = demands_of(problem)

    def clash(kept: Sequence[Demand]) -> bool:
        return impossible(only(problem, kept))

    if not clash(everything):
        return None
    if clash([]):
        return []
    found = _halved(clash, [], [], everything)
    return sorted(found, key=everything.index)


def within(problem: Problem, clash: Sequence[Demand], impossible: Test) -> list[Demand]:
    """Return the smallest part of a set of demands that clashes by itself, as far as is known."""

    def still(kept: Sequence[Demand]) -> bool:
        return impossible(only(problem, kept))

    if not clash or still([]):
        return []
    found = _halved(still, [], [], list(clash))
    return sorted(found, key=list(clash).index)


def clashes(problem: Problem, impossible: Test) -> Iterator[list[Demand]]:
    """Yield smallest sets that clash, each without the demands of those before."""
    for _ in range(MOST_SETS):
        found = smallest_clash(problem, impossible)
        if found is None:
            return
        yield found
        if not found:
            return
        for demand in found:
            problem = without(problem, demand)


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


def impossible_for(allowance: Allowance) -> Test:
    """Return a test that tells for certain, within an allowance, that a problem has no hang."""

    def impossible(problem: Problem) -> bool:
        return _impossible(problem, allowance)

    return impossible


def _impossible(problem: Problem, allowance: Allowance) -> bool:
    from layouts.blocks import blocks_of
    from layouts.bounds import impossible
    from layouts.geometry import clear_runs, run_cells
    from layouts.grouping import share_denied
    from layouts.relaxing.trial import gap_band
    from layouts.search.assign import ask
    from layouts.search.model import Task

    if impossible(problem):
        return True
    runs = clear_runs(problem)
    blocks = [b for b in blocks_of(problem) if b.pieces[0].x_mm is None]
    if not blocks:
        return False
    if problem.arrangement.kind == "cluster":
        seconds = max(0.1, allowance.left_seconds)
        return share_denied(problem, blocks, runs, seed=allowance.seed, seconds=seconds)
    task = Task(problem, blocks, runs, run_cells(problem, runs), lenient=True)
    return ask(task, gap_band(task), allowance, most_work=ASKED_WORK) == (None, True)
