"""The words of sizes: units, sides, qualifiers, numbers."""

import re
from fractions import Fraction

MM = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": Fraction(254, 10),
    "ft": Fraction(3048, 10),
}

UNIT_WORDS = {
    '"': "in",
    "''": "in",
    "'": "ft",
    "inch": "in",
    "inches": "in",
    "ins": "in",
    "foot": "ft",
    "feet": "ft",
    "millimetres": "mm",
    "centimetres": "cm",
    "metres": "m",
}

_POUND = Fraction(45359237, 100000)
MASS_UNITS = {
    "kg": Fraction(1000),
    "kilo": Fraction(1000),
    "kilogram": Fraction(1000),
    "g": Fraction(1),
    "gr": Fraction(1),
    "gram": Fraction(1),
    "lb": _POUND,
    "pound": _POUND,
    "oz": _POUND / 16,
    "ounce": _POUND / 16,
}

FRACTIONS = {
    "½": "1/2",
    "⅓": "1/3",
    "⅔": "2/3",
    "¼": "1/4",
    "¾": "3/4",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
}

ROLES = {
    "h": "height",
    "ht": "height",
    "height": "height",
    "high": "height",
    "tall": "height",
    "w": "width",
    "width": "width",
    "wide": "width",
    "d": "depth",
    "depth": "depth",
    "deep": "depth",
    "thick": "depth",
    "l": "length",
    "length": "length",
    "long": "length",
    "diam": "diameter",
    "dia": "diameter",
    "diameter": "diameter",
    "ø": "diameter",
    "⌀": "diameter",
}

QUALIFIERS = {
    "each": r"\beach\b|\bea\.",
    "overall": r"\boverall\b",
    "approximate": r"\bapprox|\bca?\.\s?\d|\babout\b|~",
    "framed": r"\bframed\b|\bframes?\b",
    "unframed": r"\bunframed\b",
    "displayed": r"\bdisplay(?:ed)?\b",
    "circular": r"\bcircular\b",
    "unconfirmed": r"\bunconfirmed\b",
    "variable": r"\bvariable\b",
}

COUNTS = {
    name: number
    for number, name in enumerate(
        [
            "two",
            "three",
            "four",
            "five",
            "six",
            "seven",
            "eight",
            "nine",
            "ten",
            "eleven",
            "twelve",
        ],
        start=2,
    )
}

_ROLE_WORDS = "|".join(sorted(ROLES, key=len, reverse=True))
TOKEN = re.compile(
    r"(?P<number>\d+(?:\.\d+)?[ -]\d+/\d+|\d+/\d+|\d+(?:\.\d+)?)"
    r"|(?P<unit>(?<=[\d\s])(?:millimetres|centimetres|metres|mm|cm|m|inches|inch|ins|in|feet|foot|ft)"
    r"(?![a-z])\.?|''|[\"'])"
    rf"|(?P<role>(?<![a-z])(?:{_ROLE_WORDS})(?![a-z])\.?)"
    r"|(?P<x>(?<![a-z])x(?![a-z])|(?<=[\d\s])by\b)"
    r"|(?P<word>[a-z]+)"
)
