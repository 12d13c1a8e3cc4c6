"""Cells read as values of fields."""

import datetime
from decimal import Decimal

import pytest

from exhibit_core.exchange.fields import FIELDS
from exhibit_core.exchange.readers import CellRefusedError, Reading
from exhibit_core.exchange.sizes import Size


def read(name, cell, unit=""):
    reading = Reading(unit)
    return FIELDS[name].reader(cell, reading), reading.said


def refusal(name, cell, unit=""):
    with pytest.raises(CellRefusedError) as caught:
        read(name, cell, unit)
    return str(caught.value)


@pytest.mark.parametrize(
    ("name", "cell", "value"),
    [
        ("number", " 2001.45.3 ", "2001.45.3"),
        ("number", 2001, "2001"),
        ("title", "A  vane,\nin two lines", "A vane, in two lines"),
        ("title", "'=of gilt copper", "=of gilt copper"),
        ("title", "soft\u00adly\x07 rung", "soft\u00adly rung"),
        ("description", " First.\r\nSecond. ", "First.\nSecond."),
        ("year_from", 1765, 1765),
        ("year_from", "-500", -500),
        ("year_from", 1765.0, 1765),
        ("max_lux", "50", 50),
        ("hazards", "Mercury; lead", ["mercury", "lead"]),
        ("hazards", "Quecksilber, mercury", ["mercury"]),
        ("hazards", "none", []),
        ("stage", "Short list", "short_list"),
        ("stage", "SELECTED", "selected"),
        ("shown_on", "Showcase", "case"),
        ("measured_as", "framed", "framed"),
        ("basis", "Measured", "measured"),
        ("currency", "eur", "EUR"),
        ("currency", "€", "EUR"),
    ],
)
def test_cell_is_read(name, cell, value):
    assert read(name, cell) == (value, [])


@pytest.mark.parametrize(
    ("cell", "unit", "value"),
    [
        (12500.5, "EUR", (Decimal("12500.5"), "EUR")),
        ("12.500,00 €", "", (Decimal("12500.00"), "EUR")),
        ("£1,250", "EUR", (Decimal("1250"), "GBP")),
        ("CHF 1'250.–", "", (Decimal("1250"), "CHF")),
        ("1250", "", (Decimal("1250"), "")),
    ],
)
def test_amount_is_read(cell, unit, value):
    assert read("value", cell, unit) == (value, [])


def test_amount_in_dollars_says_which():
    assert read("value", "$ 1,250.00") == ((Decimal("1250.00"), "USD"), ["“$” is read as USD."])


def test_object_number_stored_as_number_is_said():
    value, said = read("number", 2001.45)
    assert value == "2001.45"
    assert said == ["It is stored as a number: zeros at its end, as in 2001.450, are lost."]


@pytest.mark.parametrize(
    ("name", "cell", "words"),
    [
        ("number", datetime.date(2003, 2, 1), "the spreadsheet took it for a date"),
        ("number", "1.23E+05", "the spreadsheet shortened it"),
        ("number", "9" * 61, "at most 60 characters"),
        ("title", "x" * 301, "at most 300 characters; these are 301"),
        ("year_from", "about 1765", "a whole number from -30000 to 30,000"),
        ("year_from", 1765.5, "a whole number"),
        ("year_from", True, "a whole number"),
        ("max_lux", 0, "a light limit in lux, a whole number from 1 to 200,000"),
        ("max_lux", "NaN", "a whole number"),
        ("value", "a lot", "an amount of money"),
        ("value", -5, "0 or more"),
        ("value", datetime.date(2003, 2, 1), "an amount of money"),
        ("currency", "quid", "ISO 4217"),
        ("hazards", "mercury; goblins", "hazards: one of mercury, radioactive"),
        ("stage", "maybe", "a stage: one of long list, short list, selected, reserve, withdrawn"),
        ("shown_on", "ceiling", "one of wall, showcase, floor"),
        ("measured_as", "part", "one of bare, framed, mounted, crated"),
    ],
)
def test_cell_is_refused_with_what_is_expected(name, cell, words):
    assert words in refusal(name, cell)


