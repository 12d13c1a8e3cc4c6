"""Control types, the loan rule, ageing, mould and guidance by material: worked cases."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from conservation import climate
from conservation.climate import NotEnoughReadingsError, Readings
from conservation.ranges import ConservationError, OutOfRangeError
from conservation.tables import UnknownRowError

HOURS = np.arange(365 * 24)


def record(rh, temp=None):
    return Readings.of(HOURS * 3600, rh_percent=rh, temp_c=temp)


def verdicts(readings, **options):
    results = climate.control_types(readings, **options)
    return {result.type: {broken.test for broken in result.broken} for result in results}


# ASHRAE HVAC Applications 2019, chapter 24, from memory.


def test_an_hour_at_56_breaks_aa_only_in_the_close_types():
    rh = np.full(HOURS.size, 50.0)
    rh[4000] = 56
    found = verdicts(record(rh))
    assert "short_term" in found["AA"]
    assert found["A2"] == found["B"] == found["C"] == found["D"] == set()


def test_a_summer_at_58_is_a_season_that_a1_and_b_allow():
    season = 50 + 8 * np.sin(2 * np.pi * HOURS / HOURS.size)
    found = verdicts(record(season + 4 * np.sin(2 * np.pi * HOURS / 24)))
    assert "season" in found["AA"]
    assert found["A1"] == set()
    assert found["A2"] == {"season"}
    assert found["B"] == set()


def test_an_hour_at_71_breaks_the_outer_limit_of_b_and_not_of_c():
    rh = np.full(HOURS.size, 63.0)
    rh[4000] = 71
    found = verdicts(record(rh))
    assert found["B"] == {"outer"}
    assert found["C"] == set()


def test_an_hour_at_76_breaks_d():
    rh = np.full(HOURS.size, 60.0)
    rh[4000] = 76
    (broken,) = climate.control_types(record(rh))[-1].broken
    assert (broken.test, broken.unit, broken.worst_by) == ("outer", "% RH", 1.0)
    assert broken.first_s == 4000 * 3600
    assert broken.share == pytest.approx(1 / 8760)


def test_a_week_and_more_of_damp_breaks_c():
    rh = np.full(HOURS.size, 60.0)
    rh[1000:1168] = 70
    assert verdicts(record(rh))["C"] == set()
    rh[1168] = 70
    assert verdicts(record(rh))["C"] == {"damp"}


@pytest.mark.parametrize(
    ("swing", "passing"),
    [(1.98, "AA A1 A2 B C D"), (4, "B C D"), (6, "C D")],
)
def test_daily_swings_of_temperature(swing, passing):
    temp = 18 + swing * np.sin(2 * np.pi * HOURS / 24)
    found = climate.control_types(record(np.full(HOURS.size, 50.0), temp))
    assert " ".join(result.type for result in found if result.passes) == passing


def test_a_cold_winter_breaks_aa_and_not_a1():
    temp = 18.5 - 6 * np.cos(2 * np.pi * HOURS / HOURS.size)
    found = verdicts(record(np.full(HOURS.size, 50.0), temp))
    assert found["AA"] == {"season"}
    assert found["B"] == set()


def test_the_season_goes_on_to_the_ends_of_a_record():
    """A straight drift of 6 % in the year is all season and no fluctuation, also at the ends."""
    drift = 47 + 6 * HOURS / HOURS.size
    assert verdicts(record(drift))["A1"] == set()
    for at in (3, 8757):
        rh = drift.copy()
        rh[at] += 5.5
        (broken,) = climate.control_types(record(rh))[1].broken
        assert (broken.test, broken.first_s) == ("short_term", at * 3600)
        assert broken.worst_by == pytest.approx(0.5, abs=0.05)


def test_results_name_edition_and_what_was_not_tested():
    result = climate.control_types(record(np.full(HOURS.size, 50.0)))[0]
    assert result.source.edition == "ASHRAE HVAC Applications 2019"
    assert result.source.status == "from memory"
    assert result.notes == (
        "There are no readings in °C: its limits were not tested.",
        "One place was measured: differences within the space are not tested.",
    )


def test_the_earlier_edition_has_no_outer_limits_for_close_types():
    rh = np.full(HOURS.size, 68.0)
    assert "outer" in verdicts(record(rh))["AA"]
    assert verdicts(record(rh), edition="2011")["AA"] == set()
    assert verdicts(record(rh), edition="2011", set_point_percent=50)["AA"] == {"season"}


def test_control_types_refuse_what_they_do_not_know():
    with pytest.raises(UnknownRowError, match="known edition: 2019, 2011"):
        climate.control_types(record(np.full(HOURS.size, 50.0)), edition="1999")
    with pytest.raises(NotEnoughReadingsError):
        climate.control_types(Readings.of([0], rh_percent=[50]))
    with pytest.raises(NotEnoughReadingsError):
        climate.control_types(record(np.full(HOURS.size, np.nan)))
    with pytest.raises(OutOfRangeError, match="set point"):
        climate.control_types(record(np.full(HOURS.size, 50.0)), set_point_percent=120)


def test_short_and_broken_records_are_told():
    part = record(np.full(HOURS.size, 50.0)).between(0, 40 * 86_400)
    assert "The record covers 40.0 days, not a year." in climate.control_types(part)[0].notes
    holes = Readings.of([0, 3600, 7200, 36_000_000], rh_percent=[50, 50, 50, 50])
    assert "Readings cover 0 % of the time." in climate.control_types(holes)[0].notes
    half = Readings.of([0, 3600, 7200, 10_800, 28_800], rh_percent=[50, 50, 50, 50, 50])
    assert "Readings cover 75 % of the time." in climate.control_types(half)[0].notes


# Bizot Green Protocol, from memory.
def days(*rh, temp=20.0):
    """A straight course through one value a day."""
    hours = np.arange((len(rh) - 1) * 24 + 1)
    return Readings.of(
        hours * 3600, rh_percent=np.interp(hours / 24, range(len(rh)), rh), temp_c=hours * 0 + temp
    )


def test_a_change_of_11_in_a_day_fails_and_of_9_passes():
    failed = climate.loan_rule(days(45, 56))
    assert not failed.passes
    assert (len(failed.rh), len(failed.temp)) == (0, 0)
    assert failed.largest_change_percent == pytest.approx(11)
    assert climate.loan_rule(days(42, 51)).passes


def test_temperature_of_15_9_fails():
    result = climate.loan_rule(days(45, 46, temp=15.9))
    assert not result.passes
    assert result.temp[0].depth == pytest.approx(0.1)
    assert climate.loan_rule(days(45, 46, temp=16)).passes


@pytest.mark.parametrize(
    ("rh", "reading", "passes"),
    [
        ((42, 53, 53), "change", False),
        ((42, 53, 53), "spread", False),
        ((42, 53, 53), "wide_spread", True),
        ((40, 60, 60), "wide_spread", True),
        ((50, 50, 39), "wide_spread", False),
        ((45, 55, 45), "spread", True),
    ],
)
def test_readings_of_plus_and_minus(rh, reading, passes):
    result = climate.loan_rule(days(*rh), reading=reading)
    assert result.passes is passes
    assert result.reading == reading


def test_a_spike_within_a_day_shows_only_in_the_spread():
    """46 at midnight, 58 at noon, 46 at midnight: a day later all is as before."""
    hours = np.arange(73)
    rh = 52 - 6 * np.cos(2 * np.pi * hours / 24)
    wave = Readings.of(hours * 3600, rh_percent=rh, temp_c=hours * 0 + 20)
    results = climate.loan_rule_readings(wave, edition="2015")
    assert [(r.reading, r.passes) for r in results] == [
        ("change", True),
        ("spread", False),
        ("wide_spread", True),
    ]
    assert {r.source.edition for r in results} == {"Bizot Green Protocol 2015"}
    assert results[1].share_changed == pytest.approx(64 / 73)


def test_loans_refuse_and_tell():
    with pytest.raises(ConservationError, match="no reading 'loose'"):
        climate.loan_rule(days(45, 46), reading="loose")
    with pytest.raises(UnknownRowError):
        climate.loan_rule(days(45, 46), edition="1900")
    short = climate.loan_rule(Readings.of([0, 3600], rh_percent=[50, 51]))
    assert short.passes
    assert short.notes == (
        "There are no readings of temperature: its range was not tested.",
        "The record is too short for a change within a day.",
    )
    with pytest.raises(NotEnoughReadingsError):
        climate.loan_rule(Readings.of([0]))


# Lifetime multiplier (Michalski 2002, from memory), worked by hand with R = 8.314.
@pytest.mark.parametrize(
    ("t", "rh", "paper", "varnish"),
    [
        (20, 50, 1.000, 1.000),
        (15, 50, 2.038, 1.646),
        (25, 50, 0.503, 0.618),
        (20, 40, 1.337, 1.337),
        (20, 60, 0.789, 0.789),
        (18, 45, 1.520, 1.397),
        (22, 55, 0.669, 0.727),
        (10, 35, 6.772, 4.384),
        (25, 60, 0.396, 0.487),
    ],
)
def test_lifetime_multiplier(t, rh, paper, varnish):
    assert climate.lifetime_multiplier(t, rh) == pytest.approx(paper, abs=0.00051)
    assert climate.lifetime_multiplier(t, rh, material="film") == pytest.approx(paper, abs=0.00051)
    ours = climate.lifetime_multiplier(t, rh, material="varnish")
    assert ours == pytest.approx(varnish, abs=0.00051)


@given(st.lists(st.floats(0.1, 20), min_size=1, max_size=30))
def test_mean_multiplier_is_harmonic_and_lies_between(values):
    mean = climate.mean_multiplier(np.array(values))
    assert mean == pytest.approx(len(values) / sum(1 / value for value in values))
    assert min(values) - 1e-9 <= mean <= max(values) + 1e-9


def test_mean_multiplier_weighs_and_skips():
    values = np.array([1.0, np.nan, 0.5])
    assert climate.mean_multiplier(values, weights=np.array([3.0, 9.0, 1.0])) == pytest.approx(0.8)
    with pytest.raises(NotEnoughReadingsError):
        climate.mean_multiplier(np.array([np.nan]))
    with pytest.raises(ConservationError, match="harmonic"):
        climate.mean_multiplier(np.array([0.0, 1.0]))


def test_isoperms():
    """Sebera 1994, read: P2/P1 = RH1/RH2; effects multiply."""
    assert climate.isoperm_life_ratio(50, 40) == pytest.approx(1.25)
    assert climate.isoperm_life_ratio(50, 30) == pytest.approx(1.667, abs=0.00051)
    assert climate.combined_life_ratio(25, 50, 20, 30) == pytest.approx(3.333, abs=0.00051)
    with pytest.warns(climate.RangeWarning, match="30 to 65 % RH; 50 to 20 % leaves that"):
        assert climate.isoperm_life_ratio(50, 20) == 2.5
    with pytest.raises(OutOfRangeError):
        climate.isoperm_life_ratio(50, 0)
    with pytest.raises(OutOfRangeError):
        climate.lifetime_multiplier(20, 0)


# Hukka and Viitanen 1999, from memory.
@pytest.mark.parametrize(
    ("t", "rh"), [(5, 88.02), (10, 82.03), (15, 80.04), (20, 80.04), (25, 80), (1, 97.03)]
)
def test_critical_humidity(t, rh):
    assert climate.critical_rh_percent(t) == pytest.approx(rh, abs=0.0051)


@pytest.mark.parametrize(
    ("t", "rh", "weeks"),
    [(20, 80, 21.6), (20, 90, 4.20), (20, 97, 1.48), (25, 85, 7.99), (10, 90, 6.73)],
)
def test_weeks_to_mould(t, rh, weeks):
    assert climate.weeks_to_mould(t, rh) == pytest.approx(
        weeks, abs=0.051 if weeks > 10 else 0.0051
    )


def test_mould_does_not_grow_when_dry_and_ranges_hold():
    assert climate.weeks_to_mould(20, 70) == np.inf
    got = climate.weeks_to_mould(np.array([20.0, np.nan, 20.0]), np.array([95.0, 95.0, np.nan]))
    assert np.isfinite(got[0])
    assert np.isnan(got[1:]).all()
    assert np.isnan(climate.critical_rh_percent(float("nan")))
    with pytest.raises(OutOfRangeError, match="from 0 to 50"):
        climate.critical_rh_percent(-1)
    with pytest.raises(OutOfRangeError, match="from 1 to 50"):
        climate.weeks_to_mould(0.5, 90)


def test_damp_warns_at_once_and_alarms_after_two_days():
    rh = np.full(HOURS.size, 50.0)
    rh[100:103] = 70
    rh[200:248] = 80
    rh[300:349] = 80
    found = climate.damp_alarm(record(rh))
    assert [each.hours for each in found.warnings] == [3, 48, 49]
    assert [each.hours for each in found.alarms] == [49]
    assert found.source.status == "design choice"


# Guidance by material, from memory.
@pytest.mark.parametrize(
    ("material", "words"),
    [
        ("archaeological iron", "0 to 20 %"),
        ("archaeological bronze", "0 to 42 %"),
        ("weeping glass", "38 to 42 %"),
        ("Panel painting", "45 to 55 %"),
        ("leather", "40 to 55 %"),
        ("photograph", "30 to 45 %"),
        ("cellulose nitrate", "30 to 40 %"),
        ("stone", "0 to 100 %"),
        ("stone with salts", "40 to 50 %"),
        ("veneer", "25 to 100 %"),
    ],
)
def test_guidance_by_material(material, words):
    assert climate.rh_guidance(material).band.words() == words


def test_materials_together():
    assert climate.rh_guidance_together(["paper", "wood", "paper"]).band.words() == "45 to 55 %"
    three = climate.rh_guidance_together(["wood", "photograph", "weeping glass"])
    assert three.band is None
    assert three.clashes == (("wood", "weeping glass"),)
    with pytest.raises(UnknownRowError, match="known names"):
        climate.rh_guidance("unobtainium")
    with pytest.raises(ConservationError):
        climate.rh_guidance_together([])


def test_every_material_has_guidance_and_a_source():
    for material in climate.known_materials():
        found = climate.rh_guidance(material)
        assert found.source.edition
        assert found.band.least <= found.band.most
