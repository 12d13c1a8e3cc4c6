"""What a rotation is asked to do: which objects may stand where, for how long, in what light.

Days are whole numbers from the opening, day 0. Light is in lx, doses in lx h. A stretch of days
runs from its first day to the day after its last.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import date, timedelta
from typing import Any

from conservation.ranges import ConservationError


@dataclass(frozen=True)
class Budget:
    """A dose that may not be exceeded, in lx h.

    It counts from `from_day` to `to_day` (None: the end of the display), or, when `any_days` is
    given, over every stretch of that many days that lies in between.
    """

    lux_hours: int
    from_day: int = 0
    to_day: int | None = None
    any_days: int | None = None


@dataclass(frozen=True)
class Away:
    """Days on which an object cannot be shown: on loan, in treatment, at rest."""

    from_day: int
    to_day: int


@dataclass(frozen=True)
class Candidate:
    """An object that may be shown at any place of its set.

    `effort` is what it takes to put it up at a changeover, in any unit that all objects share.
    Hazards are keys of the table of hazards; they only add cautions.
    """

    id: str
    set: str
    max_lux: int | None = None
    budgets: tuple[Budget, ...] = ()
    longest_days: int | None = None
    rest_days: int = 0
    away: tuple[Away, ...] = ()
    effort: int = 1
    mass_g: int = 0
    hazards: tuple[str, ...] = ()


@dataclass(frozen=True)
class Place:
    """A place that must show one object of its set on every day.

    `hours_a_day` is the mean over all calendar days, closed days and working light counted; None
    takes the problem's. `effort` is added to the object's at each change here. `glass` says that
    glazing must be opened or lifted for a change.
    """

    id: str
    set: str
    lux: int
    hours_a_day: float | None = None
    effort: int = 0
    glass: bool = False


@dataclass(frozen=True)
class Problem:
    """Objects, places, the days of the display and those on which objects may be changed."""

    days: int
    hours_a_day: float
    objects: tuple[Candidate, ...]
    places: tuple[Place, ...]
    changeovers: tuple[int, ...] = ()
    first_day: date | None = None

    @classmethod
    def from_dict(cls, data: Any) -> Problem:
        """Read the JSON contract; raises InvalidRotation naming every field that is wrong."""
        from conservation.rotation.reading import read_problem

        return read_problem(data)

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON contract: lists for tuples, an ISO date, nothing else changed."""
        data: dict[str, Any] = _plain(asdict(self))
        return data

    def candidate(self, key: str) -> Candidate:
        """Return the object of that id."""
        return next(item for item in self.objects if item.id == key)

    def place(self, key: str) -> Place:
        """Return the place of that id."""
        return next(place for place in self.places if place.id == key)

    def hours(self, place: Place) -> float:
        """Return the hours of light a day at a place."""
        return self.hours_a_day if place.hours_a_day is None else place.hours_a_day

    def date_of(self, day: int) -> date | None:
        """Return the calendar date of a day, or None when the opening has no date."""
        return None if self.first_day is None else self.first_day + timedelta(days=day)


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    return value.isoformat() if isinstance(value, date) else value


class InvalidRotation(ConservationError):  # noqa: N818
    """The input cannot be read; `faults` are sentences naming field, value and cure."""

    def __init__(self, faults: list[str]) -> None:
        super().__init__(" ".join(faults))
        self.faults = faults
