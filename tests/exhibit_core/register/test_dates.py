"""Dates as written. EDTF forms after the examples of the Library of Congress's EDTF specification
(ISO 8601-2:2019); centuries and “about” are common practice, no source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhibit_core.register.dates import years


@pytest.mark.parametrize(
    ("text", "earliest", "latest"),
    [
        ("1888", 1888, 1888),
        ("1856–1861", 1856, 1861),
        ("1856-61", 1856, 1861),
        ("1898/1902", 1898, 1902),
        ("1880s", 1880, 1889),
        ("late 1700s", 1766, 1799),
        ("18th century", 1701, 1800),
        ("early 19th century", 1801, 1833),
        ("before 1700", None, 1699),
        ("after 1900", 1901, None),
        ("1742 (restored 1810)", 1742, 1742),
        ("about 1765", 1760, 1770),
        ("c. 1890", 1885, 1895),
        ("March 1871", 1871, 1871),
        ("1984?", 1984, 1984),
        ("18XX", 1800, 1899),
        ("156X", 1560, 1569),
        ("1888~/1889", 1883, 1894),
        ("1985-04-12", 1985, 1985),
        ("n.d.", None, None),
    ],
)
def test_years_reads(text, earliest, latest):
    found = years(text)
    assert (found.earliest, found.latest) == (earliest, latest)


@pytest.mark.parametrize("text", ["the year of the comet", "1890–1880", "9999"])
def test_years_unreadable_is_said(text):
    found = years(text)
    assert (found.earliest, found.latest) == (None, None)
    assert found.warning != ""


def test_years_about_is_said():
    assert years("ca. 1900").warning == "“About” is read as 5 years either way."


@given(st.text(max_size=80))
def test_years_never_raises_and_keeps_order(text):
    found = years(text)
    if found.earliest is not None and found.latest is not None:
        assert found.earliest <= found.latest
