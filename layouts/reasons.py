"""Say in words which demands cannot hold together, and what would make it work.

A conflict names a smallest set of demands that clash, and for each of them how little it would
have to give way. Every relaxation named was solved and verified against all other demands.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from layouts import bounds
from layouts.clashes import Test, clashes, impossible_for, smallest_clash, within
from layouts.geometry import room_mm, rule_on
from layouts.problem import Problem
from layouts.relaxing.demands import besides, demands_of
from layouts.relaxing.kinds import Demand
from layouts.relaxing.smallest import Relaxer
from layouts.relaxing.trial import Trial
from layouts.search.solver import Allowance
from layouts.solution import Conflict, Relaxation, Solution
from layouts.stacking import stack_mm

SHARE = 0.5
"""Of the time given, so much at most goes into reasons."""
MOST_EXPLAINED = 5
MOST_SINGLE = 40
ORDERED_LAST = ("apart", "together")
"""What is settled once it is known who hangs where: there a search may end without a proof."""
ALONE = 10
"""So deep that nothing else may give way besides."""


def explain(
    problem: Problem,
    known: Sequence[Conflict] = (),
    *,
    seconds: float,
    seed: int,
    cancelled: Callable[[], bool] = lambda: False,
) -> list[Conflict]:
    """Return what clashes, `known` from arithmetic or else found out, with what would help."""
    problem = replace(problem, previous=None, moves_at_most=None)
    why = _Why(problem, Allowance(seconds * SHARE, seed, cancelled))
    if known:
        told = [why.told(conflict) for conflict in known[:MOST_EXPLAINED]]
        return [*told, *known[MOST_EXPLAINED:]]
    found = [why.named(clash) for clash in clashes(problem, why.test)]
    if not found or why.relaxer.trial.spent:
        found = found or [
            why.unnamed("several", "No hang keeps every demand; which of them clash is not known.")
        ]
    if problem.arrangement.kind == "rows" and (
        high := _too_high(problem, seconds, seed, cancelled)
    ):
        ways = found[0].relaxations
        found[0] = replace(high, demands=found[0].demands, relaxations=ways)
    return found


def unknown(
    problem: Problem,
    words: str,
    *,
    seconds: float,
    seed: int,
    cancelled: Callable[[], bool] = lambda: False,
) -> Conflict:
    """Return what would help where a search ended without a hang and without a proof."""
    problem = replace(problem, previous=None, moves_at_most=None)
    why = _Why(problem, Allowance(seconds * SHARE / 2, seed, cancelled), sure=False)
    return why.unnamed("not_found", words)


@dataclass
class _Why:
    """What clashes in one problem, and what would help, within one allowance."""

    problem: Problem
    allowance: Allowance
    sure: bool = True

    def __post_init__(self) -> None:
        self.test: Test = impossible_for(self.allowance)
        self.relaxer = Relaxer(
            Trial(self.allowance),
            lambda problem: smallest_clash(problem, self.test) or [],
            self.sure,
        )

    def told(self, conflict: Conflict) -> Conflict:
        """Return a conflict known from arithmetic with its smallest set and what would help."""

        def same(problem: Problem) -> bool:
            return any(
                other.rule == conflict.rule and set(other.pieces) & set(conflict.pieces)
                for other in bounds.impossible(problem)
            )

        clash = within(self.problem, smallest_clash(self.problem, same) or [], self.test)
        ways = self._ways(clash, conflict.rule, conflict.pieces)
        words = tuple(demand.words for demand in clash)
        return replace(conflict, demands=words, relaxations=ways)

    def named(self, clash: Sequence[Demand]) -> Conflict:
        """Return the conflict of demands that clash, with what would help."""
        rules = {demand.rule for demand in clash}
        rule = rules.pop() if len(rules) == 1 else "several" if rules else "walls"
        about = tuple(dict.fromkeys(name for demand in clash for name in demand.pieces))
        ways = self._ways(clash, rule, about or tuple(piece.id for piece in self.problem.pieces))
        return Conflict(
            rule,
            about or tuple(piece.id for piece in self.problem.pieces),
            tuple(dict.fromkeys(name for demand in clash for name in demand.walls)),
            _sentence(clash),
            self._advice(ways),
            ways[0].amount if len(clash) == 1 and ways else len(clash),
            tuple(demand.words for demand in clash),
            ways,
        )

    def unnamed(self, rule: str, words: str) -> Conflict:
        """Return what would help where it is not known what clashes."""
        every = tuple(piece.id for piece in self.problem.pieces)
        demands = sorted(
            demands_of(self.problem), key=lambda d: d.rule not in ("apart", "together")
        )
        ways = [self.relaxer.relax(self.problem, d, deep=ALONE) for d in demands[:MOST_SINGLE]]
        found = tuple(way for way in [*ways, self.relaxer.leave_out(self.problem, every)] if way)
        walls = tuple(wall.id for wall in self.problem.walls)
        return Conflict(rule, every, walls, words, self._advice(found), relaxations=found)

    def _advice(self, ways: Sequence[Relaxation]) -> str:
        words = " ".join(way.sentence for way in ways)
        if len(ways) > 1:
            words = f"Any one of these is enough. {words}"
        if self.allowance.spent:
            words += " More may be found in more time."
        return words.strip()

    def _ways(
        self, clash: Sequence[Demand], rule: str, names: Sequence[str]
    ) -> tuple[Relaxation, ...]:
        """Return the least of each demand, which piece to leave out, and what else could give."""
        ways = [self.relaxer.relax(self.problem, demand) for demand in clash]
        every = [piece.id for piece in self.problem.pieces]
        leave = self.relaxer.leave_out
        ways.append(leave(self.problem, names) or leave(self.problem, every))
        rules = {rule, *(demand.rule for demand in clash)}
        ways += self.relaxer.beside(self.problem, besides(self.problem, rules))
        return tuple(way for way in ways if way)


def _sentence(clash: Sequence[Demand]) -> str:
    words = "; ".join(demand.words for demand in clash)
    if not clash:
        return "Sizes and walls alone leave no hang, whichever other demands are given up."
    if len(clash) == 1:
        return f"These walls leave no hang in which {words}."
    return f"These {len(clash)} demands cannot hold together on these walls: {words}."


def _too_high(
    problem: Problem, seconds: float, seed: int, cancelled: Callable[[], bool]
) -> Conflict | None:
    """Say how high the rows came to be where their height was no limit."""
    from layouts.search.options import Demands
    from layouts.solve import arrange

    try:
        answer = arrange(
            problem,
            seconds=seconds * SHARE,
            seed=seed,
            demands=Demands(height=False),
            cancelled=cancelled,
        )
    except TimeoutError:
        return None
    conflict = None if answer is None else _heights(problem, answer)
    return conflict if conflict and conflict.amount > 0 else None


def _heights(problem: Problem, answer: Solution) -> Conflict:
    """Say how high the rows came to be where their height was no limit."""
    rule = problem.arrangement
    pieces = {piece.id: piece for piece in problem.pieces}
    over, wall, stack = 0, problem.walls[0], 0
    for one in problem.walls:
        rows = [
            [pieces[p.id] for p in answer.placements if (p.wall, p.row) == (one.id, row)]
            for row in range(rule.rows)
        ]
        high = stack_mm(rule, [[p for p in row if p.x_mm is None] for row in rows])
        if high - room_mm(one, rule) > over:
            over, wall, stack = high - room_mm(one, rule), one, high
    return Conflict(
        "height",
        tuple(p.id for p in answer.placements if p.wall == wall.id),
        (wall.id,),
        f"{rule.rows} rows with {rule.row_gap_mm} mm between them came to {stack:,} mm; about a "
        f"datum of {rule_on(wall, rule).datum_mm} mm wall {wall.id} has room for "
        f"{stack - over:,} mm.",
        f"Ask for fewer rows, less between them, or a datum that leaves {over:,} mm more.",
        over,
    )
