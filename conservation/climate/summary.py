"""What a record amounts to, in few figures that print: the record, and each rule's verdict."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from conservation.climate.ageing import lifetime_multiplier, mean_multiplier
from conservation.climate.air import (
    LEAST_RH,
    absolute_humidity_g_per_m3,
    dew_point_c,
    humidity_ratio_g_per_kg,
    wet_bulb_c,
)
from conservation.climate.arrays import FloatArray, NotEnoughReadingsError
from conservation.climate.bands import Band, Excursions, excursions, hours_outside
from conservation.climate.mould import weeks_to_mould
from conservation.climate.readings import HOUR_S, Readings, utc_words
from conservation.climate.seasonal import SeasonalBand
from conservation.tables import OURS, Source, Tables

_WORST = 10


@dataclass(frozen=True)
class Course:
    """Least, mean and most of one quantity, in the unit its name says."""

    quantity: str
    unit: str
    least: float
    mean: float
    most: float


@dataclass(frozen=True)
class RecordSummary:
    """A record in figures; `missing_share` is the share of its time without a reading."""

    readings: int
    first: str
    last: str
    step_h: float
    missing_share: float
    courses: tuple[Course, ...]


@dataclass(frozen=True)
class Stay:
    """One stay outside a band, with times in UTC; `integral_h` in unit × h."""

    start: str
    end: str
    hours: float
    side: str
    depth: float
    integral_h: float


@dataclass(frozen=True)
class OutsideSummary:
    """All stays outside a band: how many, how long, how much, and the worst ten."""

    band: str
    unit: str
    stays: int
    hours: float
    integral_h: float
    worst: tuple[Stay, ...]


@dataclass(frozen=True)
class SeasonalSummary:
    """A seasonal band in figures, % RH."""

    source: Source
    annual_mean_percent: float
    least_average_percent: float
    most_average_percent: float
    p_lower_percent: float
    p_upper_percent: float
    lower_percent: float
    upper_percent: float
    outside: OutsideSummary
    notes: tuple[str, ...]


@dataclass(frozen=True)
class AgeingSummary:
    """How much longer a material lasts in this climate than at 20 °C and 50 % RH."""

    material: str
    mean_multiplier: float
    least_multiplier: float
    most_multiplier: float
    source: Source


@dataclass(frozen=True)
class MouldSummary:
    """How long the climate was one in which mould grows, and the soonest it would show."""

    hours_above_critical: float
    soonest_weeks: float | None
    source: Source


def record_summary(readings: Readings) -> RecordSummary:
    """Return a record in figures, with dew point and other measures of moisture.

    Range: as dew_point_c; readings outside it are left out of the moisture. Source:
    climate_formulas.

    >>> got = Readings.of([0, 3600], temp_c=[20, 20], rh_percent=[50, 50])
    >>> [course.quantity for course in record_summary(got).courses][:3]
    ['temperature', 'relative humidity', 'dew point']
    """
    span_s = float(readings.time_s[-1] - readings.time_s[0] + readings.step_s)
    there = ~(np.isnan(readings.temp_c) & np.isnan(readings.rh_percent))
    covered = float(readings.cover_s()[there].sum())
    courses = [
        _course("temperature", "°C", readings.temp_c),
        _course("relative humidity", "%", readings.rh_percent),
        *_moisture(readings),
    ]
    return RecordSummary(
        len(readings),
        utc_words(readings.time_s[0]),
        utc_words(readings.time_s[-1]),
        readings.step_s / HOUR_S,
        max(0.0, 1 - covered / span_s),
        tuple(course for course in courses if course is not None),
    )


def outside_summary(found: Excursions, band: str) -> OutsideSummary:
    """Return stays outside a band in figures; `band` says which. Source: none, definition.

    >>> got = Readings.of([0, 3600], rh_percent=[50, 70])
    >>> outside_summary(excursions(got, got.rh_percent, most=60), "at most 60 %").hours
    1.0
    """
    worst = tuple(
        Stay(
            utc_words(stay.start_s),
            utc_words(stay.end_s),
            stay.hours,
            "above" if stay.above else "below",
            stay.depth,
            stay.integral_h,
        )
        for stay in found.worst(_WORST)
    )
    integral_h = float(found.integral_h.sum())
    return OutsideSummary(band, found.unit, len(found), hours_outside(found), integral_h, worst)


def band_summary(readings: Readings, band: Band) -> OutsideSummary:
    """Return the stays of RH outside a band in % RH. Source: none, definition.

    >>> band_summary(Readings.of([0, 3600], rh_percent=[50, 70]), Band(40, 60)).stays
    1
    """
    if np.isnan(readings.rh_percent).all():
        raise NotEnoughReadingsError("There are no readings of relative humidity.")
    found = excursions(readings, readings.rh_percent, least=band.least, most=band.most)
    return outside_summary(found, band.words())


def seasonal_summary(band: SeasonalBand, readings: Readings) -> SeasonalSummary:
    """Return a seasonal band in figures, and the stays of readings outside it.

    Source: climate_seasonal en_15757.

    >>> from conservation.climate.seasonal import seasonal_band
    >>> got = Readings.of(np.arange(9480) * 3600, rh_percent=np.full(9480, 50.0))
    >>> seasonal_summary(seasonal_band(got), got).outside.stays
    0
    """
    words = f"seasonal average {band.lower_percent:+.1f} to {band.upper_percent:+.1f} % RH"
    return SeasonalSummary(
        band.source,
        band.annual_mean_percent,
        float(band.average_percent.min()),
        float(band.average_percent.max()),
        band.p_lower_percent,
        band.p_upper_percent,
        band.lower_percent,
        band.upper_percent,
        outside_summary(band.exceedances(readings), words),
        band.notes,
    )


def ageing_summary(
    readings: Readings, material: str = "paper", *, tables: Tables = OURS
) -> AgeingSummary:
    """Return the mean lifetime multiplier of a record, weighted by time.

    Range: as lifetime_multiplier; readings outside it are left out. Source: climate_ageing.

    >>> got = Readings.of([0, 3600], temp_c=[20, 20], rh_percent=[50, 50])
    >>> ageing_summary(got).mean_multiplier
    1.0
    """
    row = tables["climate_ageing"].one(rule="lifetime", id=material)
    temp, rh = _both(readings, least_rh=1, least_c=-40, most_c=60)
    multipliers = lifetime_multiplier(temp, rh, material=material, tables=tables)
    mean = mean_multiplier(multipliers, weights=readings.cover_s())
    least, most = np.fmin.reduce(multipliers), np.fmax.reduce(multipliers)
    return AgeingSummary(material, mean, float(least), float(most), row.source)


def mould_summary(readings: Readings, *, tables: Tables = OURS) -> MouldSummary:
    """Return for how long mould could grow on wood, and in how many weeks it would show.

    Range: 1 to 50 °C; readings outside it are left out. Source: climate_mould critical and weeks.

    >>> got = Readings.of([0, 3600], temp_c=[20, 20], rh_percent=[50, 90])
    >>> mould_summary(got).hours_above_critical
    1.0
    """
    row = tables["climate_mould"].by_id("weeks")
    temp, rh = _both(
        readings, least_rh=0, least_c=row.number("least_c"), most_c=row.number("most_c")
    )
    weeks = weeks_to_mould(temp, rh, tables=tables)
    growing = np.isfinite(weeks)
    hours = float(readings.cover_s()[growing].sum()) / HOUR_S
    return MouldSummary(hours, float(weeks[growing].min()) if growing.any() else None, row.source)


def _both(
    readings: Readings, *, least_rh: float, least_c: float, most_c: float
) -> tuple[FloatArray, FloatArray]:
    temp, rh = readings.temp_c, readings.rh_percent
    known = (rh >= least_rh) & (temp >= least_c) & (temp <= most_c)
    if not known.any():
        raise NotEnoughReadingsError("There are no readings of temperature and humidity together.")
    return np.where(known, temp, np.nan), np.where(known, rh, np.nan)


def _course(quantity: str, unit: str, values: FloatArray) -> Course | None:
    there = values[~np.isnan(values)]
    if there.size == 0:
        return None
    return Course(quantity, unit, float(there.min()), float(there.mean()), float(there.max()))


def _moisture(readings: Readings) -> list[Course | None]:
    try:
        temp, rh = _both(readings, least_rh=LEAST_RH, least_c=-40, most_c=60)
    except NotEnoughReadingsError:
        return []
    return [
        _course("dew point", "°C", dew_point_c(temp, rh)),
        _course("wet bulb", "°C", wet_bulb_c(temp, rh)),
        _course("humidity ratio", "g/kg", humidity_ratio_g_per_kg(temp, rh)),
        _course("absolute humidity", "g/m³", absolute_humidity_g_per_m3(temp, rh)),
    ]
