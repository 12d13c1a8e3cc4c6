"""Run the solver so that it repeats itself, can be cancelled, and keeps to an allowance of work."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from layouts.watch import solved

WORK_PER_SECOND = 0.4
"""Deterministic seconds allowed for each second of the clock: so the clock rarely bites."""


@dataclass
class Allowance:
    """What a search may still spend. Work repeats itself on any machine; the clock is a net."""

    seconds: float
    seed: int = 0
    cancelled: Callable[[], bool] = lambda: False
    on_hang: Callable[[Any, float], None] = lambda hang, share: None
    work: float = field(init=False)

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

    def found(self, hang: Any) -> None:
        """Tell of a better hang, and of the share of the time that went into it."""
        self.on_hang(hang, 1 - max(0.0, self.left_seconds) / max(self.seconds, 0.001))

    def solve(self, model: Any, *, most: float | None = None) -> tuple[Any, Any]:
        """Return (solver, status) after at most `most` deterministic seconds.

        One worker and a seed repeat themselves.
        """
        from ortools.sat.python import cp_model

        solver = cp_model.CpSolver()
        if self.spent:
            return solver, cp_model.UNKNOWN
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = self.seed
        solver.parameters.max_deterministic_time = (
            self.work if most is None else min(self.work, most)
        )
        solver.parameters.max_time_in_seconds = self.left_seconds
        status, _ = solved(solver, model, self.cancelled)
        self.work -= float(solver.response_proto.deterministic_time)
        return solver, status
