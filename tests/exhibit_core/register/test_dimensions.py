"""Sizes as written, against records of open collection data.

T: Tate open collection data (CC0); A: Art Institute of Chicago open data; M: Minneapolis Institute
of Art open data; each with its record number. Values in mm and g.
"""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhibit_core.register.dimensions import LONGEST_TEXT, parse

SIZES = ("height_mm", "width_mm", "depth_mm")


def sizes(text):
    return [
        tuple(size for name in SIZES if (size := getattr(element, name)) is not None)
        for element in parse(text)
    ]


@pytest.mark.parametrize(
    ("record", "text", "expected"),
    [
        ("T A00001", "support: 394 x 419 mm", [(394, 419)]),
        (
            "T N01506",
            "support: 762 x 1118 mm\r\nframe: 1105 x 1458 x 145 mm",
            [(762, 1118), (1105, 1458, 145)],
        ),
        (
            "T N00530",
            "support: 914 x 1219 mm\r\nframe: 1233 x 1535 x 145 mm",
            [(914, 1219), (1233, 1535, 145)],
        ),
        ("T T07557", "2289 x 2235 x 35", [(2289, 2235, 35)]),
        ("T T07765", "displayed:600x605x35mm\r\nweight:2kg", [(600, 605, 35)]),
        ("T T03510", "object: 197 x 180x 146 mm", [(197, 180, 146)]),
        (
            "T P07656",
            "image: 255 x 200 mm\r\nsupport: 383 x 270mm",
            [(255, 200), (383, 270)],
        ),
        ("T P13155", "support & image: 254 x 303 mm", [(254, 303)]),
        (
            "T N05566",
            "support: 267 x 267 mm\r\nframe, circular: 433 x 426 x 42 mm",
            [(267, 267), (433, 426, 42)],
        ),
        ("T T11845", 'support: 3810 x 7014 mm (150" x 276 1/8")', [(3810, 7014)]),
        (
            "T N01836",
            "support: 152 mm x 190 mm \r\nframe: 254 x 297 x 68 mm",
            [(152, 190), (254, 297, 68)],
        ),
        (
            "T T07735",
            "support: 1068 x 1220 mm, 4 mm\r\nframe: 1235 x 1389 x 66 mm",
            [(1068, 1220, 4), (1235, 1389, 66)],
        ),
        (
            "T T07506",
            "Support:  ea.316 x 473 mm\r\nFrame: ea. 457 x 705 x 32 mm",
            [(316, 473), (457, 705, 32)],
        ),
        (
            "T AR00112",
            "support (upper): 238 x 336 mm\r\nsupport (centre): 238 x 338 mm\r\n"
            "support (lower): 238 x 337 mm",
            [(238, 336), (238, 338), (238, 337)],
        ),
        (
            "T P07231",
            "image: 406 x 508 mm\r\n\r\nframe: 9 frames, each 686 x 762 x 21mm",
            [(406, 508), (686, 762, 21)],
        ),
        (
            "T N04516",
            "object: 406 x 89 x 83 mm\r\nPermanently attached to MDF(paintable) plinth base "
            "15x210x255 mm",
            [(406, 89, 83), (15, 210, 255)],
        ),
        ("T T13341", "confirmed: 835 x 1338 x 22 mm", [(835, 1338, 22)]),
        ("A 1887.232", "184.2 × 148.9 cm (72 1/2 × 58 1/2 in.)", [(1842, 1489)]),
        (
            "A 1887.252",
            "Image: 45.2 × 66.1 cm (17 13/16 × 26 1/16 in.); Plate: 46.1 × 66.9 cm "
            "(18 3/16 × 26 3/8 in.); Sheet: 49.8 × 72.9 cm (19 5/8 × 28 3/4 in.)",
            [(452, 661), (461, 669), (498, 729)],
        ),
        (
            "M 2000.71",
            "25 1/2 x 17 1/2 x 13 3/8 in. (64.77 x 44.45 x 33.97 cm)",
            [(648, 445, 340)],
        ),
        ("M 16.675", "9 5/8 x 39 3/16 in. (24.4 x 99.5 cm)", [(244, 995)]),
        ("M 13.52", "4 x 6 7/8 in. (10.16 x 17.46 cm)", [(102, 175)]),
        ("A 1880.1", "47.2 × 34.5 cm (18 5/8 × 13 5/8 in.)", [(472, 345)]),
    ],
)
def test_parse_sizes_of_open_records(record, text, expected):
    assert sizes(text) == expected, record


