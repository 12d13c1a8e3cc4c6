"""The seasonal band against closed forms, worked years and a slow, obvious implementation."""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from conservation import climate
from conservation.climate import NotEnoughReadingsError, Readings, seasonal_band
from conservation.tables import Tables, UnknownRowError

HOURS = np.arange(395 * 24)


def year(daily: float, yearly: float) -> Readings:
    """An invented place: a wave each day on a wave each year, hourly, 395 days."""
    rh = 50 + yearly * np.cos(2 * np.pi * HOURS / (24 * 365))
    return Readings.of(HOURS * 3600, rh_percent=rh + daily * np.sin(2 * np.pi * HOURS / 24))


# EN 15757:2010 as remembered, worked with numpy's percentile over 721-hour windows:
# daily wave, yearly wave, percentiles, limits, lowest and highest average, share outside in %.
YEARS = (
    (12, 8, -11.618, 11.618, -11.618, 11.618, 42.072, 57.928, 14.02),
    (6, 8, -5.830, 5.830, -10, 10, 42.081, 57.919, 0),
    (18, 5, -17.389, 17.389, -17.389, 17.389, 45.031, 54.969, 14.02),
    (0, 0, 0, 0, -10, 10, 50, 50, 0),
)


@pytest.mark.parametrize(
    ("daily", "yearly", "p7", "p93", "lower", "upper", "least", "most", "outside"), YEARS
)
def test_four_worked_years(daily, yearly, p7, p93, lower, upper, least, most, outside):
    band = seasonal_band(year(daily, yearly))
    assert len(band.time_s) == 8760
    assert band.p_lower_percent == pytest.approx(p7, abs=0.00051)
    assert band.p_upper_percent == pytest.approx(p93, abs=0.00051)
    assert (band.lower_percent, band.upper_percent) == pytest.approx((lower, upper), abs=0.00051)
    averages = (band.average_percent.min(), band.average_percent.max())
    assert averages == pytest.approx((least, most), abs=0.00051)
    assert 100 * band.outside_share == pytest.approx(outside, abs=0.0051)
    assert band.notes == ()
    assert band.source.edition == "EN 15757:2010"
    assert band.source.status == "from memory"


def test_limit_of_a_sine_is_near_its_closed_form():
    """In continuous time the 93rd percentile of A sin is A sin(0.43 π)."""
    band = seasonal_band(
        Readings.of(
            np.arange(395 * 144) * 600,
            rh_percent=50 + 12 * np.sin(2 * np.pi * np.arange(395 * 144) / 144),
        )
    )
    assert band.p_upper_percent == pytest.approx(12 * math.sin(0.43 * math.pi), abs=0.05)


def test_a_straight_drift_has_no_fluctuation():
    band = seasonal_band(Readings.of(HOURS * 3600, rh_percent=40 + 20 * HOURS / HOURS[-1]))
    assert np.abs(band.fluctuation_percent).max() < 1e-12


def test_a_step_is_half_season_and_half_fluctuation():
    band = seasonal_band(Readings.of(HOURS * 3600, rh_percent=np.where(HOURS < 4740, 40.0, 60.0)))
    at_step = int(np.flatnonzero(band.time_s == 4740 * 3600)[0])
    assert band.average_percent[at_step] == pytest.approx(50.01, abs=0.0051)
    assert band.fluctuation_percent[at_step] == pytest.approx(9.99, abs=0.0051)
    assert np.abs(band.fluctuation_percent).max() == pytest.approx(9.99, abs=0.0051)


def test_a_day_of_damp_is_an_exceedance_of_a_day():
    rh = np.full(HOURS.size, 50.0)
    rh[4000:4024] = 80
    readings = Readings.of(HOURS * 3600, rh_percent=rh)
    band = seasonal_band(readings)
    assert band.fluctuation_percent.max() == pytest.approx(29.0, abs=0.051)
    assert (band.lower_percent, band.upper_percent) == (-10, 10)
    found = band.exceedances(readings)
    assert [each.hours for each in found] == [24]
    assert found[0].start_s == 4000 * 3600


