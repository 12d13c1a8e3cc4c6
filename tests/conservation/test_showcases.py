"""The air of showcases against worked figures; each test names where its figures come from."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from conservation import showcases
from conservation.intervals import Interval, InvalidInterval, interval, over
from conservation.ranges import ConservationError, OutOfRangeError
from conservation.tables import UnknownRowError


def test_dry_case_in_damp_room_by_steps():
    """10, 19 and 27 % after 1, 2 and 3 h: conservationphysics.org, air exchange."""
    found = [showcases.decay_in_steps(start=0, room=100, share=0.1, steps=n) for n in (1, 2, 3)]
    assert found == pytest.approx([10, 19, 27.1])


def test_half_time_of_air():
    """ln 2 / 0.1 per hour is 6.93 h: arithmetic."""
    half = showcases.half_time_days(2.4)
    assert half.low * 24 == pytest.approx(6.931, abs=1e-3)
    at_half = showcases.decay(start=0, room=100, exchanges_a_day=2.4, days=half.low)
    assert at_half.low == pytest.approx(50)


@pytest.mark.parametrize(
    ("m", "b", "n", "days"), [(2, 20, 1, 160), (2, 20, 0.1, 1600), (4, 5, 0.5, 160), (2, 7, 1, 56)]
)
def test_hygrometric_half_time(m, b, n, days):
    """Thomson 1977, from memory; worked by hand."""
    found = showcases.hygrometric_half_time_days(
        buffering_g_per_kg_percent=m, kg_per_m3=b, exchanges_a_day=n
    )
    assert found.low == found.high == pytest.approx(days)


def test_factor_of_the_half_time_follows_from_the_vapour_of_air():
    """ln 2 / 0.173 g/m3 a per cent = 4.006: derivation beside Thomson's 4."""
    assert math.log(2) / 0.173 == pytest.approx(4.006, abs=1e-3)


@pytest.mark.parametrize(
    ("d", "v", "n", "t", "m", "kg"), [(25, 1, 1, 90, 4, 19.46), (15, 0.5, 0.3, 180, 2, 7.0065)]
)
def test_amount_of_buffer(d, v, n, t, m, kg):
    """Weintraub 2002, from memory; worked by hand."""
    given = {
        "difference_percent": d,
        "volume_m3": v,
        "exchanges_a_day": n,
        "buffering_g_per_kg_percent": m,
        "drift_percent": 5,
    }
    found = showcases.buffer_kg(days=t, **given)
    assert found.low == pytest.approx(kg, abs=0.005)
    assert showcases.buffer_lasts_days(mass_kg=found, **given).low == pytest.approx(t)


def test_steady_concentration():
    """E 100, A 2, V 1, N 1/24 per hour gives 4,800: CCI Technical Bulletin 32, second-hand."""
    found = showcases.pollutant_ug_m3(
        emission_ug_m2_h=100, area_m2=2, volume_m3=1, exchanges_a_day=1
    )
    assert found == Interval(4800, 4800)


@pytest.mark.parametrize(
    ("pollutant", "ceilings"),
    [
        ("acetic acid", (1000, 100, 100)),
        ("H2S", (1, 0.1, 0.01)),
        ("NO2", (10, 1, 0.1)),
        ("ozone", (10, 1, 0.1)),
        ("sulphur dioxide", (10, 1, 0.1)),
        ("PM2.5", (10, 1, 0.1)),
    ],
)
def test_ceilings(pollutant, ceilings):
    """Tétreault 2003, from memory."""
    found = [showcases.exposure(pollutant, 0, years).ceiling_ug_m3 for years in (1, 10, 100)]
    assert tuple(found) == ceilings
    assert "from memory" in showcases.exposure(pollutant, 0, 1).sentence


def test_exposure_says_how_long_is_safe_and_when_it_is_uncertain():
    assert showcases.exposure("NO2", 5, 1).kept_years == 1
    assert showcases.exposure("NO2", [0.5, 2], 10).verdict == "uncertain"
    assert showcases.exposure("NO2", 2, 2).verdict == "exceeded"
    assert showcases.exposure("NO2", 10, 1).verdict == "kept"
    assert showcases.exposure("acetic acid", 100, 100).kept_years == 100
    assert showcases.exposure("NO2", 200, 1).kept_years == 0


def test_tightness_names_what_a_range_touches():
    assert [row.id for row in showcases.tightness(0.05)] == ["well_sealed"]
    assert showcases.tightness(0.7) == ()
    assert [row.id for row in showcases.tightness([4, 20])] == ["ordinary", "leaky"]


def test_buffers_are_known_by_name():
    assert showcases.buffering("Silica gel")[0] == Interval(2, 2)
    assert showcases.buffering("humidity-buffer gel")[0] == Interval(4, 8)
    with pytest.raises(UnknownRowError, match="known: silica gel"):
        showcases.buffering("rice")


GOOD = {
    "difference_percent": 25,
    "volume_m3": 1,
    "exchanges_a_day": 1,
    "days": 90,
    "buffering_g_per_kg_percent": 4,
    "drift_percent": 5,
}


@pytest.mark.parametrize("name", sorted(GOOD))
@pytest.mark.parametrize(
    "value", [float("nan"), float("inf"), -1, "x", None, True, [1], [2, 1], {}]
)
def test_hostile_values_end_in_one_sentence(name, value):
    with pytest.raises(ConservationError) as caught:
        showcases.buffer_kg(**{**GOOD, name: value})
    assert str(caught.value).endswith(".")
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("value", [0, [0, 1]])
def test_case_without_air_exchange_is_refused(value):
    with pytest.raises(OutOfRangeError, match="above 0"):
        showcases.half_time_days(value)


def test_exchange_needs_falling_readings():
    with pytest.raises(OutOfRangeError, match="first reading"):
        showcases.exchanges_from_decay(first=1000, second=1200, room=400, days=1)


ENDS = st.tuples(st.floats(0.01, 50), st.floats(0.01, 50)).map(sorted)
WITHIN = st.floats(0, 1)


@given(ENDS, ENDS, ENDS, ENDS, WITHIN, WITHIN, WITHIN, WITHIN)
def test_any_values_within_the_ranges_give_a_result_within_the_range(a, b, c, d, i, j, k, m):
    """Ranges in, ranges out: no choice of values inside may fall outside."""
    at = [
        low + share * (high - low)
        for (low, high), share in zip((a, b, c, d), (i, j, k, m), strict=True)
    ]
    wide = showcases.decay(start=a, room=b, exchanges_a_day=c, days=d)
    point = showcases.decay(start=at[0], room=at[1], exchanges_a_day=at[2], days=at[3])
    slack = 1e-9 * max(1, wide.high)
    assert wide.low - slack <= point.low <= point.high <= wide.high + slack


@given(ENDS, ENDS)
def test_meeting_of_ranges(a, b):
    one, other = Interval(*a), Interval(*b)
    both = one.meet(other)
    assert both == other.meet(one)
    assert (both is None) == (one.high < other.low or other.high < one.low)


def test_range_that_ends_before_it_begins_is_refused():
    with pytest.raises(InvalidInterval):
        Interval(2, 1)
    with pytest.raises(InvalidInterval):
        interval("It", [2, 1], 0, 9)
    with pytest.raises(InvalidInterval):
        over(max, *[Interval(0, 1)] * 13)
