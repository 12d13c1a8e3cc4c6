"""Types of climate control (AA to D), tested on a year of readings."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from conservation.climate.arrays import BoolArray, FloatArray, NotEnoughReadingsError
from conservation.climate.bands import excursions
from conservation.climate.readings import DAY_S, Readings
from conservation.climate.windows import moving_mean
from conservation.ranges import in_range
from conservation.tables import OURS, Row, Source, Tables

Test = Literal["outer", "season", "short_term", "damp"]

# A limit stated in whole per cent is not broken by the rounding error of an average.
_HAIR = 1e-9
_YEAR_DAYS = 365


@dataclass(frozen=True)
class Broken:
    """One demand that was not kept.

    `share` is the share of readings that broke it; `worst_by` how far the worst lay beyond the
    limit, in `unit`; `first_s` when it first happened.
    """

    test: Test
    unit: str
    share: float
    worst_by: float
    first_s: int


@dataclass(frozen=True)
class ControlResult:
    """Whether a record keeps a type of control; `broken` is empty where it does."""

    type: str
    edition: str
    source: Source
    broken: tuple[Broken, ...]
    notes: tuple[str, ...] = ()

    @property
    def passes(self) -> bool:
        """Return whether every demand that could be tested was kept."""
        return not self.broken


@dataclass(frozen=True)
class _Course:
    """One quantity: its values, slow course and yearly mean, and the words for a row's columns."""

    unit: str
    suffix: str
    k: str
    values: FloatArray
    mean: float
    slow: FloatArray = field(repr=False)


def control_types(
    readings: Readings,
    *,
    edition: str = "2019",
    set_point_percent: float | None = None,
    tables: Tables = OURS,
) -> tuple[ControlResult, ...]:
    """Return for each type of control, the closest first, whether the readings keep it.

    Outer limits hold for every reading. The season is a moving average (30 days in our table,
    carried on in a straight line near the ends of the record) against the yearly mean, or against
    set_point_percent; short-term fluctuation is a reading against the moving average. Where a type
    allows no season, readings must stay within the short-term figure of the yearly mean.
    Differences within the space count towards the short-term figure and cannot be seen by one
    logger. Range: 0 to 100 % RH, -60 to 80 °C; at least two readings. Source: climate_classes.

    >>> hours = np.arange(365 * 24) * 3600
    >>> steady = Readings.of(hours, rh_percent=np.full(hours.size, 50.0))
    >>> [result.type for result in control_types(steady) if result.passes]
    ['AA', 'A1', 'A2', 'B', 'C', 'D']
    """
    rows = tables["climate_classes"].where(edition=edition)
    if not rows:
        tables["climate_classes"].one(edition=edition)
    if set_point_percent is not None:
        in_range("The set point", set_point_percent, 0, 100, unit="%")
    if len(readings) < 2:
        raise NotEnoughReadingsError("Types of control need at least two readings.")
    seasons = {row.number("season_days") for row in rows}
    courses = {days: _courses(readings, set_point_percent, days) for days in seasons}
    return tuple(_tested(readings, row, *courses[row.number("season_days")]) for row in rows)


def _courses(
    readings: Readings, set_point_percent: float | None, season_days: float
) -> tuple[list[_Course], tuple[str, ...]]:
    courses, notes = [], []
    for unit, suffix, k, values in (
        ("% RH", "percent", "percent", readings.rh_percent),
        ("°C", "c", "k", readings.temp_c),
    ):
        if np.isnan(values).all():
            notes.append(f"There are no readings in {unit}: its limits were not tested.")
            continue
        mean = float(np.nanmean(values))
        if k == "percent" and set_point_percent is not None:
            mean = set_point_percent
        slow = _slow_course(readings, values, season_days * DAY_S / 2)
        courses.append(_Course(unit, suffix, k, values, mean, slow))
    if not courses:
        raise NotEnoughReadingsError("There are no readings of humidity or temperature.")
    days = (readings.time_s[-1] - readings.time_s[0] + readings.step_s) / DAY_S
    if days < _YEAR_DAYS:
        notes.append(f"The record covers {days:.1f} days, not a year.")
    covered = readings.cover_s().sum() / (readings.time_s[-1] - readings.time_s[0] + 1)
    if covered < 0.9:
        notes.append(f"Readings cover {100 * covered:.0f} % of the time.")
    notes.append("One place was measured: differences within the space are not tested.")
    return courses, tuple(notes)


