"""Read one length or weight as a person types it into a field."""

import re
from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType

# An inch is 25.4 mm and a pound 453.59237 g exactly (international yard and pound, 1959).
MM: Mapping[str, Fraction] = MappingProxyType(
    {
        "mm": Fraction(1),
        "cm": Fraction(10),
        "m": Fraction(1000),
        "in": Fraction(254, 10),
        "ft": Fraction(3048, 10),
    }
)
GRAMS: Mapping[str, Fraction] = MappingProxyType(
    {
        "g": Fraction(1),
        "kg": Fraction(1000),
        "lb": Fraction(45359237, 100000),
        "oz": Fraction(45359237, 1600000),
    }
)
_SPELLED = {
    "millimetre": "mm",
    "centimetre": "cm",
    "metre": "m",
    "inch": "in",
    "inche": "in",
    "foot": "ft",
    "feet": "ft",
    "gram": "g",
    "kilogram": "kg",
    "kilo": "kg",
    "pound": "lb",
    "ounce": "oz",
    '"': "in",
    "″": "in",
    "”": "in",
    "'": "ft",
    "′": "ft",
    "’": "ft",
}
_VULGAR = str.maketrans(
    {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8"}
)
_SPACES = re.compile(r"[\s\u00a0\u2009\u202f]+")
_FRACTION = r"[0-9]{1,3}/[0-9]{1,3}"
_DECIMAL = r"[0-9]{1,9}(?:[.,][0-9]{1,6})?"
_TERM = re.compile(
    rf"(?P<number>(?:[0-9]{{1,9}} )?{_FRACTION}|{_DECIMAL}) ?(?P<unit>[a-z]+|[\"″”'′’])?\.? ?"
)
_LONGEST = 40


class QuantityError(ValueError):
    """A quantity that cannot be taken; its text says why and what to write instead."""


def read_mm(text: str, default_unit: str = "mm") -> int:
    """Return a length in whole mm, rounded half up; `11 ft 6 in`, `36 m` and `3 1/2 in` are read.

    >>> read_mm("36 m"), read_mm("11 ft 6 in"), read_mm("34.9", "cm")
    (36000, 3505, 349)
    """
    return _read(text, MM, default_unit, "a length, as in 3600 mm, 3.6 m or 11 ft 6 in")


def read_grams(text: str, default_unit: str = "kg") -> int:
    """Return a weight in whole grams, rounded half up.

    >>> read_grams("2.5"), read_grams("2 lb")
    (2500, 907)
    """
    return _read(text, GRAMS, default_unit, "a weight, as in 2.5 kg or 800 g")


def _read(text: str, units: Mapping[str, Fraction], default_unit: str, expected: str) -> int:
    written = _SPACES.sub(" ", text).strip()
    plain = _SPACES.sub(" ", written.lower().translate(_VULGAR)).strip()
    plain = re.sub(r"(?<=[0-9]) (?=[0-9]{3}(?![0-9/]))", "", plain)
    terms = _terms(plain) if len(plain) <= _LONGEST else []
    if not terms:
        raise QuantityError(f"“{written[:_LONGEST]}” is not {expected}.")
    total = Fraction(0)
    for number, word in terms:
        unit = _unit(word, units, default_unit if len(terms) == 1 else "", written)
        if unit in {"mm", "g"} and re.fullmatch(r"\d{1,3}[.,]\d{3}", number):
            joined = re.sub(r"\D", "", number)
            raise QuantityError(f"“{number}” may mean {joined} {unit}: write it without the mark.")
        total += _number(number) * units[unit]
    return int(total + Fraction(1, 2))


def _terms(plain: str) -> list[tuple[str, str]]:
    """Return pairs of number and unit word; nothing when the text holds anything else."""
    found, at = [], 0
    while at < len(plain):
        match = _TERM.match(plain, at)
        if not match:
            return []
        found.append((match["number"], match["unit"] or ""))
        at = match.end()
    return found


def _unit(word: str, units: Mapping[str, Fraction], default: str, written: str) -> str:
    unit = word if word in units else _SPELLED.get(word) or _SPELLED.get(word.rstrip("s"), "")
    unit = unit or (word.rstrip("s") if word.rstrip("s") in units else "")
    unit = unit if word else default
    if unit in units:
        return unit
    if word:
        raise QuantityError(f"“{word}” is no unit here: use one of {', '.join(units)}.")
    raise QuantityError(f"“{written}” gives a number without its unit: write each with its unit.")


def _number(text: str) -> Fraction:
    if "/" not in text:
        return Fraction(text.replace(",", "."))
    whole, _, part = text.rpartition(" ")
    above, below = part.split("/")
    if int(below) == 0:
        raise QuantityError(f"“{text}” divides by nothing: write a fraction as in 3 1/2.")
    return int(whole or 0) + Fraction(int(above), int(below))
