"""Limits of one object from several voices.

The rule that the strictest demand wins is common practice, no source; figures by class are those of
CIE 157:2004 (from memory).
"""

import dataclasses
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from conservation.limits import (
    Demand,
    Voice,
    VoiceError,
    class_voice,
    combine_limits,
    read_voice,
)
from conservation.ranges import OutOfRangeError
from conservation.tables import UnknownRowError

LENDER = Voice(
    "lender",
    "Loan 7",
    (Demand("lux", most=40), Demand("rh_percent", 45, 55), Demand("days_on_show", most=90)),
)
CASE = Voice("case", "C3", (Demand("rh_percent", 40, 50), Demand("temperature_c", 18, 22)))
CONSERVATOR = Voice("conservator", "report of May", (Demand("rh_change_24h_percent", most=5),))


def test_strictest_of_each_kind_with_its_origin():
    limits = combine_limits([class_voice("R3"), LENDER, CASE, CONSERVATOR])
    found = {x.kind: (x.least, x.most) for x in limits.limits}
    assert found == {
        "lux": (None, 40),
        "lux_h_per_year": (None, 15_000),
        "uv_uw_per_lm": (None, 75),
        "rh_percent": (45, 50),
        "rh_change_24h_percent": (None, 5),
        "temperature_c": (18, 22),
        "days_on_show": (None, 90),
    }
    humidity = limits.of("rh_percent")
    assert [origin.name for origin in humidity.least_from] == ["Loan 7"]
    assert [origin.name for origin in humidity.most_from] == ["C3"]
    assert humidity.possible
    assert limits.contradictions == ()
    yearly = limits.of("lux_h_per_year").most_from[0]
    assert yearly.source.edition == "CIE 157:2004 / CEN/TS 16163:2014"
    assert limits.of("rest_days") is None


def test_bands_that_do_not_meet_are_named():
    damp = Voice("lender", "Loan 9", (Demand("rh_percent", 52, 58),))
    limits = combine_limits([damp, CASE])
    assert not limits.of("rh_percent").possible
    assert [item.sentence for item in limits.contradictions] == [
        "Relative humidity: lender Loan 9 asks for at least 52 %, case C3 for at most 50 %. One of"
        " them must give way."
    ]


def test_bands_that_touch_are_possible():
    touching = Voice("lender", "Loan 9", (Demand("rh_percent", 50, 58),))
    limits = combine_limits([touching, CASE])
    assert (limits.of("rh_percent").least, limits.of("rh_percent").most) == (50, 50)
    assert limits.contradictions == ()


def test_equal_demands_name_every_voice():
    same = dataclasses.replace(LENDER, name="Loan 8")
    assert [o.name for o in combine_limits([LENDER, same]).of("lux").most_from] == [
        "Loan 7",
        "Loan 8",
    ]


def test_level_asked_for_may_contradict_a_limit():
    reader = Voice("designer", "label", (Demand("lux", least=60),))
    assert combine_limits([reader, LENDER]).contradictions[0].kind == "lux"


def test_class_without_limits_brings_none():
    assert class_voice("R0").demands == ()
    assert combine_limits([class_voice("R0")]).limits == ()
    assert [d.kind for d in class_voice("R1", "thomson", uv=None).demands] == ["lux"]
    with pytest.raises(UnknownRowError, match="known rule_set"):
        class_voice("R1", "gaslight")


BANDS = st.tuples(st.floats(0, 100), st.floats(0, 100)).map(sorted)


@settings(max_examples=50)
@given(st.lists(BANDS, min_size=1, max_size=6))
def test_value_is_allowed_by_the_limit_if_and_only_if_by_every_voice(bands):
    voices = [Voice("lender", str(n), (Demand("rh_percent", *b),)) for n, b in enumerate(bands)]
    limits = combine_limits(voices)
    limit = limits.of("rh_percent")
    for value in [end for band in bands for end in band] + [0, 37.5, 100]:
        allowed = all(low <= value <= high for low, high in bands)
        assert allowed == (limit.least <= value <= limit.most)
    assert limit.possible == (max(b[0] for b in bands) <= min(b[1] for b in bands))
    assert limit.possible == (not limits.contradictions)
    assert combine_limits(voices[::-1]).of("rh_percent").least == limit.least


def test_voice_from_plain_data():
    voice = read_voice(
        {
            "role": "lender",
            "name": "Loan 7",
            "lux": 40,
            "rest_days": 365,
            "rh_percent": {"least": 45, "most": 55},
            "temperature_c": {"most": 22},
            "uv_uw_per_lm": None,
        }
    )
    assert voice.demands == (
        Demand("lux", None, 40),
        Demand("rest_days", 365, None),
        Demand("rh_percent", 45, 55),
        Demand("temperature_c", None, 22),
    )


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ([], "must be an object with role and name"),
        ({"name": "x"}, "needs a role in words"),
        ({"role": "lender", "name": 3}, "needs a role in words"),
        (
            {"role": "lender", "luxe": 3},
            "lender lender demands 'luxe', which is no kind; known: lux",
        ),
        ({"role": "lender", "lux": {}}, "must be a number, or have least or most"),
        ({"role": "lender", "lux": {"max": 3}}, "must be a number, or have least or most"),
        ({"role": "lender", "name": "L", "rh_percent": {"least": 55, "most": 45}}, "swap the two"),
        ({"role": "lender", "rh_change_24h_percent": {"least": 1}}, "knows no least"),
        ({"role": "lender", "rest_days": {"most": 1}}, "knows no most"),
    ],
)
def test_voice_that_cannot_be_read_is_told(data, words):
    with pytest.raises(VoiceError, match=words):
        read_voice(data)


@pytest.mark.parametrize("value", [math.nan, -1, 300_000, "50", True, [50]])
def test_value_beyond_belief_is_refused(value):
    with pytest.raises(OutOfRangeError, match=r"illuminance \(most\) of lender L is"):
        read_voice({"role": "lender", "name": "L", "lux": value})
    with pytest.raises(OutOfRangeError):
        combine_limits([Voice("lender", "L", (Demand("lux", most=value),))])


def test_too_many_voices_are_refused():
    with pytest.raises(VoiceError, match="201 voices"):
        combine_limits([LENDER] * 201)


def test_kind_that_is_none_is_refused():
    with pytest.raises(UnknownRowError, match="known id: lux"):
        combine_limits([Voice("lender", "L", (Demand("weight", most=3),))])
