"""Know when a search must end before its work is done."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass


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
