"""Say lengths in the unit a person reads, and weights in kilograms."""

from collections.abc import Iterable
from decimal import ROUND_HALF_EVEN, Decimal

MM_PER_UNIT = {"cm": Decimal(10), "in": Decimal("25.4")}
_TENTH = Decimal("0.1")


def length(length_mm: int, unit: str) -> str:
    """Return a length to the tenth of a centimetre or inch, without its unit."""
    value = Decimal(length_mm) / MM_PER_UNIT[unit]
    return str(value.quantize(_TENTH, rounding=ROUND_HALF_EVEN))


def lengths(lengths_mm: Iterable[int], unit: str) -> str:
    """Return lengths with a multiplication sign between them; zero means unknown and is left."""
    return " × ".join(length(value, unit) for value in lengths_mm if value)


def metres(length_mm: int) -> str:
    """Return a length in metres to the centimetre, whatever unit a person reads sizes in."""
    return str((Decimal(length_mm) / 1000).quantize(Decimal("0.01"), rounding=ROUND_HALF_EVEN))


def kilograms(mass_g: int) -> str:
    """Return a weight in kg, to 10 g below 1 kg and to 100 g from there on."""
    step = _TENTH if mass_g >= 1000 else Decimal("0.01")
    return str((Decimal(mass_g) / 1000).quantize(step, rounding=ROUND_HALF_EVEN))
