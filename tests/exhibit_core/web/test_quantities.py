"""The inch and the pound: NIST Special Publication 811, appendix B (exact factors, from memory)."""

import contextlib

import pytest
from django.core.exceptions import ValidationError
from hypothesis import given
from hypothesis import strategies as st

from exhibit_core.web.fields import LengthField, WeightField
from exhibit_core.web.quantities import QuantityError, read_grams, read_mm


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("3600", 3600),
        ("36 m", 36_000),
        ("36m", 36_000),
        ("36 000", 36_000),
        ("36\u202f000 mm", 36_000),
        ("1,5 m", 1500),
        ("3.6 metres", 3600),
        ("11 ft 6 in", 3505),
        ("11' 6\"", 3505),
        ("11′ 6½″", 3518),
        ("3 1/2 in", 89),
        ("3½ inches", 89),
        ("1/2 in.", 13),
        ("6 feet", 1829),
        ("0", 0),
        ("2 m 40 cm", 2400),
    ],
)
def test_read_mm_of_what_people_type(text, mm):
    assert read_mm(text) == mm


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("wide", "“wide” is not a length, as in 3600 mm"),
        ("-5", "is not a length"),
        ("3,600", "“3,600” may mean 3600 mm: write it without the mark"),
        ("3.600 mm", "may mean 3600 mm"),
        ("11 ft 6", "gives a number without its unit"),
        ("5 kg", "“kg” is no unit here: use one of mm, cm, m, in, ft"),
        ("5 1/0 in", "divides by nothing"),
        ("1" * 41, "is not a length"),
        ("٣٦", "is not a length"),
        ("1e9", "is no unit here|is not a length"),
    ],
)
def test_read_mm_refuses(text, said):
    with pytest.raises(QuantityError, match=said):
        read_mm(text)


@pytest.mark.parametrize(
    ("text", "grams"), [("2.5", 2500), ("800 g", 800), ("1 lb", 454), ("2 lb 3 oz", 992)]
)
def test_read_grams(text, grams):
    assert read_grams(text) == grams


@given(st.text(max_size=50))
def test_read_mm_refuses_with_a_sentence_or_reads(text):
    with contextlib.suppress(QuantityError):
        assert read_mm(text) >= 0


@given(st.integers(0, 500_000), st.sampled_from(["mm", "cm", "m"]))
def test_length_field_shows_what_it_reads(mm, unit):
    field = LengthField(unit=unit)
    assert field.clean(field.prepare_value(mm)) == mm


def test_length_field_limits():
    field = LengthField(unit="m", least=100, most=500_000)
    assert field.clean("36") == 36_000
    with pytest.raises(ValidationError, match="600000 mm is over 500000 mm: check the unit"):
        field.clean("600")
    with pytest.raises(ValidationError, match="50 mm is too little: give 100 or more"):
        field.clean("5 cm")


@pytest.mark.parametrize("text", ["", "  "])
def test_length_field_empty(text):
    assert LengthField(required=False).clean(text) is None
    with pytest.raises(ValidationError, match="This field is required"):
        LengthField().clean(text)


def test_weight_field_in_kilograms():
    assert WeightField().clean("4,2") == 4200
    assert WeightField().prepare_value(4200) == "4.2"
