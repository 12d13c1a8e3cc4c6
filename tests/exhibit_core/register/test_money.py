"""Amounts and ISO 4217 currencies; no database."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhibit_core.register.money import MINOR_UNITS, MoneyError, check_amount, read_amount, show


@pytest.mark.parametrize(
    # ISO 4217 list one, from memory.
    ("currency", "minor_units"),
    [
        ("EUR", 2),
        ("GBP", 2),
        ("CHF", 2),
        ("JPY", 0),
        ("KRW", 0),
        ("ISK", 0),
        ("KWD", 3),
        ("TND", 3),
    ],
)
def test_minor_units_are_those_of_the_standard(currency, minor_units):
    assert MINOR_UNITS[currency] == minor_units


@pytest.mark.parametrize(
    ("amount", "currency"),
    [("12500", "EUR"), ("12500.50", "EUR"), ("1.234", "KWD"), ("1200.0000", "JPY"), ("0", "GBP")],
)
def test_amount_the_currency_can_pay_is_taken(amount, currency):
    assert check_amount(Decimal(amount), currency) is None


@pytest.mark.parametrize(
    ("amount", "currency", "sentence"),
    [
        (
            "1234.5",
            "JPY",
            "1234.5 JPY has decimals, but JPY has no smaller unit: "
            "give a whole amount, as in 1234.",
        ),
        ("1.0050", "EUR", "1.0050 EUR has 3 decimals, but EUR has 2: round it, as in 1.00."),
        ("1.2345", "KWD", "1.2345 KWD has 4 decimals, but KWD has 3: round it, as in 1.234."),
        ("-1", "EUR", "-1 is not an amount: give a number of 0 or more."),
        ("NaN", "EUR", "NaN is not an amount: give a number of 0 or more."),
        ("5", "", "The amount has no currency: give its ISO 4217 code, as in EUR."),
        ("5", "eur", "Write the currency “eur” as EUR."),
        ("5", "XXX", "“XXX” is no currency in use: give its ISO 4217 code, as in EUR."),
        ("5", "XTS", "“XTS” is no currency in use: give its ISO 4217 code, as in EUR."),
        ("5", "DEM", "“DEM” is no currency in use: give its ISO 4217 code, as in EUR."),
    ],
)
def test_amount_the_currency_cannot_pay_is_refused(amount, currency, sentence):
    with pytest.raises(MoneyError) as refusal:
        check_amount(Decimal(amount), currency)
    assert str(refusal.value) == sentence


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("12500", "12500"),
        ("12,500.00", "12500.00"),
        ("12.500,00", "12500.00"),
        ("1 200", "1200"),
        ("1\u202f200\u00a0000,50", "1200000.50"),
        ("1'200.50", "1200.50"),
        ("12,34,567.00", "1234567.00"),
        ("1,200,000", "1200000"),
        ("1,5", "1.5"),
        ("0.125", "0.125"),
        ("1234.567", "1234.567"),
        ("£1,200", "1200"),
        ("EUR 1.200", "1200"),
        ("5 000 EUR", "5000"),
        ("US$ 5,000", "5000"),
        ("CHF 12'500.–", "12500"),
        ("12,500.-", "12500"),
    ],
)
def test_amount_is_read_as_spreadsheets_write_it(text, amount):
    assert read_amount(text) == Decimal(amount)


@pytest.mark.parametrize("text", ["1,234", "1.234", "KWD 1.234"])
def test_amount_with_one_mark_before_three_figures_is_refused_as_unclear(text):
    with pytest.raises(MoneyError) as refusal:
        read_amount(text)
    assert str(refusal.value) == (f"“{text}” may mean 1234 or 1.234: write 1234.00 or 1.2340.")


def test_amount_with_one_mark_is_clear_once_the_currency_is_known():
    assert read_amount("1.234", currency="EUR") == Decimal(1234)


@pytest.mark.parametrize(
    "text",
    ["", "on request", "-5", "(1,200)", "1.2m", "12 k", "1e5", "1..2", "12 34", "٣", "5 XXX"],
)
def test_text_that_is_no_amount_is_refused(text):
    with pytest.raises(MoneyError) as refusal:
        read_amount(text)
    assert str(refusal.value) == (
        f"“{text}” is not an amount: write figures and at most a currency code, as in 12500.00."
    )


def test_amount_grouped_unevenly_is_refused():
    with pytest.raises(MoneyError, match="groups its figures unevenly: write 12500"):
        read_amount("1,234,56")


@pytest.mark.parametrize(
    # Thousands apart by thin spaces, never by points or commas: ISO 80000-1 (from memory).
    ("amount", "currency", "words"),
    [
        ("12500", "EUR", "12\u202f500.00\u00a0EUR"),
        ("1200.0000", "JPY", "1\u202f200\u00a0JPY"),
        ("1.5", "KWD", "1.500\u00a0KWD"),
        ("950", "", "950.00"),
    ],
)
def test_show_writes_the_minor_units_of_the_currency(amount, currency, words):
    assert show(Decimal(amount), currency) == words


@given(
    st.sampled_from(sorted(code for code, digits in MINOR_UNITS.items() if digits < 3)),
    st.integers(0, 10**14),
)
def test_amount_shown_is_read_back(currency, smallest_units):
    amount = Decimal(smallest_units).scaleb(-MINOR_UNITS[currency])
    assert read_amount(show(amount, currency)) == amount


@given(st.text(max_size=60) | st.from_regex(r"[A-Z£]{0,3} ?[0-9., ']{1,12}", fullmatch=True))
def test_any_text_is_an_amount_or_refused(text):
    try:
        amount = read_amount(text)
    except MoneyError:
        return
    assert amount >= 0