def slow_band(readings: Readings):
    """Every window by hand: all readings from 15 days before to 15 days after, three quarters of
    the time covered, an hour or one step a reading at most."""
    half, longest = 15 * 86_400, max(readings.step_s, 3600)
    times, rh = readings.time_s.tolist(), readings.rh_percent.tolist()
    covers = [min(b - a, longest) for a, b in pairwise(times)]
    covers.append(min(readings.step_s, longest))
    found = []
    for time_s, here in zip(times, rh, strict=True):
        if here != here or time_s - half < times[0] or time_s + half > times[-1]:
            continue
        near = [
            (value, cover)
            for t, value, cover in zip(times, rh, covers, strict=True)
            if abs(t - time_s) <= half and value == value
        ]
        if sum(cover for _, cover in near) < 0.75 * (2 * half + readings.step_s):
            continue
        mean = sum(value for value, _ in near) / len(near)
        found.append((time_s, mean, here - mean))
    if not found:
        return None
    swings = sorted(swing for _, _, swing in found)
    return found, percentile(swings, 0.07), percentile(swings, 0.93)


def percentile(ordered, share):
    at = share * (len(ordered) - 1)
    low = math.floor(at)
    high = min(low + 1, len(ordered) - 1)
    return ordered[low] + (at - low) * (ordered[high] - ordered[low])


