"""Years read from dates as written; no database."""

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhibit_core.register.dates import Years, years

ABOUT = "“About” is read as 5 years to either side."
UNSURE = "The date is marked as uncertain."
NO_START = "No earliest year is stated."
NO_END = "No latest year is stated."


def bounds(text: str) -> tuple[int | None, int | None]:
    found = years(text)
    return found.earliest, found.latest


@pytest.mark.parametrize(
    # Library of Congress, EDTF specification (2019), its own examples for levels 0 to 2; what
    # each expression means is told there. Five years for "approximate" are common practice.
    ("expression", "earliest", "latest"),
    [
        ("1985-04-12", 1985, 1985),
        ("1985-04", 1985, 1985),
        ("1985", 1985, 1985),
        ("1985-04-12T23:20:30Z", 1985, 1985),
        ("1964/2008", 1964, 2008),
        ("2004-06/2006-08", 2004, 2006),
        ("2004-02-01/2005-02-08", 2004, 2005),
        ("2004-02-01/2005", 2004, 2005),
        ("1984?", 1984, 1984),
        ("1984~", 1979, 1989),
        ("1984%", 1979, 1989),
        ("201X", 2010, 2019),
        ("20XX", 2000, 2099),
        ("2004-XX", 2004, 2004),
        ("1985-XX-XX", 1985, 1985),
        ("156X-12-25", 1560, 1569),
        ("1XXX-12", 1000, 1999),
        ("1985/..", 1985, None),
        ("../1985", None, 1985),
        ("/1985", None, 1985),
        ("1985/", 1985, None),
        ("-1985", -1986, -1986),
        ("1950S2", 1900, 1999),
        ("[1667,1668,1670..1672]", 1667, 1672),
        ("[..1760-12-03]", None, 1760),
        ("{1667,1668,1670..1672}", 1667, 1672),
        ("{1960,1961-12}", 1960, 1961),
        ("1984~/2004-06", 1979, 2009),
        ("1984-06-02?/2004-08-08~", 1984, 2004),
        ("2004?-06-11", 2004, 2004),
    ],
)
def test_edtf_expression_gives_its_years(expression, earliest, latest):
    assert bounds(expression) == (earliest, latest)


@pytest.mark.parametrize(
    # How catalogues write dates: common practice, no source.
    ("text", "expected"),
    [
        ("1888", Years(1888, 1888)),
        ("dated 1888", Years(1888, 1888)),
        ("(1742)", Years(1742, 1742)),
        ("12 May 1934", Years(1934, 1934)),
        ("12.5.1934", Years(1934, 1934)),
        ("c. 1890", Years(1885, 1895, ABOUT)),
        ("ca.1890", Years(1885, 1895, ABOUT)),
        ("[c1890]", Years(1885, 1895, ABOUT)),
        ("about 1890", Years(1885, 1895, ABOUT)),
        ("c. 1510–15", Years(1505, 1520, ABOUT)),
        ("1510 to c. 1515", Years(1510, 1520, ABOUT)),
        ("1880s", Years(1880, 1889)),
        ("1920s–30s", Years(1920, 1939)),
        ("mid-1920s", Years(1923, 1925)),
        ("late 1700s", Years(1766, 1799, "1700s is read as 1700 to 1799.")),
        ("18th century", Years(1700, 1799)),
        ("early 19th century", Years(1800, 1832)),
        ("second half of the 18th c.", Years(1750, 1799)),
        ("last quarter of the 19th century", Years(1875, 1899)),
        ("17th–18th century", Years(1600, 1799)),
        ("late 18th–early 19th century", Years(1766, 1832)),
        ("19. Jh.", Years(1800, 1899)),
        ("XVIIIe siècle", Years(1700, 1799)),
        ("1856–1861", Years(1856, 1861)),
        ("1856-61", Years(1856, 1861)),
        ("1856–9", Years(1856, 1859)),
        ("1856-05", Years(1856, 1856)),
        ("between 1850 and 1860", Years(1850, 1860)),
        ("1861-1856", Years(1856, 1861, "The later year stands first.")),
        ("before 1700", Years(None, 1700, NO_START)),
        ("after 1900", Years(1900, None, NO_END)),
        ("not before 1710", Years(1710, None, NO_END)),
        ("1850–", Years(1850, None, NO_END)),
        ("18XX", Years(1800, 1899)),
        ("18--", Years(1800, 1899)),
        ("1888~/1889", Years(1883, 1894, ABOUT)),
        ("1984 (?)", Years(1984, 1984, UNSURE)),
        ("probably 1850s", Years(1850, 1859, UNSURE)),
        ("1742 (restored 1810)", Years(1742, 1742, "“(restored 1810)” is left out of the years.")),
        ("1888, oak", Years(1888, 1888, "“oak” is left out of the years.")),
        ("AD 79", Years(79, 79)),
        ("500–450 BC", Years(-500, -450)),
        ("100 BC–AD 50", Years(-100, 50)),
        ("5th century BC", Years(-499, -400)),
        (
            "1901-03",
            Years(1901, 1903, "Its second figure is read as the year 1903, not as a month."),
        ),
        ("n.d.", Years(None, None, "The date says that no date is known.")),
        ("", Years(None, None)),
        ("Ming", Years(None, None, "“Ming” cannot be read as years: give them as figures.")),
        ("12,345", Years(None, None, "“12,345” cannot be read as years: give them as figures.")),
    ],
)
def test_written_date_gives_years_and_says_what_it_assumed(text, expected):
    assert years(text) == expected


@given(st.integers(1000, 2099), st.integers(1000, 2099))
def test_two_years_are_both_bounds_in_order(one, other):
    assert bounds(f"{one} to {other}") == (min(one, other), max(one, other))


@given(st.text(alphabet=st.sampled_from("0123456789 -/–.~?%xcs'[](){},adbethrly"), max_size=60))
def test_any_text_gives_bounds_in_order(text):
    earliest, latest = bounds(text)
    assert earliest is None or latest is None or earliest <= latest


@given(st.text())
def test_any_text_without_years_says_so(text):
    found = years(text)
    assert (found.earliest, found.latest) != (None, None) or bool(found.warning) == bool(
        text.split()
    )


@pytest.mark.parametrize("unit", ["1", "-", "1888-", "(", "c. ", "xx", "18th "])
def test_long_hostile_text_is_read_fast(unit):
    started = time.process_time()
    years(unit * (100_000 // len(unit)))
    assert time.process_time() - started < 1
