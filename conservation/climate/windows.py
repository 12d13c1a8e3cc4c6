"""Windows of time over readings with uneven steps and gaps: mean, highest, lowest, change."""

from __future__ import annotations

import math

import numpy as np

from conservation.climate.arrays import FloatArray, IntArray, same_shape
from conservation.climate.readings import HOUR_S, Readings
from conservation.ranges import in_range

_MOST_H = 24 * 4000


def edges(time_s: IntArray, before_s: float, after_s: float) -> tuple[IntArray, IntArray]:
    """Return for each time the first index and the index past the last of its window, inclusive.

    Windows are closed: a reading exactly before_s earlier belongs. Times must rise. Source: none,
    definition.

    >>> edges(np.array([0, 10, 20, 30]), 10, 10)
    (array([0, 0, 1, 2]), array([2, 3, 4, 4]))
    """
    count = time_s.size
    step = int(time_s[1] - time_s[0]) if count > 1 else 1
    if (
        count > 1
        and time_s[-1] - time_s[0] == step * (count - 1)
        and (np.diff(time_s) == step).all()
    ):
        here = np.arange(count)
        first = np.maximum(here - math.floor(before_s / step), 0)
        return first, np.minimum(here + math.floor(after_s / step) + 1, count)
    first = np.searchsorted(time_s, time_s - math.floor(before_s), side="left")
    past = np.searchsorted(time_s, time_s + math.floor(after_s), side="right")
    return first, past


def moving_mean(
    time_s: IntArray, values: FloatArray, *, before_s: float, after_s: float
) -> FloatArray:
    """Return for each time the mean of the readings in its window; NaN readings are left out.

    Windows at the ends are shorter; an empty window gives NaN. Units as given. Source: none,
    definition.

    >>> moving_mean(np.array([0, 10, 20]), np.array([1.0, 2.0, 6.0]), before_s=10, after_s=10)
    array([1.5, 3. , 4. ])
    """
    same_shape(times=time_s, values=values)
    first, past = edges(time_s, before_s, after_s)
    missing = np.isnan(values)
    gaps = bool(missing.any())
    level = float(np.nanmean(values)) if not missing.all() else 0.0
    # Sums of deviations from the level keep the digits that sums of millions of readings lose.
    sums = np.empty(values.size + 1)
    sums[0] = 0.0
    np.cumsum(np.where(missing, 0.0, values - level) if gaps else values - level, out=sums[1:])
    total = sums[past]
    total -= sums[first]
    del sums
    if gaps:
        counts = np.concatenate(([0], np.cumsum(~missing)))
        number = counts[past] - counts[first]
    else:
        number = past - first
    means = np.full(values.size, np.nan)
    np.divide(total, number, out=means, where=number > 0)
    means += level
    return means


def highest_and_lowest(
    time_s: IntArray, values: FloatArray, *, hours: float
) -> tuple[FloatArray, FloatArray]:
    """Return for each time the highest and the lowest reading of the hours up to it.

    Both ends of the window belong to it; NaN readings are left out. Range: above 0 h to 4000 d.
    Source: none, definition.

    >>> highest_and_lowest(np.array([0, 3600, 7200]), np.array([5.0, 3.0, 4.0]), hours=1)
    (array([5., 5., 4.]), array([5., 3., 3.]))
    """
    same_shape(times=time_s, values=values)
    first, past = edges(time_s, in_range("The window", hours, 0, _MOST_H, unit="h") * HOUR_S, 0)
    # Blocks of 2**k readings cover any window with two that may overlap.
    level = (np.frexp((past - first).astype(np.float64))[1] - 1).astype(np.int8)
    del past
    high, low = values.copy(), values.copy()
    top, bottom = values.copy(), values.copy()
    for k in range(int(level.max(initial=0)) + 1):
        width = 1 << k
        here = np.flatnonzero(level == k)
        start, last = first[here], here - width + 1
        high[here] = np.fmax(top[start], top[last])
        low[here] = np.fmin(bottom[start], bottom[last])
        if width < values.size:
            np.fmax(top[:-width], top[width:], out=top[:-width])
            np.fmin(bottom[:-width], bottom[width:], out=bottom[:-width])
    return high, low


def spread_over(readings: Readings, values: FloatArray, *, hours: float = 24) -> FloatArray:
    """Return for each reading the highest less the lowest of the hours up to it.

    Units as given. Range: above 0 h to 4000 d. Source: none, definition.

    >>> got = Readings.of([0, 3600, 7200], rh_percent=[50, 45, 48])
    >>> spread_over(got, got.rh_percent, hours=2)
    array([0., 5., 5.])
    """
    high, low = highest_and_lowest(readings.time_s, values, hours=hours)
    return np.subtract(high, low, out=high)


def change_over(readings: Readings, values: FloatArray, *, hours: float = 24) -> FloatArray:
    """Return for each reading its difference from the value that many hours earlier.

    The earlier value is read off a straight line between the two readings around it; where these
    lie further apart than twice the median step, or an hour if that is longer, there is none (NaN).
    Units as given. Range: above 0 h to 4000 d. Source: none, definition.

    >>> got = Readings.of([0, 3600, 7200], rh_percent=[50, 45, 48])
    >>> change_over(got, got.rh_percent, hours=1)
    array([nan, -5.,  3.])
    """
    same_shape(times=readings.time_s, values=values)
    back_s = in_range("The window", hours, 0, _MOST_H, unit="h") * HOUR_S
    time_s = readings.time_s
    wanted = time_s - back_s
    longest_s = max(2 * readings.step_s, HOUR_S)
    # One pass gives index and part of the way to the next as one number.
    part = np.interp(wanted, time_s, np.arange(time_s.size, dtype=np.float64))
    before = part.astype(np.int64)
    part -= before
    exact = part == 0
    rise = np.diff(values, append=values[-1])
    rise[:-1][np.diff(time_s) > longest_s] = np.nan
    earlier = rise[before]
    earlier *= part
    # On a reading itself the neighbour must not matter, be it missing or far.
    earlier[exact] = 0
    earlier += values[before]
    earlier[: np.searchsorted(wanted, time_s[0])] = np.nan
    change: FloatArray = np.subtract(values, earlier, out=earlier)
    return change
