"""The target band that grows from a place's own history (EN 15757): season and fluctuations."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from conservation.climate.arrays import FloatArray, IntArray, NotEnoughReadingsError
from conservation.climate.bands import Excursions, excursions
from conservation.climate.readings import DAY_S, HOUR_S, Readings
from conservation.climate.windows import edges, moving_mean
from conservation.tables import OURS, Row, Source, Tables

YEAR_S = 365.2425 * DAY_S


@dataclass(frozen=True)
class SeasonalBand:
    """A historic year's seasonal average and the fluctuations around it, all in % RH.

    Columns run over the times that have an average: `average_percent`, `fluctuation_percent`.
    `lower_percent` and `upper_percent` are the limits used, relative to the average; `p_lower_` and
    `p_upper_percent` the percentiles found before limits too narrow were widened. `missed_share`
    is the share of readings without an average. `notes` are cautions.
    """

    source: Source
    time_s: IntArray
    average_percent: FloatArray
    fluctuation_percent: FloatArray
    annual_mean_percent: float
    p_lower_percent: float
    p_upper_percent: float
    lower_percent: float
    upper_percent: float
    missed_share: float
    notes: tuple[str, ...]

    @property
    def outside_share(self) -> float:
        """Return the share of the historic fluctuations beyond the limits, 0 to 1."""
        beyond = np.count_nonzero(self.fluctuation_percent < self.lower_percent)
        beyond += np.count_nonzero(self.fluctuation_percent > self.upper_percent)
        return float(beyond) / self.fluctuation_percent.size

    def average_at(self, time_s: IntArray) -> FloatArray:
        """Return the seasonal average at any time, in % RH.

        Times outside the historic record take the average of the same season, whole years away.
        Where the season was not recorded there is none (NaN). Source: climate_seasonal en_15757.

        >>> hours = np.arange(395 * 24) * 3600
        >>> band = seasonal_band(Readings.of(hours, rh_percent=np.full(hours.size, 50.0)))
        >>> band.average_at(hours[:1] + 10 * 366 * DAY_S)
        array([50.])
        """
        start, end = float(self.time_s[0]), float(self.time_s[-1])
        times = time_s.astype(np.float64)
        times -= np.where(times > end, np.ceil((times - end) / YEAR_S) * YEAR_S, 0.0)
        times += np.where(times < start, np.ceil((start - times) / YEAR_S) * YEAR_S, 0.0)
        # A year's record ends a few hours short of where the next year begins.
        times = np.where((times > end) & (times - end <= DAY_S), end, times)
        averages = np.interp(times, self.time_s, self.average_percent, right=np.nan)
        past = np.minimum(np.searchsorted(self.time_s, times), self.time_s.size - 1)
        apart = self.time_s[past] - self.time_s[np.maximum(past - 1, 0)]
        return np.where((apart > 15 * DAY_S) & (self.time_s[past] != times), np.nan, averages)

    def exceedances(self, readings: Readings) -> Excursions:
        """Return every stay of new readings outside the band. Source: climate_seasonal en_15757.

        >>> hours = np.arange(395 * 24) * 3600
        >>> band = seasonal_band(Readings.of(hours, rh_percent=np.full(hours.size, 50.0)))
        >>> new = Readings.of(hours[-1] + hours[:48], rh_percent=[50] * 40 + [63] * 8)
        >>> band.exceedances(new)[0].depth
        3.0
        """
        average = self.average_at(readings.time_s)
        return excursions(
            readings,
            readings.rh_percent,
            least=average + self.lower_percent,
            most=average + self.upper_percent,
        )


def seasonal_band(
    readings: Readings, *, rule: str = "en_15757", tables: Tables = OURS
) -> SeasonalBand:
    """Return the band that a historic record sets for the future, in % RH.

    Needs a full year and half a window on either side (13 months at an hour or less a step); a
    shorter record gives a band with a note, one without any complete window raises
    NotEnoughReadingsError. A window counts only where it lies inside the record and is covered to
    the share the rule asks. The mean is over readings, the percentile is interpolated linearly.
    Range: 0 to 100 % RH. Valid only where the historic climate did no harm. Source:
    climate_seasonal en_15757.

    >>> hours = np.arange(395 * 24)
    >>> rh = 50 + 12 * np.sin(2 * np.pi * hours / 24)
    >>> band = seasonal_band(Readings.of(hours * 3600, rh_percent=rh))
    >>> round(band.upper_percent, 3), len(band.time_s)
    (11.575, 8760)
    """
    row = tables["climate_seasonal"].by_id(rule)
    average = _complete_average(readings, row)
    there = np.flatnonzero(~np.isnan(average) & ~np.isnan(readings.rh_percent))
    if there.size == 0:
        raise NotEnoughReadingsError(
            "No reading has a complete window around it: give more than "
            f"{row.number('window_before_days') + row.number('window_after_days'):g} days."
        )
    average = average[there]
    fluctuation = readings.rh_percent[there] - average
    low, high = np.percentile(
        fluctuation, [row.number("lower_percentile"), row.number("upper_percentile")]
    )
    floor = row.number("narrowest_percent")
    return SeasonalBand(
        row.source,
        readings.time_s[there],
        average,
        fluctuation,
        float(np.mean(readings.rh_percent[there])),
        float(low),
        float(high),
        min(float(low), -floor),
        max(float(high), floor),
        1 - there.size / len(readings),
        tuple(_notes(readings, readings.time_s[there], row)),
    )


def _complete_average(readings: Readings, row: Row) -> FloatArray:
    before_s = row.number("window_before_days") * DAY_S
    after_s = row.number("window_after_days") * DAY_S
    time_s, rh = readings.time_s, readings.rh_percent
    if np.isnan(rh).all():
        raise NotEnoughReadingsError("There are no readings of relative humidity.")
    average = moving_mean(time_s, rh, before_s=before_s, after_s=after_s)
    average[time_s - before_s < time_s[0]] = np.nan
    average[time_s + after_s > time_s[-1]] = np.nan
    cover = readings.cover_s(max(readings.step_s, row.number("longest_step_h") * HOUR_S))
    cover[np.isnan(rh)] = 0
    first, past = edges(time_s, before_s, after_s)
    covered = np.concatenate(([0.0], np.cumsum(cover)))
    least_s = row.number("least_complete_share") * (before_s + after_s + readings.step_s)
    average[covered[past] - covered[first] < least_s - 1e-6] = np.nan
    return average


def _notes(readings: Readings, time_s: IntArray, row: Row) -> list[str]:
    notes = []
    days = (time_s[-1] - time_s[0] + readings.step_s) / DAY_S
    if days < row.number("least_days"):
        notes.append(f"The averages cover {days:.1f} days, not {row.number('least_days'):g}.")
    elif days > row.number("least_days") + 7:
        notes.append(f"The averages cover {days:.1f} days: percentiles are over all of them.")
    if readings.step_s > row.number("longest_step_h") * HOUR_S:
        notes.append(f"The step is {readings.step_s / HOUR_S:g} h, longer than the rule asks.")
    narrow, wide = np.percentile(np.diff(readings.time_s), [10, 90])
    if wide > 1.5 * narrow:
        notes.append("Steps are uneven: times with more readings weigh more in the averages.")
    return notes
