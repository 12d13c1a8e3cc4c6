"""Know when a search must end before its work is done, and end it."""

from __future__ import annotations

import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor, wait
from dataclasses import dataclass
from typing import Any

BETWEEN_LOOKS_SECONDS = 0.2


@dataclass
class Watch:
    """Looks at the clock and at whether the answer is still wanted; `reason` says what ended it."""

    until: float
    cancelled: Callable[[], bool]
    reason: str = ""

    def __call__(self) -> bool:
        if not self.reason and self.cancelled():
            self.reason = "cancelled"
        if not self.reason and time.monotonic() > self.until:
            self.reason = "clock"
        return bool(self.reason)


def solved(solver: Any, model: Any, cancelled: Callable[[], bool]) -> tuple[Any, str]:
    """Return a CP-SAT solver's status and what stopped it: "cancelled" or nothing.

    It solves in a thread beside this one, which looks whether the answer is still wanted.
    """
    stopped = ""
    with ThreadPoolExecutor(max_workers=1) as pool:
        status = pool.submit(solver.solve, model)
        while not status.done():
            wait([status], timeout=BETWEEN_LOOKS_SECONDS)
            if not status.done() and cancelled():
                stopped = "cancelled"
                solver.stop_search()
        return status.result(), stopped
