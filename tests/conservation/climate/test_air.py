"""Moist air against tables and against psychrolib, a general reference library."""

import math

import numpy as np
import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from conservation import climate
from conservation.climate.air import ZERO_K
from conservation.ranges import ConservationError, OutOfRangeError

psychrolib.SetUnitSystem(psychrolib.SI)

# temperature, RH, dew point by Magnus (worked by hand), then psychrolib 2.5.0 at 101 325 Pa: dew
# point, humidity ratio, vapour pressure, absolute humidity (1000 p / 461.5 T), wet bulb.
STATES = (
    (20, 50, 9.26, 9.272, 7.262, 1169.4, 8.644, 13.78),
    (22, 55, 12.54, 12.553, 9.059, 1454.6, 10.679, 16.16),
    (16, 40, 2.39, 2.419, 4.497, 727.4, 5.451, 9.26),
    (25, 60, 16.69, 16.701, 11.895, 1901.5, 13.820, 19.47),
    (18, 65, 11.32, 11.330, 8.347, 1341.8, 9.986, 14.03),
    (25, 40, 10.46, 10.476, 7.880, 1267.7, 9.213, 16.21),
    (21, 45, 8.61, 8.626, 6.948, 1119.5, 8.246, 13.88),
    (10, 70, 4.78, 4.787, 5.321, 859.6, 6.578, 7.40),
)


@pytest.mark.parametrize(("t", "rh", "magnus", "dew", "w", "p", "g", "wet"), STATES)
def test_states_of_air(t, rh, magnus, dew, w, p, g, wet):
    assert climate.dew_point_c(t, rh, route="magnus") == pytest.approx(magnus, abs=0.0051)
    assert climate.dew_point_c(t, rh) == pytest.approx(dew, abs=0.00051)
    assert climate.humidity_ratio_g_per_kg(t, rh) == pytest.approx(w, abs=0.00051)
    assert climate.vapour_pressure_pa(t, rh) == pytest.approx(p, abs=0.051)
    assert climate.absolute_humidity_g_per_m3(t, rh) == pytest.approx(g, abs=0.00051)
    assert climate.wet_bulb_c(t, rh) == pytest.approx(wet, abs=0.0051)
    assert abs(climate.dew_point_c(t, rh) - climate.dew_point_c(t, rh, route="magnus")) < 0.05


@pytest.mark.parametrize(("to", "rh"), [(15, 68.6), (16, 64.3), (18, 56.7), (22, 44.2), (25, 36.9)])
def test_air_of_20_degrees_and_50_percent_moved(to, rh):
    """Arithmetic with psychrolib's saturation pressures."""
    assert climate.rh_after_change_percent(20, 50, to) == pytest.approx(rh, abs=0.051)


def test_outdoor_air_is_dry_when_heated():
    """Arithmetic with psychrolib's saturation pressures."""
    assert climate.rh_after_change_percent(0, 80, 20) == pytest.approx(20.9, abs=0.051)


def test_saturation_at_20_degrees_by_both_routes():
    """Magnus: 6.112 exp(17.62 × 20 / 263.12) hPa; the other from psychrolib 2.5.0."""
    assert climate.saturation_pressure_pa(20, route="magnus") == pytest.approx(2332.6, abs=0.05)
    assert climate.saturation_pressure_pa(20) == pytest.approx(2338.8, abs=0.05)


def test_ten_thousand_states_agree_with_psychrolib():
    """psychrolib 2.5.0, -30 to 55 °C and 1 to 100 % RH at 95 000 Pa.

    Tolerances: dew and frost point 1e-6 K, humidity ratio 1e-9 g/kg, wet bulb 0.002 K (the
    reference bisects to 0.001 K). Where the wet bulb lies between -0.6 and 0.4 °C both a wet and an
    iced bulb satisfy the equations, and the two programs choose differently.
    """
    temp, rh = (a.ravel() for a in np.meshgrid(np.linspace(-30, 55, 100), np.linspace(1, 100, 100)))
    states = list(zip(temp.tolist(), (rh / 100).tolist(), strict=True))
    dew = np.array([psychrolib.GetTDewPointFromRelHum(t, r) for t, r in states])
    ratio = np.array([psychrolib.GetHumRatioFromRelHum(t, r, 95_000) * 1000 for t, r in states])
    np.testing.assert_allclose(climate.dew_point_c(temp, rh), dew, rtol=0, atol=1e-6)
    ours = climate.humidity_ratio_g_per_kg(temp, rh, pressure_pa=95_000)
    np.testing.assert_allclose(ours, ratio, rtol=0, atol=1e-9)
    few = slice(None, None, 5)  # bisection in the reference is slow
    wet = np.array([psychrolib.GetTWetBulbFromRelHum(t, r, 95_000) for t, r in states[few]])
    clear = (wet < -0.6) | (wet > 0.4)
    assert clear.sum() > 1900
    ours = climate.wet_bulb_c(temp[few], rh[few], pressure_pa=95_000)
    np.testing.assert_allclose(ours[clear], wet[clear], rtol=0, atol=0.002)


