"""Run the solver so that it repeats itself, can be cancelled, and keeps to an allowance of work."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor, wait
from dataclasses import dataclass, field
from typing import Any

BETWEEN_LOOKS_SECONDS = 0.2
WORK_PER_SECOND = 0.4
"""Deterministic seconds allowed for each second of the clock: so the clock rarely bites."""


@dataclass
class Allowance:
    """What a search may still spend. Work repeats itself on any machine; the clock is a net.

    `clock_bit` tells that the clock cut a search short, whose answer may then not repeat.
    """

    seconds: float
    seed: int = 0
    cancelled: Callable[[], bool] = lambda: False
    work: float = field(init=False)
    clock_bit: bool = False

    def __post_init__(self) -> None:
        from time import monotonic

        self.work = self.seconds * WORK_PER_SECOND
        self._ends = monotonic() + self.seconds

    @property
    def left_seconds(self) -> float:
        from time import monotonic

        return self._ends - monotonic()

    @property
    def spent(self) -> bool:
        return self.work <= 0.01 or self.left_seconds <= 0 or self.cancelled()

    def solve(self, model: Any, *, most: float | None = None, **parameters: Any) -> tuple[Any, Any]:
        """Return (solver, status) after at most `most` deterministic seconds.

        One worker and a seed repeat themselves. Solving goes on in a thread beside this one, which
        looks whether the answer is still wanted.
        """
        from ortools.sat.python import cp_model

        solver = cp_model.CpSolver()
        if self.spent:
            return solver, cp_model.UNKNOWN
        allowed = min(self.work, self.work if most is None else most)
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = self.seed
        solver.parameters.max_deterministic_time = allowed
        solver.parameters.max_time_in_seconds = self.left_seconds
        for name, value in parameters.items():
            setattr(solver.parameters, name, value)
        with ThreadPoolExecutor(max_workers=1) as pool:
            running = pool.submit(solver.solve, model)
            while not running.done():
                wait([running], timeout=BETWEEN_LOOKS_SECONDS)
                if not running.done() and self.cancelled():
                    solver.stop_search()
            status = running.result()
        spent = float(solver.response_proto.deterministic_time)
        self.work -= spent
        if status == cp_model.UNKNOWN and spent < 0.95 * allowed:
            self.clock_bit = True
        return solver, status
