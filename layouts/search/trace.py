"""From the end of a walk back to its beginning: a run for each block."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from random import Random

from layouts.search.chain import Part, State, between
from layouts.search.sums import some_bit
from layouts.search.walk import Step, Walk

PATHS = 12
MOST_LOST = 3
FAILS = 80
STEPS_A_PAIR_OF_RUNS = 1.5
FEW_STEPS = 40


def paths(
    walk: Walk, seed: int, *, stopped: Callable[[], bool] = lambda: False
) -> Iterator[list[int]]:
    """Yield ways to give each block a run; what the walk read leniently is still to check.

    A lenient walk is traced with few errors only: a stricter one soon knows better. A short one
    is given up early: there the solver is quick.
    """
    runs = len(walk.runs)
    steps = runs + (int(STEPS_A_PAIR_OF_RUNS * runs * runs) if walk.within else FEW_STEPS)
    lost = 0
    for attempt in range(0 if walk.denied else PATHS):
        dice = Random(seed * PATHS + attempt)  # noqa: S311
        if rows := _Trace(walk, dice, stopped).rows(steps):
            yield [rows[i] for i in range(len(rows))]
        elif (lost := lost + 1) == MOST_LOST:
            return


@dataclass
class _Place:
    """A state to come from, in a trace from the last run to the first."""

    r: int
    state: State
    at: Part
    shares: dict[int, list[tuple[int, Part]]]
    rows: dict[int, int]
    fails: int = 0


class _Trace:
    """Goes back from the end by steps that lead there, and chooses blocks section by section.

    Where a section has no blocks that make up its shares, its steps are taken again; after some
    tries those of the section behind it too.
    """

    def __init__(self, walk: Walk, dice: Random, stopped: Callable[[], bool]) -> None:
        self.walk, self.chain, self.dice, self.stopped = walk, walk.chain, dice, stopped

    def rows(self, steps: int) -> dict[int, int]:
        """Return the run of each block, or nothing where that takes too many steps."""
        at = _Place(self.walk.runs[-1], between(len(self.chain.items)), (0, 0), {}, {})
        opened: list[_Place] = []
        for _ in range(steps + 1):
            if at.r < 0:
                return at.rows
            if self.stopped():
                return {}
            after = self._back(at, opened)
            if after is None:
                while opened and opened[-1].fails >= FAILS:
                    opened.pop()
                if not opened:
                    return {}
                after = opened.pop()
                after.fails += 1
            at = after
        return {}

    def _back(self, at: _Place, opened: list[_Place]) -> _Place | None:
        """Return the place one run further back, or None where a section's blocks do not suit."""
        found = [*self.walk.sources(at.r, at.state, at.at)]
        if not found:
            return replace(at, r=at.r - 1)
        step, c, row = self.dice.choice(found)
        before = some_bit(row, self.dice), c
        shares = self._share_out(at, step, before)
        first = step.source[0]
        if first < step.target[0] and before[1]:
            opened.append(at)
        rows = dict(at.rows)
        for s in [s for s in shares if s > first or not before[1]]:
            chosen = self.chain.chosen(s, shares.pop(s)[::-1], self.dice)
            if not chosen:
                if first < step.target[0] and before[1]:
                    opened.pop()
                return None
            rows |= chosen
        return _Place(at.r - 1, step.source, before, shares, rows)

    def _share_out(self, at: _Place, step: Step, before: Part) -> dict[int, list[tuple[int, Part]]]:
        """Give a run the rest of one section, those between, and the head of the next."""
        shares = {s: list(share) for s, share in at.shares.items()}
        first, last = step.source[0], step.target[0]
        for s in range(first, last):
            wide, many = self.chain.total[s]
            rest = (wide - before[0], many - before[1]) if s == first else (wide, many)
            shares.setdefault(s, []).append((at.r, rest))
        if at.at[1]:
            wide, many = at.at
            head = (wide - before[0], many - before[1]) if first == last else at.at
            shares.setdefault(last, []).append((at.r, head))
        return shares
