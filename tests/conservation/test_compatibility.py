"""Who harms whom in a case, climates that do not meet, tests that do not hold."""

from dataclasses import replace
from datetime import date, timedelta
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from conservation.compatibility import (
    CaseMaterial,
    CaseObject,
    InvalidCase,
    MaterialTest,
    band_of,
    climates,
    findings_of,
    harms,
    judge,
    overall_rating,
)
from conservation.intervals import Interval
from conservation.tables import OURS
from conservation.vocabulary import families

CLOSES = date(2027, 3, 1)
PASSED = MaterialTest({"silver": "P", "copper": "P", "lead": "P"}, date(2026, 1, 1), "B7")
TEMPORARY = MaterialTest({"silver": "P", "copper": "T", "lead": "P"}, date(2026, 1, 1), "B7")


def who(objects, materials):
    return {(f.by, f.to, f.what) for f in harms(objects, materials) if f.kind == "harm"}


@pytest.mark.parametrize(
    ("giver", "victim", "emission"),
    [
        ("MDF", "lead", "acetic acid"),
        ("birch plywood", "lead", "acetic acid"),
        ("acetoxy silicone", "brass", "acetic acid"),
        ("oak", "shell", "acetic acid"),
        ("cellulose acetate", "zinc", "acetic acid"),
        ("alkyd paint", "bronze", "formic acid and formaldehyde"),
        ("MDF", "copper", "formic acid and formaldehyde"),
        ("flexible PVC", "bronze", "benzoic acid"),
        ("wool felt", "silver", "hydrogen sulfide and carbonyl sulfide"),
        ("rubber", "copper", "hydrogen sulfide and carbonyl sulfide"),
        ("wool", "lead white", "hydrogen sulfide and carbonyl sulfide"),
        ("alkyd paint", "silver gelatin print", "hydrogen peroxide"),
        ("cellulose nitrate", "steel", "nitrogen oxides"),
        ("cellulose nitrate", "silk", "nitrogen oxides"),
        ("cellulose nitrate", "rag paper", "nitrogen oxides"),
        ("PVC", "iron", "chlorides"),
        ("MS-polymer sealant", "porcelain", "residue of a light stabiliser with acids of the case"),
    ],
)
def test_emission_and_victim(giver, victim, emission):
    """CCI Technical Bulletin 32, second-hand, and from memory; see table case_emissions."""
    found = who([CaseObject("thing", (victim,))], [CaseMaterial(giver)])
    assert (giver, "thing", emission) in found


@pytest.mark.parametrize(
    ("giver", "victim"),
    [
        ("MDF", "gold"),
        ("glass", "lead"),
        ("wool", "iron"),
        ("neutral-cure silicone", "lead"),
        ("wool", "lead"),
        ("acrylic sheet", "silver"),
    ],
)
def test_what_no_rule_names_is_not_accused(giver, victim):
    assert who([CaseObject("thing", (victim,))], [CaseMaterial(giver)]) == set()


def test_objects_harm_one_another_but_not_themselves():
    flag, spoon = CaseObject("flag", ("wool", "silver")), CaseObject("spoon", ("silver",))
    assert {(by, to) for by, to, _ in who([flag, spoon], [])} == {("flag", "spoon")}


def test_plasticiser_counts_only_where_the_two_touch():
    medal = CaseObject("medal", ("gold",))
    assert who([medal], [CaseMaterial("PVC")]) == set()
    touching = replace(medal, touches=("PVC",))
    assert who([touching], [CaseMaterial("PVC")]) == {("PVC", "medal", "plasticiser")}


def test_source_says_what_is_from_memory():
    found = harms([CaseObject("a", ("lead", "zinc"))], [CaseMaterial("oak")])
    cited = {f.rule: f.sentence for f in found}
    assert "from memory" not in cited["acetic_lead"]
    assert "from memory" in cited["acetic_others"]


def test_overall_rating_is_the_worst_coupon():
    """Silver P, copper T, lead P gives T: common reading of the test."""
    assert overall_rating({"silver": "P", "copper": "T", "lead": "P"}) == "T"
    assert overall_rating({"silver": "P", "copper": "T", "lead": "F"}) == "U"
    assert overall_rating({"silver": "p"}) == "P"


@pytest.mark.parametrize(
    "ratings", [{}, None, {"gold": "P"}, {"silver": "X"}, {"silver": None}, "P"]
)
def test_rating_that_is_none_is_refused(ratings):
    with pytest.raises(InvalidCase):
        overall_rating(ratings)


def kinds(material: CaseMaterial, days: int = 90) -> list[str]:
    return [f.kind for f in findings_of(material, days=days, on=CLOSES)]


def test_temporary_material_for_200_days_is_warned_of():
    """T is usually at most 6 months: British Museum, from memory."""
    board = CaseMaterial("foam board", "B7", TEMPORARY)
    assert kinds(board, 200) == ["rating"]
    assert kinds(board, 183) == []
    (found,) = findings_of(board, days=200, on=CLOSES)
    assert "copper" in found.sentence
    assert "from memory" in found.sentence


def test_unsuitable_material_is_warned_of_at_once():
    bad = MaterialTest({"lead": "U"}, date(2026, 1, 1), "B7")
    assert kinds(CaseMaterial("foam", "B7", bad), 1) == ["rating"]


