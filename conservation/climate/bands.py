"""Bands of what is allowed, and excursions from them as intervals of time."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import reduce

import numpy as np

from conservation.climate.arrays import BoolArray, FloatArray, IntArray, same_shape
from conservation.climate.readings import HOUR_S, Readings
from conservation.ranges import ConservationError


@dataclass(frozen=True)
class Band:
    """What is allowed, ends included; a missing end is infinite. `unit` is `%` RH or `°C`.

    Raises ConservationError where the ends are no numbers or the lower lies above the upper.

    >>> Band(40, 60, "%").meet(Band(50, 70, "%"))
    Band(least=50, most=60, unit='%')
    """

    least: float = -math.inf
    most: float = math.inf
    unit: str = "%"

    def __post_init__(self) -> None:
        if not self.least <= self.most:
            raise ConservationError(f"A band from {self.least} to {self.most} holds nothing.")

    def meet(self, other: Band) -> Band | None:
        """Return what both allow, or None where nothing is allowed by both.

        Raises ConservationError where the units differ. Source: none, definition.

        >>> Band(30, 40, "%").meet(Band(45, 55, "%")) is None
        True
        """
        if self.unit != other.unit:
            raise ConservationError(f"A band in {self.unit} cannot meet one in {other.unit}.")
        least, most = max(self.least, other.least), min(self.most, other.most)
        return Band(least, most, self.unit) if least <= most else None

    def holds(self, value: float) -> bool:
        """Return whether a value lies inside; NaN does not.

        >>> Band(40, 60, "%").holds(60)
        True
        """
        return self.least <= value <= self.most

    def words(self) -> str:
        """Return the band in words.

        >>> Band(40, 60, "%").words(), Band(most=20, unit="%").words()
        ('40 to 60 %', 'at most 20 %')
        """
        if math.isinf(self.least):
            return "any" if math.isinf(self.most) else f"at most {self.most:g} {self.unit}"
        if math.isinf(self.most):
            return f"at least {self.least:g} {self.unit}"
        return f"{self.least:g} to {self.most:g} {self.unit}"


def meet_all(bands: list[Band]) -> Band | None:
    """Return what all bands allow, or None where nothing is; raises where there are none.

    Source: none, definition.

    >>> meet_all([Band(40, 60), Band(45, 70), Band(30, 50)])
    Band(least=45, most=50, unit='%')
    """
    if not bands:
        raise ConservationError("Name at least one band.")
    start: Band | None = bands[0]
    return reduce(lambda got, band: got.meet(band) if got else None, bands[1:], start)


@dataclass(frozen=True)
class Excursion:
    """One stay outside a band: `depth` in the unit of the readings, `integral_h` in unit × h."""

    start_s: int
    end_s: int
    above: bool
    depth: float
    integral_h: float
    readings: int

    @property
    def hours(self) -> float:
        """Return how long it lasted, in h."""
        return (self.end_s - self.start_s) / HOUR_S


@dataclass(frozen=True)
class Excursions:
    """Excursions in order of time, as columns: millions of readings may leave many."""

    start_s: IntArray
    end_s: IntArray
    above: BoolArray
    depth: FloatArray
    integral_h: FloatArray
    readings: IntArray
    unit: str = "%"

    def __len__(self) -> int:
        return self.start_s.size

    def __iter__(self) -> Iterator[Excursion]:
        return (self[n] for n in range(len(self)))

    def __getitem__(self, n: int) -> Excursion:
        return Excursion(
            int(self.start_s[n]),
            int(self.end_s[n]),
            bool(self.above[n]),
            float(self.depth[n]),
            float(self.integral_h[n]),
            int(self.readings[n]),
        )

    @property
    def hours(self) -> FloatArray:
        """Return how long each lasted, in h."""
        return (self.end_s - self.start_s) / HOUR_S

    def longer_than(self, hours: float) -> Excursions:
        """Return those that lasted longer than these hours.

        >>> got = Readings.of([0, 3600, 7200, 10800], rh_percent=[70, 50, 70, 70])
        >>> len(excursions(got, got.rh_percent, most=60).longer_than(1))
        1
        """
        long = self.hours > hours
        return Excursions(
            self.start_s[long],
            self.end_s[long],
            self.above[long],
            self.depth[long],
            self.integral_h[long],
            self.readings[long],
            self.unit,
        )

    def worst(self, count: int) -> list[Excursion]:
        """Return the excursions of largest integral, the worst first.

        >>> got = Readings.of([0, 3600, 7200], rh_percent=[70, 50, 75])
        >>> [stay.depth for stay in excursions(got, got.rh_percent, most=60).worst(1)]
        [15.0]
        """
        order = np.argsort(-self.integral_h, kind="stable")[:count]
        return [self[int(n)] for n in order]


def excursions(
    readings: Readings,
    values: FloatArray,
    *,
    least: float | FloatArray = -math.inf,
    most: float | FloatArray = math.inf,
    unit: str = "%",
) -> Excursions:
    """Return every stay of the values outside [least, most] with its depth and integral.

    Limits are numbers or move with the readings; NaN in a value or a limit ends an excursion. A
    reading stands until the next, at most for two median steps; a longer gap ends an excursion.
    Depth is the farthest distance from the limit, the integral the distance summed over time.
    Units as given. Source: none, definition.

    >>> got = Readings.of([0, 3600, 7200, 10800], rh_percent=[50, 62, 65, 50])
    >>> excursions(got, got.rh_percent, most=60)[0]
    Excursion(start_s=3600, end_s=10800, above=True, depth=5.0, integral_h=7.0, readings=2)
    """
    same_shape(times=readings.time_s, values=values)
    low, high = np.asarray(least, dtype=np.float64), np.asarray(most, dtype=np.float64)
    for limit in (low, high):
        if limit.ndim:
            same_shape(times=readings.time_s, limits=limit)
    if np.any(low > high):
        raise ConservationError("The lower limit lies above the upper: a band would hold nothing.")
    side = (values > high).astype(np.int8) - (values < low).astype(np.int8)
    outside = np.flatnonzero(side)
    cover = readings.cover_s()[outside]
    time_s, side = readings.time_s[outside], side[outside]
    there = values[outside]
    beyond = np.where(side > 0, there - _at(high, outside), _at(low, outside) - there)
    end_s = time_s + cover.astype(np.int64)
    first = _starts(outside, time_s, end_s, side)
    past = np.append(first[1:], outside.size)
    if first.size == 0:
        return Excursions(*_nothing(), unit)
    return Excursions(
        time_s[first],
        end_s[past - 1],
        side[first] > 0,
        np.maximum.reduceat(beyond, first),
        np.add.reduceat(beyond * cover, first) / HOUR_S,
        past - first,
        unit,
    )


def hours_outside(found: Excursions) -> float:
    """Return how long all excursions lasted together, in h.

    Source: none, definition.

    >>> got = Readings.of([0, 3600, 7200], rh_percent=[50, 62, 65])
    >>> hours_outside(excursions(got, got.rh_percent, most=60))
    2.0
    """
    return float(np.sum(found.end_s - found.start_s)) / HOUR_S


def _at(limit: FloatArray, index: IntArray) -> FloatArray:
    return limit[index] if limit.ndim else limit


def _starts(
    index: IntArray,
    time_s: IntArray,
    end_s: IntArray,
    side: np.ndarray[tuple[int], np.dtype[np.int8]],
) -> IntArray:
    if index.size == 0:
        return index
    breaks = (np.diff(index) != 1) | (np.diff(side) != 0) | (time_s[1:] > end_s[:-1])
    return np.flatnonzero(np.concatenate(([True], breaks)))


def _nothing() -> tuple[IntArray, IntArray, BoolArray, FloatArray, FloatArray, IntArray]:
    none = np.empty(0, np.int64)
    return none, none, np.empty(0, np.bool_), np.empty(0), np.empty(0), none
