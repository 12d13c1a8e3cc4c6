"""Bands and excursions from them."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from conservation import climate
from conservation.climate import Band, Readings, excursions
from conservation.ranges import ConservationError

ends = st.floats(0, 100)
bands = st.tuples(ends, ends).map(lambda pair: Band(min(pair), max(pair)))


@given(bands, bands, ends)
def test_what_two_bands_allow_lies_inside_both(one, other, value):
    both = one.meet(other)
    inside = one.holds(value) and other.holds(value)
    assert inside == (both is not None and both.holds(value))
    if both:
        assert max(one.least, other.least) == both.least
        assert min(one.most, other.most) == both.most


@given(st.lists(bands, min_size=1, max_size=5), st.randoms())
def test_the_order_of_bands_does_not_matter(many, dice):
    mixed = many.copy()
    dice.shuffle(mixed)
    assert climate.meet_all(many) == climate.meet_all(mixed)


def test_bands_refuse_nonsense():
    for bad in ((60, 40), (math.nan, 50), (40, math.nan)):
        with pytest.raises(ConservationError, match="holds nothing"):
            Band(*bad)
    with pytest.raises(ConservationError, match="cannot meet"):
        Band(40, 60, "%").meet(Band(16, 25, "°C"))
    with pytest.raises(ConservationError, match="at least one"):
        climate.meet_all([])


def test_ends_of_a_band_belong_to_it():
    values = (39.9, 40, 60, 60.1, math.nan)
    assert [Band(40, 60).holds(v) for v in values] == [False, True, True, False, False]


def test_bands_in_words():
    assert Band().words() == "any"
    assert Band(25).words() == "at least 25 %"


def slow(values, least, most, step_s):
    """Walk through even readings and total what lies outside."""
    stays, inside = [], True
    for value in values:
        side = 1 if value > most else -1 if value < least else 0
        if math.isnan(value) or side == 0:
            inside = True
            continue
        beyond = value - most if side > 0 else least - value
        if inside or stays[-1]["side"] != side:
            stays.append({"side": side, "depth": 0.0, "integral": 0.0, "readings": 0})
            inside = False
        stays[-1]["depth"] = max(stays[-1]["depth"], beyond)
        stays[-1]["integral"] += beyond * step_s / 3600
        stays[-1]["readings"] += 1
    return stays


series = st.lists(st.one_of(st.floats(0, 100), st.just(math.nan)), min_size=1, max_size=80)


@given(series, bands)
def test_excursions_equal_a_slow_walk(values, band):
    got = Readings.of(np.arange(len(values)) * 1800, rh_percent=values)
    got = Readings(got.time_s, got.temp_c, got.rh_percent, 1800.0)
    found = excursions(got, got.rh_percent, least=band.least, most=band.most)
    expected = slow(values, band.least, band.most, 1800)
    assert [each.above for each in found] == [stay["side"] > 0 for stay in expected]
    assert [each.readings for each in found] == [stay["readings"] for stay in expected]
    assert found.depth.tolist() == pytest.approx([stay["depth"] for stay in expected])
    assert found.integral_h.tolist() == pytest.approx([stay["integral"] for stay in expected])
    assert found.hours.tolist() == [stay["readings"] / 2 for stay in expected]


@given(series, bands, st.integers(0, 80))
def test_integrals_of_excursions_add_when_the_record_is_cut(values, band, cut):
    whole = Readings.of(np.arange(len(values)) * 1800, rh_percent=values)
    parts = [slice(0, cut), slice(cut, None)]
    totals = []
    for part in (slice(None), *parts):
        one = Readings(whole.time_s[part], whole.temp_c[part], whole.rh_percent[part], 1800.0)
        if len(one):
            found = excursions(one, one.rh_percent, least=band.least, most=band.most)
            totals.append(found.integral_h.sum())
    assert sum(totals[1:]) == pytest.approx(totals[0], abs=1e-9)


@given(series, bands)
def test_what_lies_below_and_above_adds(values, band):
    got = Readings.of(np.arange(len(values)) * 1800, rh_percent=values)
    both = excursions(got, got.rh_percent, least=band.least, most=band.most)
    low = excursions(got, got.rh_percent, least=band.least)
    high = excursions(got, got.rh_percent, most=band.most)
    together = low.integral_h.sum() + high.integral_h.sum()
    assert both.integral_h.sum() == pytest.approx(together, abs=1e-9)
    assert len(both) == len(low) + len(high)


def test_a_gap_ends_an_excursion():
    got = Readings.of([0, 3600, 7200, 36_000], rh_percent=[70, 70, 70, 70])
    found = excursions(got, got.rh_percent, most=60)
    assert [(each.start_s, each.end_s) for each in found] == [(0, 14_400), (36_000, 39_600)]
    assert climate.hours_outside(found) == 5


def test_limits_may_move_with_the_readings():
    got = Readings.of([0, 3600, 7200], rh_percent=[50, 50, 50])
    found = excursions(got, got.rh_percent, most=np.array([60.0, 45.0, np.nan]))
    assert [(each.start_s, each.depth) for each in found] == [(3600, 5.0)]
    assert len(found.worst(3)) == 1


def test_limits_that_hold_nothing_are_refused():
    got = Readings.of([0, 3600], rh_percent=[50, 50])
    with pytest.raises(ConservationError, match="hold nothing"):
        excursions(got, got.rh_percent, least=60, most=40)
    with pytest.raises(ConservationError, match="differ in length"):
        excursions(got, got.rh_percent, most=np.zeros(3))
