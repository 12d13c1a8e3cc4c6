"""Object numbers in natural order; no database."""

import re
import sqlite3

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from exhibit_core.register.numbers import KEY_LENGTH, natural_key, normal_number

# Patterns of numbers as open collection data of Tate, the Art Institute of Chicago, the Minneapolis
# Institute of Art, Cooper Hewitt and the Carnegie Museum of Art write them (all CC0); the order is
# common practice, no source.
IN_ORDER = [
    "1887.232",
    "1887.252",
    "1901-39-3331",
    "10.3",
    "16.675",
    "1990.2.9",
    "96.1",
    "96.1.2",
    "2000.28",
    "2001.45.3",
    "2001.45.3A-B",
    "2001.45.10",
    "2013.29.1",
    "2013.29.1A",
    "2013.29.1A-B",
    "2013.37.1-.102",
    "A9",
    "A00010",
    "A00100",
    "AR00112",
    "B1",
    "N01506",
]


@given(st.permutations(IN_ORDER))
def test_natural_key_sorts_numbers_of_real_collections(shuffled):
    assert sorted(shuffled, key=natural_key) == IN_ORDER


def test_natural_key_sorts_alike_in_a_database():
    rows = [(number, natural_key(number)) for number in sorted(IN_ORDER)]
    database = sqlite3.connect(":memory:")
    database.execute("CREATE TABLE objects (number TEXT, key TEXT)")
    database.executemany("INSERT INTO objects VALUES (?, ?)", rows)
    found = database.execute("SELECT number FROM objects ORDER BY key COLLATE NOCASE").fetchall()
    database.close()
    assert [number for (number,) in found] == IN_ORDER


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("2013.29.1A-B", " 2013.29.1a-b "),
        ("96.1", "1996.1"),
        ("EX 12", "ex12"),
        ("A00001", "a1"),
        ("2001.45.3", "2001-45-3"),
        ("1901-39-3331", "1901-39-3331   "),
        ("Nº 7", "nº7"),
    ],
)
def test_natural_key_is_blind_to_case_spaces_and_zeros(one, other):
    assert natural_key(one) == natural_key(other)


@pytest.mark.parametrize("number", ["96", "96-1", "9.5", "100.5", "96.A"])
def test_natural_key_reads_two_digits_as_year_only_before_point_and_digit(number):
    assert not natural_key(number).startswith("4199")


def test_natural_key_keeps_groups_of_figures_apart():
    assert natural_key("12 3") != natural_key("123")


@given(st.integers(0, 10**12), st.integers(0, 10**12))
def test_natural_key_orders_figures_by_value(one, other):
    assert (natural_key(f"L {one}") < natural_key(f"L {other}")) == (one < other)


@given(st.lists(st.integers(0, 99_999), min_size=1, max_size=5), st.integers(0, 99_999))
def test_natural_key_puts_the_whole_before_its_parts(groups, part):
    whole = ".".join(["2001", *map(str, groups)])
    assert natural_key(whole) < natural_key(f"{whole}.{part}")


@given(st.text(max_size=60))
@example("1a" * 30)
@example("Ж" * 60)
@example("9" * 60)
def test_natural_key_holds_figures_and_small_letters_only(number):
    assert re.fullmatch(rf"[0-9a-z]{{0,{KEY_LENGTH}}}", natural_key(number))


@given(st.text(alphabet="0123456789abcXYZ.-/ ", max_size=60))
def test_natural_key_of_a_normal_number_is_that_of_the_number(number):
    assert natural_key(normal_number(number)) == natural_key(number)


@pytest.mark.parametrize(
    ("text", "normal"),
    [
        ("  2001.45.3 ", "2001.45.3"),
        ("EX\u00a0\t 12", "EX 12"),
        ("\ufeff96.1\u200b", "96.1"),
        ("A\x00 1\n", "A 1"),
    ],
)
def test_normal_number_trims_and_drops_what_is_not_seen(text, normal):
    assert normal_number(text) == normal


@given(st.text())
def test_normal_number_twice_changes_nothing(text):
    assert normal_number(normal_number(text)) == normal_number(text)
