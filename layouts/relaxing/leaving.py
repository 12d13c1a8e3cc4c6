"""Which pieces to leave out so that the others can hang."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from layouts.bounds import impossible
from layouts.problem import Piece, Problem
from layouts.relaxing.kinds import listed
from layouts.relaxing.trial import Trial
from layouts.solution import Relaxation

MOST_TRIED = 24


def left_out(problem: Problem, names: Sequence[str]) -> Problem:
    """Return the problem without some pieces, and without what was asked of them with others."""
    gone = set(names)
    rule = problem.arrangement

    def rest(some: Sequence[str]) -> tuple[str, ...]:
        return tuple(name for name in some if name not in gone)

    return replace(
        problem,
        pieces=tuple(piece for piece in problem.pieces if piece.id not in gone),
        together=tuple(g for g in map(rest, problem.together) if len(g) > 1),
        apart=tuple(
            replace(r, pieces=rest(r.pieces)) for r in problem.apart if len(rest(r.pieces)) > 1
        ),
        near=tuple(
            replace(r, pieces=rest(r.pieces)) for r in problem.near if len(rest(r.pieces)) > 1
        ),
        arrangement=replace(rule, order=rest(rule.order) if rule.order else None),
    )


def leaving_out(
    problem: Problem, names: Sequence[str], trial: Trial, *, sure: bool
) -> Relaxation | None:
    """Return the narrowest single piece of these whose leaving is enough, else a few.

    A few are the widest first, as many as it takes, none of them in vain; fewer others may do.
    """
    if len(problem.pieces) == 1:
        return None
    pieces = sorted((problem.piece(n) for n in dict.fromkeys(names)), key=lambda p: p.block_mm)
    single = [p for p in pieces if not impossible(left_out(problem, (p.id,)))]
    for piece in _spaced(single):
        if trial.spent:
            return None
        if trial.possible(left_out(problem, (piece.id,))):
            return _leave((piece.id,), exact=sure)
    chosen: list[str] = []
    for piece in reversed(pieces[1:]):
        chosen.append(piece.id)
        rest = left_out(problem, chosen)
        if len(chosen) > 1 and not impossible(rest) and trial.possible(rest):
            return _leave(_needed(problem, chosen, trial), exact=False)
    return None


def _needed(problem: Problem, names: Sequence[str], trial: Trial) -> tuple[str, ...]:
    """Return those of the pieces left out without whose leaving the others cannot hang."""
    left = list(names)
    for name in names:
        others = [other for other in left if other != name]
        if len(others) > 1 and trial.possible(left_out(problem, others)):
            left = others
    return tuple(left)


def _spaced(some: list[Piece]) -> list[Piece]:
    """Return at most MOST_TRIED, from the first to the last, at equal distances."""
    if len(some) <= MOST_TRIED:
        return some
    return [some[n * (len(some) - 1) // (MOST_TRIED - 1)] for n in range(MOST_TRIED)]


def _leave(names: tuple[str, ...], *, exact: bool) -> Relaxation:
    words = f"Leave out {listed(names)}" + ("" if exact else " (less may do)") + "."
    return Relaxation("leave", names, (), 0, len(names), "pieces", words, exact)