def _slow_course(readings: Readings, values: FloatArray, half_s: float) -> FloatArray:
    # A window that loses one side would take the slope of a season for a fluctuation, so near the
    # ends the average goes on in the straight line of the half window beside.
    time_s, mean = readings.time_s, float(np.nanmean(values))
    slow = moving_mean(time_s, values, before_s=half_s, after_s=half_s)
    first = int(np.searchsorted(time_s, time_s[0] + half_s))
    last = int(np.searchsorted(time_s, time_s[-1] - half_s, side="right")) - 1
    slow = np.where(np.isnan(slow), mean, slow)
    if first > last:
        return np.full(slow.size, mean)
    for at, ends, ahead in ((first, slice(0, first), 1), (last, slice(last + 1, None), -1)):
        other = int(np.searchsorted(time_s[first:last], time_s[at] + ahead * half_s)) + first
        run_s = float(time_s[other] - time_s[at])
        slope = (slow[other] - slow[at]) / run_s if run_s else 0.0
        slow[ends] = slow[at] + slope * (time_s[ends] - time_s[at])
    return slow


def _tested(
    readings: Readings, row: Row, courses: list[_Course], notes: tuple[str, ...]
) -> ControlResult:
    broken: list[Broken] = []
    for course in courses:
        broken += _outer(readings, row, course)
        broken += _season(readings, row, course)
        broken += _short_term(readings, row, course)
    broken += _damp(readings, row)
    name, edition = row.text("type"), row.text("edition")
    return ControlResult(name, edition, row.source, tuple(broken), notes)


def _beyond(
    readings: Readings, course: _Course, test: Test, values: FloatArray, least: float, most: float
) -> list[Broken]:
    beyond = np.fmax(values - most, least - values)
    outside: BoolArray = beyond > _HAIR
    number = int(np.count_nonzero(outside))
    if number == 0:
        return []
    there = int(np.count_nonzero(~np.isnan(values)))
    first = int(readings.time_s[int(np.argmax(outside))])
    unit = "K" if course.k == "k" and test != "outer" else course.unit
    return [Broken(test, unit, number / there, float(np.fmax.reduce(beyond)), first)]


def _limit(row: Row, column: str, missing: float) -> float:
    value = row.number_or_none(column)
    return missing if value is None else value


def _outer(readings: Readings, row: Row, course: _Course) -> list[Broken]:
    least = _limit(row, f"least_{course.suffix}", -math.inf)
    most = _limit(row, f"most_{course.suffix}", math.inf)
    if math.isinf(least) and math.isinf(most):
        return []
    return _beyond(readings, course, "outer", course.values, least, most)


def _season(readings: Readings, row: Row, course: _Course) -> list[Broken]:
    short = row.number_or_none(f"short_{course.k}")
    if short is None:
        return []
    down = _limit(row, f"season_down_{course.k}", math.inf)
    up = _limit(row, f"season_up_{course.k}", math.inf)
    if down or up:
        return _beyond(readings, course, "season", course.slow - course.mean, -down, up)
    return _beyond(readings, course, "season", course.values - course.mean, -short, short)


def _short_term(readings: Readings, row: Row, course: _Course) -> list[Broken]:
    short = row.number_or_none(f"short_{course.k}")
    if short is None:
        return []
    return _beyond(readings, course, "short_term", course.values - course.slow, -short, short)


def _damp(readings: Readings, row: Row) -> list[Broken]:
    above, longest_h = row.number_or_none("damp_percent"), row.number_or_none("damp_h")
    if above is None or longest_h is None or np.isnan(readings.rh_percent).all():
        return []
    found = excursions(readings, readings.rh_percent, most=above)
    long = found.hours > longest_h
    if not long.any():
        return []
    there = int(np.count_nonzero(~np.isnan(readings.rh_percent)))
    return [
        Broken(
            "damp",
            "h",
            float(found.readings[long].sum()) / there,
            float(found.hours.max()) - longest_h,
            int(found.start_s[long][0]),
        )
    ]
