"""Single cells of an export: is it a date, a time of day, a number, and what does it say."""

from __future__ import annotations

import csv
import math
import re
import unicodedata

_CLOCK = (
    r"(?P<hour>\d{1,2})[:.h](?P<minute>\d{2})(?:[:.](?P<second>\d{2})(?:[.,]\d{1,9})?)?"
    r"(?:\s?(?P<half>[AaPp])\.?\s?[Mm]\.?)?"
)
_OFFSET = r"\s*(?P<offset>Z|UTC|GMT|(?:UTC|GMT)?\s?[+-]\d{1,2}:?\d{2})?"
_DATE = (
    r"(?P<date>\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}\.?"
    r"|\d{1,4}[-/. ]+[^\W\d_]{3,10}\.?[-/., ]+\d{1,4}"
    r"|[^\W\d_]{3,10}\.? +\d{1,2},? +\d{4})"
)
MOMENT = re.compile(rf"{_DATE}(?:(?:T|,?\s+)(?P<clock>{_CLOCK}{_OFFSET}))?")
MOMENT_CLOCK = re.compile(_CLOCK + _OFFSET)
CLOCK = re.compile(_CLOCK.replace("[:.h]", "[:h]") + _OFFSET)
OFFSET = re.compile(r"(?:UTC|GMT)\s?[+-]\d{1,2}(?::?\d{2})?|\bUTC\b|\bGMT\b")
NUMBER = re.compile(
    r"[-+−]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][-+]?\d{1,3})?\s*(?:°?\s?[CFK]|%.{0,5})?"
)
_UNIT = re.compile(r"\s*(?:[°º]?\s?[CFK]|%.{0,5})$")
# Longer cells are no numbers, and patterns that look for blanks would take long over them.
_LONGEST = 40
_MISSING = frozenset(
    {"", "-", "--", "---", "nan", "n/a", "na", "null", "none", "err", "error", "?"}
)


def split(line: str, delimiter: str) -> list[str]:
    """Return the cells of a line without spaces around them; a blank delimiter splits at blanks.

    Source: RFC 4180 for quotes.

    >>> split('1,"a,b", c', ",")
    ['1', 'a,b', 'c']
    """
    if delimiter == " ":
        return line.split()
    if '"' in line:
        try:
            cells = next(csv.reader([line], delimiter=delimiter, skipinitialspace=True), [])
        except csv.Error:
            cells = line.split(delimiter)
    else:
        cells = line.split(delimiter)
    return [cell.strip() for cell in cells]


def number(cell: str, decimal: str) -> float:
    """Return the number in a cell, without its unit; NaN where it says none.

    Range: 40 characters; longer is no number. Source: common practice, no source.

    >>> number("21,5 °C", ","), number("---", ".")
    (21.5, nan)
    """
    text = cell.strip()
    if len(text) > _LONGEST or text.lower() in _MISSING:
        return math.nan
    text = _UNIT.sub("", text).replace("−", "-")
    if decimal == ",":
        text = text.replace(",", ".")
    # float() would take 1_0 for 10.
    if "_" in text:
        return math.nan
    try:
        value = float(text)
    except ValueError:
        return math.nan
    return value if math.isfinite(value) else math.nan


def plain(text: str) -> str:
    """Return text in small letters without accents, to compare words of headings.

    Source: Unicode, compatibility decomposition.

    >>> plain("Température")
    'temperature'
    """
    parts = unicodedata.normalize("NFKD", text.replace("º", "°")).lower()
    return "".join(part for part in parts if not unicodedata.combining(part)).strip()