@settings(max_examples=12)
@given(st.integers(0, 2**32 - 1), st.sampled_from([1, 3, 6]), st.booleans())
def test_the_band_equals_a_slow_one_with_gaps_and_uneven_steps(seed, step_h, even):
    dice = np.random.default_rng(seed)
    count = 70 * 24 // step_h
    steps = np.full(count, step_h * 3600)
    if not even:
        steps += dice.integers(-1200, 1200, count)
    time_s = np.cumsum(steps)
    rh = np.clip(50 + dice.normal(0, 8, count), 0, 100)
    rh[dice.random(count) < 0.1] = np.nan
    kept = np.ones(count, bool)
    start = dice.integers(0, count)
    kept[start : start + dice.integers(0, count // 4)] = False
    readings = Readings.of(time_s[kept], rh_percent=rh[kept])
    expected = slow_band(readings)
    if expected is None:
        with pytest.raises(NotEnoughReadingsError):
            seasonal_band(readings)
        return
    band = seasonal_band(readings)
    rows, low, high = expected
    assert band.time_s.tolist() == [row[0] for row in rows]
    np.testing.assert_allclose(band.average_percent, [row[1] for row in rows], atol=1e-9)
    np.testing.assert_allclose(band.fluctuation_percent, [row[2] for row in rows], atol=1e-9)
    assert band.p_lower_percent == pytest.approx(low, abs=1e-9)
    assert band.p_upper_percent == pytest.approx(high, abs=1e-9)
    assert band.lower_percent == pytest.approx(min(low, -10), abs=1e-9)
    assert band.upper_percent == pytest.approx(max(high, 10), abs=1e-9)


def test_the_worked_year_equals_the_slow_one_at_sampled_places():
    readings = year(12, 8)
    part = readings.between(0, 45 * 86_400)
    rows, low, _ = slow_band(part)
    band = seasonal_band(part)
    np.testing.assert_allclose(band.average_percent, [row[1] for row in rows], atol=1e-9)
    assert band.p_lower_percent == pytest.approx(low, abs=1e-9)


def test_windows_with_too_many_gaps_give_no_average():
    rh = np.full(HOURS.size, 50.0)
    rh[2000:2200] = np.nan
    band = seasonal_band(Readings.of(HOURS * 3600, rh_percent=rh))
    # 721 h of window want 540.75 h; so it may lack 180 of the 200 h that are missing.
    hours = set((band.time_s // 3600).tolist())
    lost = [n for n in range(360, HOURS.size - 360) if n not in hours]
    assert (lost[0], lost[-1]) == (2000 + 181 - 360 - 1, 2199 - 181 + 360 + 1)
    assert lost == list(range(lost[0], lost[-1] + 1))
    assert band.missed_share == pytest.approx((720 + len(lost)) / HOURS.size)


def test_new_readings_are_held_against_the_same_season():
    band = seasonal_band(year(0, 8))
    winter = 365 * 86_400 * 3 + 15 * 86_400 + np.arange(48) * 3600
    new = Readings.of(winter, rh_percent=np.full(48, 65.0))
    assert not len(band.exceedances(new))
    summer = Readings.of(winter + 168 * 86_400, rh_percent=np.full(48, 65.0))
    found = band.exceedances(summer)
    assert [each.hours for each in found] == [48]
    assert found[0].depth == pytest.approx(65 - (42.07 + 10), abs=0.1)


def test_the_season_is_the_same_in_earlier_and_later_years():
    """The average of a wave of 8 % lies within 0.1 % of it: sin x / x of 15 d in 365."""
    band = seasonal_band(year(0, 8))
    days = np.arange(-900, 1300, 7)
    wave = 50 + 8 * np.cos(2 * np.pi * days / 365.2425)
    # Calendar years drift from the 365 days of the wave by a quarter of a day each.
    assert np.abs(band.average_at(days * 86_400) - wave).max() < 0.3


def test_a_season_that_was_not_recorded_has_no_average():
    part = year(0, 8).between(0, 120 * 86_400)
    band = seasonal_band(part)
    averages = band.average_at(np.array([60, 200, 60 + 365, 200 + 365]) * 86_400)
    assert np.isnan(averages).tolist() == [False, True, False, True]


def test_records_of_several_years_say_so():
    two = Readings.of(np.arange(780 * 24) * 3600, rh_percent=np.full(780 * 24, 50.0))
    (note,) = seasonal_band(two).notes
    assert note == "The averages cover 750.0 days: percentiles are over all of them."


def test_short_records_say_so():
    band = seasonal_band(year(0, 8).between(0, 100 * 86_400))
    assert band.notes == ("The averages cover 70.0 days, not 365.",)
    with pytest.raises(NotEnoughReadingsError, match="give more than 30 days"):
        seasonal_band(year(0, 8).between(0, 20 * 86_400))
    with pytest.raises(NotEnoughReadingsError, match="no readings of relative humidity"):
        seasonal_band(Readings.of(HOURS * 3600, temp_c=np.full(HOURS.size, 20.0)))


def test_coarse_and_uneven_steps_are_told():
    coarse = seasonal_band(Readings.of(HOURS[::3] * 3600, rh_percent=np.full(3160, 50.0)))
    assert coarse.notes == ("The step is 3 h, longer than the rule asks.",)
    steps = np.where(np.arange(20_000) % 2, 600, 2400)
    uneven = seasonal_band(Readings.of(np.cumsum(steps), rh_percent=np.full(20_000, 50.0)))
    assert uneven.notes[-1].startswith("Steps are uneven")


def test_an_own_table_changes_the_rule_and_shows_its_source(tmp_path):
    own = tmp_path / "own.toml"
    own.write_text(
        """
table = "climate_seasonal"
[sources.house]
body = "Our house"
title = "Narrow band"
year = 2025
edition = "house 2025"
status = "house rule"
[[rows]]
id = "en_15757"
source = "house"
window_before_days = 15
window_after_days = 15
lower_percentile = 7
upper_percentile = 93
narrowest_percent = 4
least_complete_share = 0.75
longest_step_h = 1
least_days = 365
"""
    )
    band = seasonal_band(year(6, 8), tables=Tables.with_own([own]))
    assert band.upper_percent == pytest.approx(5.830, abs=0.00051)
    assert band.source.edition == "house 2025"
    with pytest.raises(UnknownRowError, match="known id: en_15757"):
        seasonal_band(year(6, 8), rule="mine")


def test_climate_module_exports_the_band():
    assert climate.SeasonalBand is type(seasonal_band(year(6, 8)))