def test_old_undated_and_future_tests_and_other_batches():
    limit = int(OURS["material_tests"].by_id("age").number("most_days"))
    old = replace(PASSED, tested_on=CLOSES - timedelta(days=limit + 1))
    just = replace(PASSED, tested_on=CLOSES - timedelta(days=limit))
    assert kinds(CaseMaterial("foam", "B7", old)) == ["old"]
    assert kinds(CaseMaterial("foam", "B7", just)) == []
    assert kinds(CaseMaterial("foam", "B7", replace(PASSED, tested_on=None))) == ["old"]
    assert kinds(CaseMaterial("foam", "B7", replace(PASSED, tested_on=date(2028, 1, 1)))) == ["old"]
    assert kinds(CaseMaterial("foam", "B8", PASSED)) == ["batch"]
    assert kinds(CaseMaterial("foam", "", PASSED)) == ["batch"]
    assert kinds(CaseMaterial("foam")) == ["untested"]


@pytest.mark.parametrize(
    ("name", "dried", "said"),
    [
        ("acrylic paint", 27, True),
        ("acrylic paint", 28, False),
        ("neutral-cure silicone", 13, True),
        ("neutral-cure silicone", 14, False),
        ("alkyd paint", 400, True),
        ("acrylic paint", None, True),
    ],
)
def test_drying_times(name, dried, said):
    """Paints 4 weeks, neutral-cure silicone 2 weeks, oil and alkyd avoided: from memory."""
    applied = None if dried is None else CLOSES - timedelta(days=dried)
    found = kinds(CaseMaterial(name, "B7", PASSED, applied))
    assert ("drying" in found) == said


def test_valid_test_answers_a_harm_only_to_the_metals_it_covers():
    oak = CaseMaterial("oak", "B7", PASSED)
    objects = [CaseObject("seal", ("lead",)), CaseObject("comb", ("shell",))]
    found = {
        f.to: f.kind for f in judge(objects, [oak], days=90, on=CLOSES) if f.what == "acetic acid"
    }
    assert found == {"seal": "answered", "comb": "harm"}
    other = replace(oak, batch="B8")
    found = {f.to: f.kind for f in judge(objects, [other], days=90, on=CLOSES) if f.by == "oak"}
    assert found["seal"] == "harm"


def test_passed_test_says_nothing_about_paper():
    found = judge(
        [CaseObject("map", ("rag paper",))], [CaseMaterial("foam", "B7", PASSED)], days=9, on=CLOSES
    )
    assert "silent" in [f.kind for f in found]


def test_unknown_material_is_never_called_safe():
    found = judge([CaseObject("orb", ("unobtainium",))], [], days=9, on=CLOSES)
    assert [(f.kind, f.by) for f in found] == [("unknown", "unobtainium")]
    assert "not that it is safe" in found[0].sentence


@pytest.mark.parametrize(
    ("material", "band"),
    [
        ("archaeological iron", (0, 20)),
        ("weeping glass", (38, 42)),
        ("panel painting", (45, 55)),
        ("textile", (40, 55)),
        ("parchment", (45, 55)),
        ("photograph", (30, 45)),
        ("cellulose nitrate", (30, 40)),
        ("ceramic with salts", (40, 50)),
        ("bronze with chlorides", (0, 42)),
    ],
)
def test_bands_by_material(material, band):
    """Guidance by material, from memory."""
    assert band_of(CaseObject("thing", (material,))) == Interval(*band)


def test_ceramic_needs_no_band_and_own_band_goes_first():
    assert band_of(CaseObject("pot", ("ceramic",))) is None
    assert band_of(CaseObject("pot", ("wood",), Interval(30, 60))) == Interval(30, 60)


def test_materials_of_one_object_that_disagree_are_refused_with_the_cure():
    with pytest.raises(InvalidCase, match="give its own band"):
        band_of(CaseObject("sword", ("archaeological iron", "wood")))


def test_climates_that_do_not_meet_are_named():
    found = climates([CaseObject("nail", ("archaeological iron",)), CaseObject("chair", ("wood",))])
    assert found.common_percent is None
    (pair,) = found.findings
    assert (pair.by, pair.to) == ("nail", "chair")
    assert "from memory" in pair.sentence


BANDS = st.lists(st.tuples(st.integers(0, 100), st.integers(0, 100)).map(sorted), max_size=6)


@given(BANDS)
def test_common_band_holds_what_every_object_bears(bands):
    objects = [CaseObject(str(n), (), Interval(*band)) for n, band in enumerate(bands)]
    found = climates(objects)
    shared = [rh for rh in range(101) if all(low <= rh <= high for low, high in bands)]
    if not bands:
        assert found.common_percent is None
    elif shared:
        assert found.common_percent == Interval(shared[0], shared[-1])
        assert found.findings == ()
    else:
        assert found.common_percent is None
        apart = {
            (a.id, b.id) for a, b in combinations(objects, 2) if not a.rh_percent.meet(b.rh_percent)
        }
        assert {(f.by, f.to) for f in found.findings} == apart != set()


def test_names_twice_and_too_many_are_refused():
    with pytest.raises(InvalidCase, match="stands twice"):
        harms([CaseObject("a", ()), CaseObject("a", ())], [])
    with pytest.raises(InvalidCase, match="At most 500"):
        harms([CaseObject(str(n), ()) for n in range(501)], [])


@given(st.text(max_size=40))
def test_any_name_is_looked_up_without_complaint(name):
    assert isinstance(families(name), frozenset)


def test_longest_name_wins():
    assert "lead" not in families("lead white")
    assert families("lead-white pigment") == {"lead white"}
