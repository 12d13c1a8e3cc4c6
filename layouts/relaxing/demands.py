"""Every demand that could give way, one entry a kind: how to find it, loosen it, and say it.

A new demand takes one entry in one of the tables. Amounts are whole numbers of the kind's unit.
"""

from __future__ import annotations

from layouts.problem import Problem
from layouts.relaxing.kinds import Amounts, Demand
from layouts.relaxing.of_arrangement import OF_ARRANGEMENT, OF_HEIGHT
from layouts.relaxing.of_pieces import OF_PIECES, OF_TIES
from layouts.relaxing.of_walls import OF_LOADS, OF_WALLS

KINDS = {
    kind.rule: kind
    for kind in (*OF_ARRANGEMENT, *OF_TIES, *OF_LOADS, *OF_PIECES, *OF_WALLS, *OF_HEIGHT)
}


def loosened(problem: Problem, demand: Demand, amount: int) -> Problem:
    """Return the problem with a demand loosened by an amount."""
    return KINDS[demand.rule].loosen(problem, demand, amount)


def levels_of(problem: Problem, demand: Demand) -> Amounts:
    """Return the amounts by which a demand may give way; (0,) if it can only be given up."""
    levels = KINDS[demand.rule].levels
    return (0,) if levels is None else levels(problem, demand)


def without(problem: Problem, demand: Demand) -> Problem:
    """Return the problem with a demand given up."""
    levels = levels_of(problem, demand)
    return loosened(problem, demand, levels[-1]) if levels else problem


def demands_of(problem: Problem) -> list[Demand]:
    """Return every demand that could be given up, in the order in which one would rather keep."""
    return [demand for kind in KINDS.values() if not kind.beside for demand in kind.find(problem)]


def besides(problem: Problem, rules: set[str]) -> list[Demand]:
    """Return what is no demand and could yet give way where demands of these kinds clash."""
    return [
        demand
        for kind in KINDS.values()
        if rules & set(kind.beside)
        for demand in kind.find(problem)
    ]
