"""Amounts of money: ISO 4217 currencies, and reading and writing amounts."""

import re
from collections.abc import Mapping
from decimal import Decimal
from types import MappingProxyType

_BY_MINOR_UNITS = {
    0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF",
    2: (
        "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BMD BND BOB BRL BSD BTN BWP BYN BZD CAD "
        "CDF CHF CNY COP CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD "
        "GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL "
        "MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN "
        "PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP "
        "SZL THB TJS TMT TOP TRY TTD TWD TZS UAH USD UYU UZS VED VES WST XCD XCG YER ZAR ZMW ZWG"
    ),
    3: "BHD IQD JOD KWD LYD OMR TND",
}
# ISO 4217:2015, list one as amended to the start of 2026 (from memory): money in use. Fund codes,
# units of account, metals, XTS and XXX are left out, since no value can be stated in them.
MINOR_UNITS: Mapping[str, int] = MappingProxyType(
    {code: digits for digits, codes in _BY_MINOR_UNITS.items() for code in codes.split()}
)

_SYMBOLS = {"€": "EUR", "£": "GBP", "$": "USD", "¥": "JPY", "₩": "KRW", "₹": "INR", "Fr.": "CHF"}
_MARK = r"(?:[A-Z]{3}|Fr\.|[A-Z]{0,3}[€£$¥₩₹])"
_WRITTEN = re.compile(rf"(?P<before>{_MARK})?\s*(?P<figures>[0-9.,'’ ]+?)\s*(?P<after>{_MARK})?")
_NO_CENTS = re.compile(r"[.,]\s*[-–—]+$")
_LONGEST = 40
_NOT_AN_AMOUNT = "“{}” is not an amount: write figures and at most a currency code, as in 12500.00."


class MoneyError(ValueError):
    """An amount or currency that cannot be taken; its text says why and what to write instead."""


def check_amount(amount: Decimal, currency: str) -> None:
    """Raise MoneyError unless the amount can be paid in the currency."""
    digits = _minor_units(currency)
    if not amount.is_finite() or amount < 0:
        raise MoneyError(f"{amount} is not an amount: give a number of 0 or more.")
    if _decimals(amount) <= digits:
        return
    example = f"{amount:.{digits}f}"
    if digits == 0:
        raise MoneyError(
            f"{amount:f} {currency} has decimals, but {currency} has no smaller unit: "
            f"give a whole amount, as in {example}."
        )
    raise MoneyError(
        f"{amount:f} {currency} has {_decimals(amount)} decimals, but {currency} has {digits}: "
        f"round it, as in {example}."
    )


def read_amount(text: str, *, currency: str = "") -> Decimal:
    """Read an amount as written in a spreadsheet; raise MoneyError where it is unclear.

    A point or comma before exactly three digits may group thousands or lead decimals. A currency
    with fewer than three decimals, named beside the figures or given, settles that; else it is
    refused.
    """
    cleaned = " ".join(text.split())
    plain = _NO_CENTS.sub("", cleaned)
    match = _WRITTEN.fullmatch(plain) if len(cleaned) <= _LONGEST else None
    code = _code_of(match["before"] or match["after"] or "") or currency if match else ""
    if not match or (code and code not in MINOR_UNITS):
        raise MoneyError(_NOT_AN_AMOUNT.format(cleaned[:_LONGEST]))
    minor_units = MINOR_UNITS.get(code, 3) if plain == cleaned else 0
    whole, decimals = _split(match["figures"], cleaned, minor_units)
    return Decimal(f"{whole}.{decimals}" if decimals else whole)


def show(amount: Decimal, currency: str) -> str:
    """Return the amount with its currency, thousands apart by narrow no-break spaces."""
    whole, point, decimals = plain(amount, currency).partition(".")
    figures = f"{int(whole):,}".replace(",", "\u202f") + point + decimals
    return f"{figures}\u00a0{currency}" if currency else figures


def plain(amount: Decimal, currency: str) -> str:
    """Return the amount as one types it into a field, with the decimals of its currency."""
    return f"{amount:.{max(MINOR_UNITS.get(currency, 2), _decimals(amount))}f}"


def _minor_units(currency: str) -> int:
    if not currency:
        raise MoneyError("The amount has no currency: give its ISO 4217 code, as in EUR.")
    if currency in MINOR_UNITS:
        return MINOR_UNITS[currency]
    if currency.strip().upper() in MINOR_UNITS:
        raise MoneyError(f"Write the currency “{currency}” as {currency.strip().upper()}.")
    raise MoneyError(f"“{currency}” is no currency in use: give its ISO 4217 code, as in EUR.")


def _decimals(amount: Decimal) -> int:
    return max(0, -int(amount.normalize().as_tuple().exponent))


def _code_of(mark: str) -> str:
    return _SYMBOLS.get(mark) or _SYMBOLS.get(mark[-1:], mark)


def _split(figures: str, written: str, minor_units: int) -> tuple[str, str]:
    """Return whole part and decimals, as digits."""
    close = re.sub(r"(?<=\d)[\s'’](?=\d{3}(?!\d))", "", figures)
    marks = re.findall(r"\D+", close)
    if not set(marks) <= {".", ","} or not close[0].isdecimal() or not close[-1].isdecimal():
        raise MoneyError(_NOT_AN_AMOUNT.format(written))
    whole, _, last = close.rpartition(marks[-1]) if marks else (close, "", "")
    if not marks:
        return close, ""
    if marks.count(marks[-1]) > 1:
        whole, last = close, ""
    elif len(marks) == 1 and close == figures and _may_group(whole, last):
        if minor_units >= 3:
            raise MoneyError(
                f"“{written}” may mean {whole}{last} or {whole}.{last}: "
                f"write {whole}{last}.00 or {whole}.{last}0."
            )
        whole, last = close, ""
    if not re.fullmatch(r"\d+|\d{1,3}(,\d{2,3})*,\d{3}|\d{1,3}(\.\d{2,3})*\.\d{3}", whole):
        raise MoneyError(f"“{written}” groups its figures unevenly: write 12500.00.")
    return re.sub(r"\D", "", whole), last


def _may_group(whole: str, last: str) -> bool:
    return len(last) == 3 and 1 <= len(whole) <= 3 and not whole.startswith("0")
