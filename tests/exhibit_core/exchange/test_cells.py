"""Addresses and words of cells."""

import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl.utils import column_index_from_string, get_column_letter

from exhibit_core.exchange.reading.cells import Unreadable, address, column_of, letter, text_of


@given(st.integers(0, 16_383))
def test_letter_agrees_with_openpyxl(column):
    assert letter(column) == get_column_letter(column + 1)
    assert column_of(letter(column)) == column == column_index_from_string(letter(column)) - 1


def test_address_of_a_cell():
    assert address(5, 17) == "F17"


@pytest.mark.parametrize(
    ("cell", "text"),
    [
        (None, ""),
        ("2001.450", "2001.450"),
        (2001, "2001"),
        (2001.45, "2001.45"),
        (0.1 + 0.2, "0.3"),
        (12.300000000000001, "12.3"),
        (True, "TRUE"),
        (datetime.date(1987, 3, 4), "1987-03-04"),
        (datetime.datetime.fromisoformat("1987-03-04 13:05"), "1987-03-04 13:05"),
        (Unreadable("#N/A", "an error"), "#N/A"),
    ],
)
def test_text_of_cell(cell, text):
    assert text_of(cell) == text
