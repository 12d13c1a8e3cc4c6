"""How little must give way: arithmetic says what is too little, then hangs are sought by halving.

Every relaxation returned was solved and verified.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from layouts.bounds import impossible
from layouts.geometry import cells_of, clear_runs
from layouts.problem import Problem
from layouts.relaxing.demands import KINDS, levels_of, loosened, without
from layouts.relaxing.kinds import Amounts, Demand
from layouts.relaxing.leaving import leaving_out
from layouts.relaxing.trial import Trial
from layouts.solution import Relaxation

MOST_SCANNED = 150
MOST_DEEP = 3
MOST_BESIDE = 3

Clashing = Callable[[Problem], Sequence[Demand]]


@dataclass
class Relaxer:
    """Finds what would make a problem possible; `clashing` names a smallest set that clashes.

    `sure` tells whether it is proved that the problem has no hang as it is.
    """

    trial: Trial
    clashing: Clashing
    sure: bool = True
    repairs: dict[tuple[str, int], list[Relaxation]] = field(default_factory=dict)

    def relax(self, problem: Problem, demand: Demand, deep: int = 0) -> Relaxation | None:
        """Return how far a demand must give way; with what else, if that alone is not enough."""
        spared = without(problem, demand)
        possible = self.trial.possible(spared)
        if possible:
            return self._least(problem, demand, sure=self.sure)
        if possible is None or deep >= MOST_DEEP:
            return None
        for other in self._repairs(spared, deep + 1):
            eased = applied(problem, other)
            enough = self.trial.possible(eased)
            if not enough:
                also = (replace(other, also=()), *other.also)
                return self._least(eased, demand, also, sure=enough is False)
        return None

    def _repairs(self, problem: Problem, deep: int) -> Iterator[Relaxation]:
        """Yield relaxations that make a problem possible, one for each demand that clashes."""
        known = self.repairs.setdefault((repr(problem), deep), [])
        yield from known
        for other in () if known else self.clashing(problem):
            if way := self.relax(problem, other, deep):
                known.append(way)
                yield way

    def _least(
        self,
        problem: Problem,
        demand: Demand,
        also: tuple[Relaxation, ...] = (),
        *,
        sure: bool,
    ) -> Relaxation | None:
        """Return the smallest amount that is enough, as far as it can be proved.

        `sure` tells whether it is proved that something must give way.
        """
        levels = levels_of(problem, demand)
        found = self._level(problem, demand, levels) if levels else None
        if found is None:
            return None
        at, exact = found
        exact = exact and (at > 0 or sure)
        kind = KINDS[demand.rule]
        words = kind.say(problem, demand, levels[at]) + ("" if exact else " (less may do)")
        sentence = "; and ".join([words, *(_lower_first(other.words) for other in also)])
        return Relaxation(
            demand.rule,
            demand.pieces,
            demand.walls,
            demand.number,
            levels[at],
            kind.unit,
            f"{sentence}.",
            exact,
            also,
            words,
        )

    def _level(self, problem: Problem, demand: Demand, levels: Amounts) -> tuple[int, bool] | None:
        """Return the place of the least amount known to be enough, and whether no less is."""

        def at(n: int) -> Problem:
            return loosened(problem, demand, levels[n])

        steady = KINDS[demand.rule].monotone or (demand.rule == "length" and _plain(problem))
        low = self._not_excluded(at, len(levels))
        if low is None:
            return None
        asked = {low: self.trial.possible(at(low))}
        if asked[low]:
            return low, steady or (
                low <= MOST_SCANNED and all(impossible(at(n)) for n in range(low))
            )
        below, high, step = low, low, 1
        while not asked[high]:
            if high == len(levels) - 1 or self.trial.spent:
                return None
            below, high = high, min(len(levels) - 1, high + step)
            asked[high] = self.trial.possible(at(high))
            step *= 8
        while high - below > 1 and not self.trial.spent:
            middle = (below + high) // 2
            asked[middle] = self.trial.possible(at(middle))
            below, high = (below, middle) if asked[middle] else (middle, high)
        return high, steady and asked.get(high - 1) is False

    def _not_excluded(self, at: Callable[[int], Problem], count: int) -> int | None:
        """Return the first amount, met in growing steps, that arithmetic does not exclude."""
        low, high = -1, 0
        while impossible(at(high)):
            if high == count - 1:
                return None
            low, high = high, min(count - 1, 2 * high + 1)
        while high - low > 1:
            middle = (low + high) // 2
            if impossible(at(middle)):
                low = middle
            else:
                high = middle
        return high

    def beside(self, problem: Problem, demands: Sequence[Demand]) -> Iterator[Relaxation]:
        """Yield the least of what is no demand and could give way, of each kind."""
        for rule in dict.fromkeys(demand.rule for demand in demands):
            ways: list[Relaxation] = []
            for demand in [d for d in demands if d.rule == rule]:
                if self.trial.spent or len(ways) >= MOST_BESIDE:
                    break
                way = self._least(problem, demand, sure=self.sure)
                ways += [way] if way else []
            yield from sorted(ways, key=lambda way: way.amount)[:1]

    def leave_out(self, problem: Problem, names: Sequence[str]) -> Relaxation | None:
        """Return the fewest pieces without which the others can hang."""
        return leaving_out(problem, names, self.trial, sure=self.sure)


def applied(problem: Problem, relaxation: Relaxation) -> Problem:
    """Return the problem with a relaxation, and with all that it needs besides."""
    for way in (*relaxation.also, relaxation):
        if way.demand == "leave":
            from layouts.relaxing.leaving import left_out

            problem = left_out(problem, way.pieces)
        else:
            demand = Demand(way.demand, "", way.pieces, way.walls, way.number)
            problem = loosened(problem, demand, way.amount)
    return problem


def _plain(problem: Problem) -> bool:
    """Tell whether light and load are alike along each run, so that more wall never harms."""
    runs = clear_runs(problem)
    return len(cells_of(runs, problem)) == len(runs)


def _lower_first(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:]
