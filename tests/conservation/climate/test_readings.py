"""Readings put in order, and windows over uneven steps, against slow and obvious code."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from conservation import climate
from conservation.climate import Readings
from conservation.climate.readings import HOUR_S
from conservation.ranges import ConservationError, OutOfRangeError

values = st.one_of(st.floats(0, 100), st.just(float("nan")))
records = st.lists(st.tuples(st.integers(0, 300), values), min_size=1, max_size=60)


@given(records)
def test_readings_are_sorted_and_readings_of_one_second_averaged(rows):
    got = Readings.of([t for t, _ in rows], rh_percent=[v for _, v in rows])
    times = sorted({t for t, _ in rows})
    assert got.time_s.tolist() == times
    for n, t in enumerate(times):
        here = [v for s, v in rows if s == t and v == v]
        if here:
            assert got.rh_percent[n] == pytest.approx(sum(here) / len(here), abs=1e-9)
        else:
            assert np.isnan(got.rh_percent[n])


def test_what_was_put_in_order_is_told():
    got = Readings.of([60, 0, 0, 120], rh_percent=[50, 51, 53, 52])
    assert got.notes == (
        "The times ran backward 1 time; readings were sorted.",
        "1 reading with a time already seen; these were averaged.",
    )
    assert np.isnan(got.temp_c).all()


def test_times_may_be_datetime64_with_missing_ones():
    times = np.array(["2025-01-01T00:00", "NaT", "2025-01-01T01:00"], "datetime64[m]")
    got = Readings.of(times, rh_percent=[50, 51, 52])
    assert climate.utc_words(got.time_s[0]) == "2025-01-01T00:00:00Z"
    assert got.rh_percent.tolist() == [50, 52]
    assert got.notes == ("1 reading without a time left out.",)


@pytest.mark.parametrize(
    ("times", "rh", "words"),
    [
        ([], [], "There are no readings"),
        ([float("nan")], [50], "There are no readings"),
        ([0, 1], [50], "differ in length"),
        ([0], [-3], "relative humidity is -3"),
        ([0], [140], "relative humidity is 140"),
        ([1e15], [50], "outside the years 1900 to 2200"),
        (["noon"], [50], "seconds since 1970"),
        ([[0, 1]], [[1, 2]], "one list"),
    ],
)
def test_what_is_no_record_is_refused_in_one_sentence(times, rh, words):
    with pytest.raises(ConservationError, match=words):
        Readings.of(times, rh_percent=rh)


def test_too_many_readings_are_refused():
    many = np.broadcast_to(np.int64(0), 20_000_001)
    with pytest.raises(ConservationError, match="at most 20,000,000"):
        Readings.of(many)


def test_temperature_of_a_broken_sensor_is_refused():
    with pytest.raises(OutOfRangeError, match="temperature is 85: give a number from -60 to 80 °C"):
        Readings.of([0], temp_c=[85])


def test_between_keeps_half_open_intervals():
    got = Readings.of([0, 10, 20, 30], rh_percent=[1, 2, 3, 4]).between(10, 30)
    assert got.rh_percent.tolist() == [2, 3]
    with pytest.raises(ConservationError, match="no readings between"):
        got.between(100, 200)


def uneven(rows):
    return Readings.of(np.array([t for t, _ in rows]) * 600, rh_percent=[v for _, v in rows])


@settings(max_examples=60)
@given(records, st.integers(1, 20), st.integers(0, 20))
def test_moving_mean_equals_a_slow_one(rows, before, after):
    got = uneven(rows)
    means = climate.moving_mean(
        got.time_s, got.rh_percent, before_s=before * 600, after_s=after * 600
    )
    for n, t in enumerate(got.time_s):
        near = (got.time_s >= t - before * 600) & (got.time_s <= t + after * 600)
        there = got.rh_percent[near & ~np.isnan(got.rh_percent)]
        if there.size:
            assert means[n] == pytest.approx(there.mean(), abs=1e-9)
        else:
            assert np.isnan(means[n])


@settings(max_examples=60)
@given(records, st.integers(1, 30))
def test_spread_and_change_equal_slow_ones(rows, hours):
    got = uneven(rows)
    rh = got.rh_percent
    spread = climate.spread_over(got, rh, hours=hours)
    change = climate.change_over(got, rh, hours=hours)
    longest = max(2 * got.step_s, HOUR_S)
    for n, t in enumerate(got.time_s):
        near = rh[(got.time_s >= t - hours * HOUR_S) & (got.time_s <= t)]
        near = near[~np.isnan(near)]
        expected = near.max() - near.min() if near.size else np.nan
        np.testing.assert_allclose(spread[n], expected, atol=1e-12)
        np.testing.assert_allclose(change[n], slow_change(got, n, hours, longest), atol=1e-9)


def slow_change(got, n, hours, longest):
    then = got.time_s[n] - hours * HOUR_S
    for time_s, rh in zip(got.time_s, got.rh_percent, strict=True):
        if time_s == then:
            return got.rh_percent[n] - rh
    before = [i for i, t in enumerate(got.time_s) if t < then]
    after = [i for i, t in enumerate(got.time_s) if t > then]
    if not before or got.time_s[after[0]] - got.time_s[before[-1]] > longest:
        return np.nan
    i, k = before[-1], after[0]
    part = (then - got.time_s[i]) / (got.time_s[k] - got.time_s[i])
    return got.rh_percent[n] - (got.rh_percent[i] * (1 - part) + got.rh_percent[k] * part)


def test_mean_of_a_long_record_keeps_its_digits():
    """A straight line has its own value as centred mean; the sums run over 400 000 readings."""
    time_s = np.arange(400_000) * 60
    line = 1e-4 * np.arange(400_000) + 30
    mean = climate.moving_mean(time_s, line, before_s=86_400, after_s=86_400)
    assert np.abs(mean - line)[1440:-1440].max() < 1e-10


def test_windows_refuse_what_is_no_length():
    got = Readings.of([0, 60], rh_percent=[50, 50])
    with pytest.raises(OutOfRangeError, match="window is -1"):
        climate.change_over(got, got.rh_percent, hours=-1)
    with pytest.raises(ConservationError, match="differ in length"):
        climate.spread_over(got, np.zeros(3))
