"""An exhibition's time on a tape: opening, closing and today."""

import datetime
from dataclasses import dataclass

LENGTH = 1000
MARGIN = 40


@dataclass(frozen=True)
class Mark:
    """A day on the tape; `x` runs from 0 to 1000."""

    label: str
    date: datetime.date
    x: int
    kind: str


def marks(*, opening: datetime.date, closing: datetime.date, today: datetime.date) -> list[Mark]:
    """Return the three days in order of time, spread over the tape in proportion."""
    days = [("Opening", opening, "opening"), ("Closing", closing, "closing")]
    days = sorted([*days, ("Today", today, "today")], key=lambda day: day[1])
    first, last = days[0][1], days[-1][1]
    span = max((last - first).days, 1)
    room = LENGTH - 2 * MARGIN
    return [
        Mark(label, date, MARGIN + round(room * (date - first).days / span), kind)
        for label, date, kind in days
    ]
