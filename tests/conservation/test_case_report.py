"""A showcase judged whole, and what is said of bad input."""

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from conservation.case_reading import Case
from conservation.case_report import report
from conservation.contents import InvalidCase
from conservation.intervals import Interval

GOOD = {
    "name": "Case 3",
    "volume_m3": 1,
    "exchanges_a_day": [0.5, 1],
    "closes_on": "2027-03-01",
    "days": 90,
    "years": 1,
    "room_rh_percent": 25,
    "target_rh_percent": 50,
    "drift_percent": 5,
    "buffer": {"g_per_kg_percent": 4, "mass_kg": 10},
    "sources": [{"pollutant": "acetic acid", "emission_ug_m2_h": 10, "area_m2": 2}],
    "objects": [{"id": "bowl", "materials": ["porcelain"], "rh_percent": [40, 60]}],
    "materials": [],
}


def case(**change):
    return report(Case.from_dict({**GOOD, **change}))


def test_figures_are_those_of_the_formulas():
    """Worked by hand: 17.3 × 0.25 × 1 × N × 90 / (4 × 5); 4 × 4 × 10 / N; 20 × 24 / N."""
    found = case()
    assert found.buffer_needed_kg == Interval(9.73125, 19.4625)
    assert found.hygrometric_half_time_days == Interval(160, 320)
    assert found.buffer_lasts_days.low == pytest.approx(90 * 10 / 19.4625)
    assert found.exposures[0].concentration_ug_m3 == Interval(480, 960)
    assert found.exposures[0].verdict == "kept"
    assert found.tightness == ("ordinary",)
    assert found.kept


def test_sources_of_one_pollutant_add_up_and_the_room_counts_once():
    one = {"pollutant": "acetic acid", "emission_ug_m2_h": 10, "area_m2": 1, "room_ug_m3": 5}
    found = case(exchanges_a_day=1, sources=[one, one])
    assert found.exposures[0].concentration_ug_m3 == Interval(485, 485)


@pytest.mark.parametrize(
    "change",
    [
        {"sources": [{"pollutant": "H2S", "emission_ug_m2_h": 1, "area_m2": 2}]},
        {"materials": [{"name": "MDF"}], "objects": [{"id": "seal", "materials": ["lead"]}]},
        {"drift_percent": 15},
        {"objects": [{"id": "a", "rh_percent": [0, 20]}, {"id": "b", "rh_percent": [45, 55]}]},
    ],
)
def test_what_is_broken_is_not_kept(change):
    assert not case(**change).kept


def test_uncertain_ceiling_is_not_called_kept():
    found = case(exchanges_a_day=[0.1, 1])
    assert found.exposures[0].verdict == "uncertain"
    assert not found.kept


def test_tight_case_with_harm_is_the_worst():
    found = case(
        exchanges_a_day=0.2,
        materials=[{"name": "MDF"}],
        objects=[{"id": "x", "materials": ["lead"]}],
    )
    assert any("tight" in note for note in found.notes)


def test_cautions_on_glass_gel_and_vapours():
    words = " ".join(case().cautions)
    assert "Glazing" in words
    assert "Silica gel" in words
    assert "cellulose nitrate" in words
    assert "Glazing" not in " ".join(case(glass=False).cautions)


def test_unusual_amount_of_buffer_is_said():
    assert any(
        "usual are 7 to 20" in n for n in case(buffer={"g_per_kg_percent": 4, "mass_kg": 50}).notes
    )


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"volume_m3": 0}, "case.volume_m3 is 0.0"),
        ({"volume_m3": None}, "case.volume_m3"),
        ({"exchanges_a_day": 0}, "above 0"),
        ({"exchanges_a_day": {}}, "give a number or a pair"),
        ({"exchanges_a_day": [2, 1]}, "give the lower number first"),
        ({"exchanges_a_day": float("nan")}, "case.exchanges_a_day is nan"),
        ({"closes_on": None}, "closes_on is missing"),
        ({"closes_on": "soon"}, "give a date like"),
        ({"days": 0}, "case.days is 0"),
        ({"days": 1.5}, "give a whole number"),
        ({"years": 500}, "case.years is 500"),
        ({"colour": "red"}, "unknown field 'colour'"),
        ({"buffer": []}, "case.buffer is []"),
        ({"buffer": {}}, "buffer needs kind"),
        ({"sources": {}}, "sources must be a list"),
        ({"sources": [{"pollutant": "acetic acid"}]}, "sources[0].emission_ug_m2_h"),
        ({"objects": [{"id": ""}]}, "objects[0].id"),
        ({"objects": [{"id": "a"}, {"id": "a"}]}, "stands twice"),
        ({"objects": [{"id": "a", "materials": "lead"}]}, "must be a list of names"),
        ({"materials": [{"name": "MDF", "test": "P"}]}, "give a JSON object with ratings"),
        ({"materials": [{"name": "MDF", "test": {"ratings": {"silver": "Q"}}}]}, "use one of P"),
        ({"materials": [{"name": "MDF", "test": {"ratings": {"gold": "P"}}}]}, "give letters for"),
        ({"glass": 1}, "give true or false"),
    ],
)
def test_fault_is_named(change, words):
    with pytest.raises(InvalidCase) as caught:
        Case.from_dict({**GOOD, **change})
    assert words in str(caught.value)
    assert all(fault.endswith(".") and "\n" not in fault for fault in caught.value.faults)


ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner),
    max_leaves=8,
)


@settings(max_examples=80)
@given(st.sampled_from(sorted(GOOD)), ANYTHING)
def test_any_value_in_any_field_is_read_or_refused(key, value):
    try:
        read = Case.from_dict({**GOOD, key: value})
    except InvalidCase as error:
        read = error
    assert isinstance(read, Case) or read.faults


def test_contract_is_plain_json():
    assert Case.from_dict(json.loads(json.dumps(GOOD))) == Case.from_dict(GOOD)
