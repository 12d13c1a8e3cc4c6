"""Readings of temperature and relative humidity in order of time, as arrays.

Times are whole seconds of UTC since 1970. A missing reading is NaN; a gap is simply longer than
the ordinary step.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np
from numpy.typing import ArrayLike

from conservation.climate.arrays import (
    LARGEST_COUNT,
    FloatArray,
    IntArray,
    NotEnoughReadingsError,
    checked,
    same_shape,
)
from conservation.ranges import ConservationError

HOUR_S = 3600
DAY_S = 86_400
# Years 1900 to 2200: what lies outside is a broken clock or another unit of time.
EARLIEST_S, LATEST_S = -2_208_988_800, 7_258_118_400


@dataclass(frozen=True)
class Readings:
    """Readings with times strictly rising; `step_s` is the median step, in seconds.

    `temp_c` or `rh_percent` may be all NaN where a logger measures one of them only. `notes` tells
    what was put in order.
    """

    time_s: IntArray
    temp_c: FloatArray
    rh_percent: FloatArray
    step_s: float
    notes: tuple[str, ...] = ()

    @classmethod
    def of(
        cls,
        time: ArrayLike,
        *,
        temp_c: ArrayLike | None = None,
        rh_percent: ArrayLike | None = None,
    ) -> Readings:
        """Return readings put in order: sorted, with the readings of one second averaged.

        `time` is UTC, as seconds since 1970 or as numpy datetime64; missing times are dropped.
        Range: years 1900 to 2200, -60 to 80 °C, 0 to 100 % RH, 20 000 000 readings; raises
        OutOfRangeError or NotEnoughReadingsError. Source: none, definition.

        >>> got = Readings.of([3600, 0, 0], rh_percent=[52.0, 50.0, 48.0])
        >>> got.time_s, got.rh_percent, got.step_s
        (array([   0, 3600]), array([49., 52.]), 3600.0)
        """
        time_s, valid = _seconds(time)
        columns = (
            _column("The temperature", temp_c, time_s, -60, 80, "°C"),
            _column("The relative humidity", rh_percent, time_s, 0, 100, "%"),
        )
        notes: list[str] = []
        if valid is not None:
            time_s, columns = time_s[valid], (columns[0][valid], columns[1][valid])
            notes.append(f"{_count(valid.size - time_s.size, 'reading')} without a time left out.")
        if time_s.size == 0:
            raise NotEnoughReadingsError("There are no readings.")
        time_s, columns = _in_order(time_s, columns, notes)
        step = float(np.median(np.diff(time_s))) if time_s.size > 1 else float(HOUR_S)
        return cls(time_s, *columns, step, tuple(notes))

    def __len__(self) -> int:
        return self.time_s.size

    def between(self, start_s: int, end_s: int) -> Readings:
        """Return the readings from start_s up to but without end_s; raises where there are none.

        >>> len(Readings.of([0, 10, 20], rh_percent=[50, 50, 50]).between(0, 20))
        2
        """
        first, past = np.searchsorted(self.time_s, [start_s, end_s])
        if first >= past:
            raise NotEnoughReadingsError("There are no readings between these times.")
        part = slice(int(first), int(past))
        return Readings(
            *(self.time_s[part], self.temp_c[part], self.rh_percent[part]), self.step_s, self.notes
        )

    def cover_s(self, longest_s: float | None = None) -> FloatArray:
        """Return for how many seconds each reading stands: to the next, at most longest_s.

        `longest_s` defaults to twice the median step; the last reading stands for one step.

        >>> Readings.of([0, 60, 120, 9999], rh_percent=[50, 50, 50, 50]).cover_s()
        array([ 60.,  60., 120.,  60.])
        """
        longest = 2 * self.step_s if longest_s is None else longest_s
        cover = np.empty(len(self))
        np.minimum(np.diff(self.time_s), longest, out=cover[:-1])
        cover[-1] = min(self.step_s, longest)
        return cover


def utc_words(time_s: float) -> str:
    """Return a time as ISO 8601 in UTC, to the second.

    Range: years 1900 to 2200. Source: ISO 8601.

    >>> utc_words(0)
    '1970-01-01T00:00:00Z'
    """
    return datetime.fromtimestamp(float(time_s), UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def whole_seconds(time: ArrayLike) -> IntArray:
    """Return times as whole seconds since 1970; a missing one raises ConservationError.

    Range: years 1900 to 2200. Source: none, definition.

    >>> whole_seconds(np.array(["1970-01-01T01:00"], "datetime64[m]"))
    array([3600])
    """
    seconds, valid = _seconds(time)
    if valid is not None or seconds.size == 0:
        raise NotEnoughReadingsError("Every reading needs a time.")
    return seconds


def _count(number: int, noun: str) -> str:
    return f"{number:,} {noun}" + ("" if number == 1 else "s")


def _seconds(time: ArrayLike) -> tuple[IntArray, np.ndarray[tuple[int], np.dtype[np.bool_]] | None]:
    try:
        array = np.asarray(time)
    except ValueError:
        array = np.empty((0, 0))
    if array.ndim != 1:
        raise ConservationError("Give the times as one list, one for each reading.")
    if array.size > LARGEST_COUNT:
        raise ConservationError(f"There are {array.size:,} readings; at most {LARGEST_COUNT:,}.")
    if array.dtype.kind == "M":
        valid = ~np.isnat(array)
        seconds = array.astype("datetime64[s]").astype(np.int64)
    elif array.dtype.kind in "iuf":
        valid = np.isfinite(array)
        with np.errstate(invalid="ignore"):
            seconds = np.floor(array).astype(np.int64) if array.dtype.kind == "f" else array
    elif array.size == 0:
        return np.empty(0, np.int64), None
    else:
        raise ConservationError("Give the times as seconds since 1970 or as numpy datetime64.")
    seconds = seconds.astype(np.int64, copy=False)
    kept = seconds if valid.all() else seconds[valid]
    if kept.size and not (kept.min() >= EARLIEST_S and kept.max() <= LATEST_S):
        raise ConservationError("The times lie outside the years 1900 to 2200: are they seconds?")
    return seconds, None if valid.all() else valid


def _column(
    name: str, values: ArrayLike | None, time_s: IntArray, least: float, most: float, unit: str
) -> FloatArray:
    if values is None:
        return np.full(time_s.shape, np.nan)
    array = checked(name, values, least, most, unit)
    same_shape(times=time_s, values=array)
    return array


def _in_order(
    time_s: IntArray, columns: tuple[FloatArray, FloatArray], notes: list[str]
) -> tuple[IntArray, tuple[FloatArray, FloatArray]]:
    steps = np.diff(time_s)
    if steps.size == 0 or steps.min() > 0:
        return time_s, columns
    backward = int(np.count_nonzero(steps < 0))
    if backward:
        order = np.argsort(time_s, kind="stable")
        time_s, columns = time_s[order], (columns[0][order], columns[1][order])
        notes.append(f"The times ran backward {_count(backward, 'time')}; readings were sorted.")
    first = np.flatnonzero(np.concatenate(([True], np.diff(time_s) > 0)))
    doubled = time_s.size - first.size
    if doubled:
        notes.append(f"{_count(doubled, 'reading')} with a time already seen; these were averaged.")
        columns = (_means(columns[0], first), _means(columns[1], first))
        time_s = time_s[first]
    return time_s, columns


def _means(values: FloatArray, first: IntArray) -> FloatArray:
    missing = np.isnan(values)
    there = np.add.reduceat((~missing).astype(np.float64), first)
    sums = np.add.reduceat(np.where(missing, 0.0, values), first)
    means = np.full(first.size, np.nan)
    np.divide(sums, there, out=means, where=there > 0)
    return means
