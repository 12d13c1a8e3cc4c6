"""Try whether a problem can be hung at all: solved and verified, excluded for certain, or unknown.

How even the hang would be does not matter here, so the first one found is enough.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from layouts.blocks import Block, blocks_of
from layouts.bounds import impossible
from layouts.checks import check
from layouts.geometry import Stretch, clear_runs, run_cells
from layouts.many_runs import Effort, in_order
from layouts.placing import place_all, runs_of
from layouts.problem import Problem
from layouts.search.apart import cuts_of
from layouts.search.assign import NEAR_MM, Hang, ask
from layouts.search.limits import largest_gap_mm
from layouts.search.model import Forbidden, Task
from layouts.search.solver import Allowance
from layouts.solution import Solution

ASKED_WORK = 0.5
MOST_CUTS = 3
GROUPED_SECONDS = 2.0


@dataclass
class Trial:
    """Answers for problems that differ in their demands, within one allowance."""

    allowance: Allowance
    solved: int = field(default=0, init=False)

    @property
    def spent(self) -> bool:
        return self.allowance.spent

    def possible(self, problem: Problem) -> bool | None:
        """Return True for a verified hang, False if there is certainly none, None if unknown."""
        if impossible(problem):
            return False
        if self.spent:
            return None
        self.solved += 1
        if problem.arrangement.kind == "cluster":
            return self._grouped(problem)
        runs = clear_runs(problem)
        blocks = [b for b in blocks_of(problem) if b.pieces[0].x_mm is None]
        if not blocks:
            return self._verified(problem, runs, blocks, [[] for _ in runs]) or None
        task = Task(problem, blocks, runs, run_cells(problem, runs))
        return self._asked(task)

    def _asked(self, task: Task) -> bool | None:
        for band in self._bands(task):
            for _ in range(MOST_CUTS):
                hang, certain = ask(task, band, self.allowance, most_work=ASKED_WORK)
                if hang is None:
                    break
                found = self._in_order(task, hang)
                if found is True:
                    return True
                if found is False:
                    break
                task = replace(task, forbidden=(*task.forbidden, *found))
        if hang is not None or task.forbidden:
            return None
        if task.bordered:
            lenient = replace(task, lenient=True)
            hang, certain = ask(lenient, gap_band(task), self.allowance, most_work=ASKED_WORK)
        return False if hang is None and certain else None

    def _bands(self, task: Task) -> list[tuple[int, int]]:
        """Return bands of gaps to ask for, those in which hangs are sought."""
        least = task.problem.arrangement.min_gap_mm
        limit = largest_gap_mm(task.problem, task.blocks, task.runs)
        near = [(max(least, limit - mm), limit + mm) for mm in NEAR_MM if limit >= least]
        widest = max((run.length_mm for run in task.runs), default=0)
        return [*(near if task.bordered else []), (least, widest)]

    def _in_order(self, task: Task, hang: Hang) -> bool | list[Forbidden]:
        """Return whether the hang is right once ordered, or which places keep some too near."""
        inside, sequences, close = in_order(task, hang, Effort(seed=self.allowance.seed))
        if close:
            return cuts_of(inside, sequences, close)
        return self._verified(task.problem, list(task.runs), inside, sequences)

    def _verified(
        self,
        problem: Problem,
        runs: list[Stretch],
        blocks: Sequence[Block],
        sequences: list[list[list[int]]],
    ) -> bool:
        placements = place_all(problem, blocks, runs, sequences)
        rows = runs_of(runs, blocks, sequences, problem)
        return not check(problem, Solution("", tuple(placements), tuple(rows)))

    def _grouped(self, problem: Problem) -> bool | None:
        from layouts.solve import arrange

        seconds = min(GROUPED_SECONDS, self.allowance.left_seconds)
        try:
            answer = arrange(
                problem,
                seconds=seconds,
                seed=self.allowance.seed,
                cancelled=self.allowance.cancelled,
            )
        except TimeoutError:
            return None
        return None if answer is None else True


def gap_band(task: Task) -> tuple[int, int]:
    """Return between what all gaps must lie; the only run there is has but one."""
    rule = task.problem.arrangement
    least, widest = rule.min_gap_mm, max((run.length_mm for run in task.runs), default=0)
    if len(task.runs) == 1 and rule.section_gap_mm is None and rule.ends != "free":
        limit = largest_gap_mm(task.problem, task.blocks, task.runs)
        return (limit, limit) if limit >= least else (least, widest)
    return least, widest