@pytest.mark.parametrize(
    ("record", "text", "mass", "gross", "cased"),
    [
        ("T AR00582", "object: 653 x 452 x 75 mm, 1.5 kg", 1500, None, None),
        ("T N02739", "object: 886 x 483 x 286 mm, 118.5 kg", 118_500, None, None),
        ("T N06226", "object: 1918 x 533 x 464 mm, 98kg (Gross 209kg)", 98_000, 209_000, None),
        ("T N01757", "object: 533 x 483 x 254 mm. Weight 34kg (approx)", 34_000, None, None),
        (
            "T AR00034",
            "displayed: 2850 x 1619 x 1080 mm\r\nweight: 1311 Kilograms",
            1_311_000,
            None,
            None,
        ),
        (
            "T T01987",
            "object: 1384 x 2235 x 838 mm\r\nWeight: 125kg\r\nCased weight: 415kg",
            125_000,
            None,
            415_000,
        ),
        (
            "T T07780",
            "object:916 x 694 x 300\r\nweight:approx. 75kg (124kg cased)",
            75_000,
            None,
            124_000,
        ),
        ("T AR00703", "displayed: 7200 x 3420 mm\r\ndisplayed: 4237kg", 4_237_000, None, None),
    ],
)
def test_parse_weights_of_open_records(record, text, mass, gross, cased):
    found = parse(text)
    assert len(found) == 1, record
    assert (found[0].mass_g, found[0].gross_g, found[0].cased_g) == (mass, gross, cased)


@pytest.mark.parametrize(
    ("text", "height", "width", "depth", "diameter", "length"),
    [
        ("diam. 120 mm", None, None, None, 120, None),
        ("Ø 12 cm", None, None, None, 120, None),
        ("H 40 W 30 cm", 400, 300, None, None, None),
        ("40 h x 30 w x 5 d cm", 400, 300, 50, None, None),
        ("height 40 cm, width 30 cm", 400, 300, None, None, None),
        ("34.9 × 25.4 × 5.1 cm (13 3/4 x 10 x 2 in.)", 349, 254, 51, None, None),
        ("6' 2\" x 3 ft 1 in", 1880, 940, None, None, None),
        ("12,5 x 8,3 cm", 125, 83, None, None, None),
        ("1,200 x 900 mm", 1200, 900, None, None, None),
        ("13½ x 10 in", 343, 254, None, None, None),
        ("5 in. diam., 2 in. deep", None, None, 51, 127, None),
        ("17060 mm long and 60 mm in diameter", None, None, None, 60, 17060),
        ("object (diameter): 485 mm", None, None, None, 485, None),
        ("support, circular: 224 x 224 mm", None, None, None, 224, None),
    ],
)
def test_parse_named_sides(text, height, width, depth, diameter, length):
    (found,) = parse(text)
    assert (
        found.height_mm,
        found.width_mm,
        found.depth_mm,
        found.diameter_mm,
        found.length_mm,
    ) == (height, width, depth, diameter, length)


@pytest.mark.parametrize(
    ("text", "warning"),
    [
        ("2289 x 2235 x 35", "No unit is given: read as mm."),
        ("unconfirmed: 2hours, 26min", "“2hours, 26min” is a duration, not a size."),
        ("variable", "The size is said to be variable."),
        (
            "40 x 30 cm (20 x 12 in.)",
            "400 mm and 508 mm disagree; the metric one is used.",
        ),
        (
            "displayed: 2065 x 3460 x 310 mm, cases weigh 67kg/225kg/220kg.",
            "The weights given are those of cases, not of the object.",
        ),
        (
            "displayed: 300 x 300 mm, Diameter 3000mm",
            "A diameter stands beside height and width: check which is meant.",
        ),
        ("10 x 20 x 30 x 40 mm", "“40” was not read: there are three sizes already."),
        ("rolled up", "No size or weight could be read in “rolled up”."),
        ("120 mm", "Only one size is given, 120 mm: read as the height."),
    ],
)
def test_parse_says_what_it_assumed(text, warning):
    assert warning in parse(text)[-1].warnings


def test_parse_agreeing_inches_are_no_warning():
    assert parse("184.2 × 148.9 cm (72 1/2 × 58 1/2 in.)")[0].warnings == ()


def test_parse_counts_and_qualifiers():
    (found,) = parse("in twelve parts, each: 500 x 600 x 4 mm, 3 kg, overall size variable")
    assert (found.count, found.qualifiers) == (12, ("each", "overall", "variable"))


def test_parse_default_unit():
    (found,) = parse("40 x 30", default_unit="cm")
    assert (found.height_mm, found.warnings) == (400, ("No unit is given: read as cm.",))


@given(st.text(max_size=300))
def test_parse_never_raises(text):
    for element in parse(text):
        assert isinstance(element.warnings, tuple)


@given(st.lists(st.integers(1, 9_999), min_size=2, max_size=3))
def test_parse_plain_sizes_round_trip(numbers):
    (found,) = parse(" x ".join(map(str, numbers)) + " mm")
    assert [getattr(found, name) for name in SIZES[: len(numbers)]] == numbers


@pytest.mark.parametrize("hostile", ["1 x " * 25_000, "(" * 100_000, "9" * 100_000, "1/" * 50_000])
def test_parse_hostile_text_is_read_no_further_than_any_real_one(hostile):
    found, cut = parse(hostile), parse(hostile[:LONGEST_TEXT])
    assert [replace(e, warnings=()) for e in found] == [replace(e, warnings=()) for e in cut]
    assert not found or found[-1].warnings[-1].startswith(f"Only the first {LONGEST_TEXT} ")
