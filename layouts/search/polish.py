"""Bring the gaps of a hang into a narrow band by exchanging blocks between runs.

From the first run to the last, up to three blocks change places with up to three of a later run so
that the run's free length comes as near as can be to what it needs; what is over is handed on. With
many blocks an exchange that fits to the millimetre nearly always exists.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import combinations
from random import Random
from typing import TYPE_CHECKING

from layouts.search.allowed import allowed, carried
from layouts.search.model import Task
from layouts.search.options import block_fits

if TYPE_CHECKING:
    from layouts.search.assign import Hang

TRIES = 60
TRIED_BLOCKS = 4_000
MOST_SIDE = 14
MOST_TOGETHER = 3
MOST_LOOKED_AT = 30
ENOUGH_HALF_MM = 0.5


def polish(
    task: Task, hang: Hang, band: tuple[int, int], seed: int, *, tries: int = TRIES
) -> Hang | None:
    """Return a hang of the same runs and sections with all gaps in the band, or None."""
    from layouts.search.assign import hang_of

    rule = task.problem.arrangement
    caps = (rule.order, rule.max_gap_mm, rule.section_gap_mm)
    if task.homes or task.bordered or rule.ends == "free" or any(cap is not None for cap in caps):
        return None
    sweep = _Sweep(task, hang, band)
    for attempt in range(max(4, min(tries, TRIED_BLOCKS // len(task.blocks)))):
        rows = sweep.go(Random(seed * TRIES + attempt) if attempt else None)  # noqa: S311
        options = tuple(
            replace(o, run=rows[o.block], first=2 * rows[o.block], last=2 * rows[o.block])
            for o in hang.options
        )
        better = hang_of(task, options)
        if band[0] <= better.least_mm and better.most_mm <= band[1] and allowed(task, options):
            return better
    return None


@dataclass
class _Sweep:
    """What a pass over the runs needs to know, in half millimetres and grams."""

    task: Task
    hang: Hang
    band: tuple[int, int]
    aim: float = field(init=False)
    rows: dict[int, int] = field(init=False)

    def __post_init__(self) -> None:
        blocks, runs = self.task.blocks, self.task.runs
        by_section = self.task.problem.arrangement.kind == "by_section"
        names = list(dict.fromkeys(block.section for block in blocks))
        self.section = [names.index(b.section) if by_section else 0 for b in blocks]
        self.bears = [
            {
                r
                for r, run in enumerate(runs)
                if block_fits(block, self.task.cells[r], run, self.task.demands)
            }
            for block in blocks
        ]
        used = sorted({o.run for o in self.hang.options})
        free = sum(runs[r].length_mm for r in used) - sum(b.width_mm for b in blocks)
        units = 2 * sum(b.count for b in blocks)
        units += sum(runs[r].left + runs[r].right - 2 for r in used)
        self.used = used
        self.aim = min(max(2 * free / units, self.band[0]), self.band[1] + 0.999)
        self.weight = [2 * b.width_mm + 2 * b.count * self.aim for b in blocks]

    def go(self, dice: Random | None) -> dict[int, int]:
        """Return the run of each block after a pass; dice shuffle what is tried first."""
        self.rows = {o.block: o.run for o in self.hang.options}
        for r in self.used[:-1]:
            self._settle(r, dice)
        return self.rows

    def _excess(self, r: int) -> float:
        """Return how much free length a run has over what the aim asks."""
        run = self.task.runs[r]
        held = sum(self.weight[i] for i, x in self.rows.items() if x == r)
        return 2 * run.length_mm - held - (run.left + run.right - 2) * self.aim

    def _settle(self, r: int, dice: Random | None) -> None:
        """Make the exchange with a later run that leaves the least excess."""
        excess = self._excess(r)
        if abs(excess) < ENOUGH_HALF_MM and dice is None:
            return
        found: list[tuple[float, tuple[int, ...], tuple[int, ...], int]] = []
        for other in [x for x in self.used if x > r]:
            found += self._exchanges(r, other, excess, dice)
            if any(left < ENOUGH_HALF_MM for left, *_ in found):
                break
        found.sort(key=lambda row: row[0])
        if dice and found:
            exact = [row for row in found if row[0] < found[0][0] + ENOUGH_HALF_MM]
            dice.shuffle(exact)
            found = exact + found[len(exact) :]
        for left, give, take, other in found:
            if left > abs(excess):
                return
            trial = self.rows | dict.fromkeys(give, other) | dict.fromkeys(take, r)
            if carried(self.task, trial, r) and carried(self.task, trial, other):
                self.rows = trial
                return

    def _exchanges(
        self, r: int, other: int, excess: float, dice: Random | None
    ) -> list[tuple[float, tuple[int, ...], tuple[int, ...], int]]:
        import numpy as np

        found = []
        mine = [i for i, x in self.rows.items() if x == r and other in self.bears[i]]
        theirs = [i for i, x in self.rows.items() if x == other and r in self.bears[i]]
        for section in sorted({self.section[i] for i in mine}):
            give = self._sets([i for i in mine if self.section[i] == section], dice)
            take = self._sets([i for i in theirs if self.section[i] == section], dice)
            if not give or not take:
                continue
            given = np.array([sum(self.weight[i] for i in chosen) for chosen in give])
            taken = np.array([sum(self.weight[i] for i in chosen) for chosen in take])
            left = np.abs(excess + given[:, None] - taken[None, :]).ravel()
            count = min(MOST_LOOKED_AT, left.size)
            nearest = np.argpartition(left, count - 1)[:count]
            for place in sorted(nearest.tolist(), key=lambda n: (left[n], n)):
                a, b = divmod(place, len(take))
                found.append((float(left[place]), give[a], take[b], other))
        return found

    def _sets(self, here: list[int], dice: Random | None) -> list[tuple[int, ...]]:
        if dice:
            dice.shuffle(here)
        here = here[:MOST_SIDE]
        return [s for size in range(1, MOST_TOGETHER + 1) for s in combinations(here, size)]