def test_near_freezing_the_wet_bulb_still_satisfies_its_equation():
    """ASHRAE Fundamentals 2017, chapter 1, equation 33, put back (from memory)."""
    wet = float(climate.wet_bulb_c(3.0, 55.0))
    assert 0 < wet < 0.4
    full = float(climate.humidity_ratio_g_per_kg(wet, 100)) / 1000
    got = ((2501 - 2.326 * wet) * full - 1.006 * (3 - wet)) / (2501 + 1.86 * 3 - 4.186 * wet)
    assert got * 1000 == pytest.approx(float(climate.humidity_ratio_g_per_kg(3, 55)), abs=1e-4)


@given(st.floats(-60, 80), st.floats(0.1, 100))
def test_dew_point_never_above_temperature_and_gives_the_rh_back(temp, rh):
    dew = float(climate.dew_point_c(temp, rh))
    assert dew <= temp + 0.01  # between 0 and 0.01 °C frost point and dew point change places
    assert float(climate.rh_from_dew_point_percent(temp, dew)) == pytest.approx(rh, rel=1e-3)


@given(st.floats(-45, 60), st.floats(0.1, 100))
def test_dew_point_by_magnus_never_above_temperature(temp, rh):
    assert float(climate.dew_point_c(temp, rh, route="magnus")) <= temp + 1e-9


@given(st.floats(-40, 60), st.floats(0.1, 100))
def test_wet_bulb_lies_between_dew_point_and_temperature(temp, rh):
    wet = float(climate.wet_bulb_c(temp, rh))
    assert wet <= temp + 1e-6
    assert wet >= float(climate.dew_point_c(temp, rh)) - 0.011


@given(st.floats(-60, 80), st.floats(0, 100), st.floats(-60, 80))
def test_air_brought_there_and_back_is_the_same(temp, rh, to):
    there = float(climate.rh_after_change_percent(temp, rh, to))
    ratio = float(climate.saturation_pressure_pa(to) / climate.saturation_pressure_pa(temp))
    assert there * ratio == pytest.approx(rh, abs=1e-9)


def test_arrays_keep_shape_and_missing_readings():
    temp = np.array([[20.0, np.nan], [-5.0, 25.0]])
    dew = climate.dew_point_c(temp, np.full((2, 2), 50.0))
    assert dew.shape == (2, 2)
    assert np.isnan(dew[0, 1])
    assert dew[1, 1] == climate.dew_point_c(25, 50)


def test_long_arrays_equal_their_parts():
    temp, rh = np.linspace(-20, 40, 100_001), np.linspace(5, 95, 100_001)
    whole = climate.wet_bulb_c(temp, rh)
    for n in (0, 32_767, 32_768, 100_000):
        assert whole[n] == pytest.approx(float(climate.wet_bulb_c(temp[n], rh[n])), abs=1e-9)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: climate.dew_point_c(20, 0), "relative humidity is 0"),
        (lambda: climate.dew_point_c(20, -5), "relative humidity is -5"),
        (lambda: climate.dew_point_c(20, 101), "from 0.1 to 100 %"),
        (lambda: climate.dew_point_c(70, 50, route="magnus"), "from -45 to 60 °C"),
        (lambda: climate.saturation_pressure_pa(math.inf), "temperature is inf"),
        (lambda: climate.wet_bulb_c(20, 50, pressure_pa=1000), "air pressure is 1000"),
        (lambda: climate.dew_point_c(np.array([20.0, -999.0]), np.full(2, 50.0)), "is -999"),
        (lambda: climate.dew_point_c("warm", 50), "no number"),
    ],
)
def test_outside_the_range_is_refused_in_words(call, words):
    with pytest.raises(OutOfRangeError, match=words):
        call()


@pytest.mark.parametrize(
    "junk",
    [
        "abc",
        "20",
        b"\0",
        object(),
        {},
        [[1], [1, 2]],
        ["a", "b"],
        np.array([1 + 2j]),
        [True],
        np.inf,
    ],
)
def test_what_are_no_numbers_is_refused_everywhere(junk):
    for call in (
        lambda: climate.dew_point_c(junk, junk),
        lambda: climate.wet_bulb_c(junk, junk),
        lambda: climate.critical_rh_percent(junk),
        lambda: climate.lifetime_multiplier(junk, junk),
        lambda: climate.mean_multiplier(junk),
        lambda: climate.Readings.of(junk),
        lambda: climate.Readings.of([0, 1], rh_percent=junk),
    ):
        with pytest.raises(ConservationError):
            call()


def test_nothing_and_only_missing_readings_pass():
    assert climate.dew_point_c(np.array([]), np.array([])).shape == (0,)
    assert np.isnan(climate.wet_bulb_c(np.full(3, np.nan), np.full(3, np.nan))).all()
    assert np.isnan(climate.dew_point_c([None, 20.0], [50.0, 50.0])).tolist() == [True, False]


def test_unknown_route_and_lengths_that_differ_are_refused():
    with pytest.raises(ConservationError, match="There is no route 'guess'"):
        climate.dew_point_c(20, 50, route="guess")
    with pytest.raises(ConservationError, match="differ in length"):
        climate.dew_point_c(np.zeros(3), np.full(4, 50.0))


def test_kelvin():
    assert ZERO_K == 273.15