def test_date_in_a_text_is_said():
    value, said = read("date_text", datetime.date(1987, 3, 4))
    assert value == "1987-03-04"
    assert said == ["The cell is stored as a date: it is read as written here."]


@pytest.mark.parametrize(
    ("name", "cell", "unit", "value"),
    [
        ("height", 34.5, "cm", 345),
        ("height", "34,5", "cm", 345),
        ("height", "345 mm", "cm", 345),
        ("height", "13 3/4 in", "cm", 349),
        ("height", "ca. 40", "cm", 400),
        ("height", 10, "in", 254),
        ("height", 1, "ft", 305),
        ("weight", 2.5, "kg", 2500),
        ("weight", "2500 g", "kg", 2500),
        ("weight", 1, "lb", 454),
    ],
)
def test_size_in_a_column_of_its_own(name, cell, unit, value):
    """1 in is 25.4 mm and 1 lb 453.59237 g exactly (NIST Special Publication 811, B.8)."""
    assert read(name, cell, unit) == (value, [])


def test_size_of_nought_is_not_known():
    assert read("depth", 0, "cm") == (None, ["0 is read as not known."])


@pytest.mark.parametrize(
    ("name", "cell", "unit", "words"),
    [
        ("height", "tall", "cm", "is not a length, as in"),
        ("height", "40-42", "cm", "is not a length, as in"),
        ("height", 2000, "m", "this is 2,000,000 mm"),
        ("height", datetime.date(2003, 2, 1), "cm", "a length"),
        ("weight", "heavy", "kg", "“heavy” is not a weight, as in"),
        ("size", "2000 x 3000 m", "mm", "a length from 1 to 100,000 mm"),
    ],
)
def test_size_is_refused(name, cell, unit, words):
    assert words in refusal(name, cell, unit)


def sizes(text):
    return [
        (s.state, s.part, s.height_mm, s.width_mm, s.depth_mm, s.diameter_mm, s.mass_g)
        for s in read("size", text, "mm")[0]
    ]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        (
            "support: 762 x 1118 mm\r\nframe: 1105 x 1458 x 145 mm",
            [
                ("", "", 762, 1118, None, None, None),
                ("framed", "", 1105, 1458, 145, None, None),
            ],
        ),
        ("object: 653 x 452 x 75 mm, 1.5 kg", [("", "", 653, 452, 75, None, 1500)]),
        ("object (diameter): 485 mm", [("", "", None, None, None, 485, None)]),
        (
            "Image: 45.2 × 66.1 cm; Plate: 46.1 × 66.9 cm; Sheet: 49.8 × 72.9 cm",
            [
                ("part", "image", 452, 661, None, None, None),
                ("part", "plate", 461, 669, None, None, None),
                ("", "", 498, 729, None, None, None),
            ],
        ),
        (
            "object, each: 2780 x 2120 x 8 mm, 118 kg\r\noverall: 2900 x 2120 x 540 mm, 1298 kg",
            [
                ("part", "object, each", 2780, 2120, 8, None, 118_000),
                ("", "", 2900, 2120, 540, None, 1_298_000),
            ],
        ),
        ("9 frames, each 686 x 762 x 21mm", [("part", "each of 9", 686, 762, 21, None, None)]),
        ("variable", []),
    ],
)
def test_sizes_in_words(text, found):
    """Strings and what they mean: open data of Tate (2014) and the Art Institute of Chicago."""
    assert sizes(text) == found


def test_sizes_of_several_wholes_are_parts():
    value, said = read("size", "object: 620 x 995 mm\nobject: 625 x 1230 mm", "mm")
    assert [size.state for size in value] == ["part", "part"]
    assert said == ["Several sizes are given and none as overall: they are kept as parts."]


def test_size_says_what_it_assumed():
    value, said = read("size", "45 x 30", "cm")
    assert value == [Size("", "", height_mm=450, width_mm=300, source_text="45 x 30")]
    assert said == ["No unit is given: read as cm."]


def test_size_that_is_fixed_by_its_column():
    assert read("size_measured", "40 x 30 cm", "mm")[0][0].basis == "measured"
    assert read("size_framed", "40 x 30 cm", "mm")[0][0].state == "framed"
