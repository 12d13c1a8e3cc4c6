"""Ultraviolet: content per lumen, irradiance, and limits."""

from __future__ import annotations

from dataclasses import dataclass

from conservation.light.dose import HIGHEST_LUX
from conservation.light.limits import uv_limit
from conservation.ranges import in_range
from conservation.tables import OURS, Source, Tables

HIGHEST_UW_PER_LM = 10_000


@dataclass(frozen=True)
class UvCheck:
    """Ultraviolet content against a limit."""

    uw_per_lm: float
    max_uw_per_lm: float
    limit: str
    kept: bool
    source: Source


def uv_irradiance_mw_per_m2(lux: float, uw_per_lm: float) -> float:
    """Return the ultraviolet irradiance in mW/m² from a level in lx and a content in µW/lm.

    Levels 0 to 200 000 lx, content 0 to 10 000 µW/lm; others raise OutOfRangeError.
    Source: definition (lx is lm/m²).

    >>> uv_irradiance_mw_per_m2(50, 75)
    3.75
    """
    level = in_range("The level", lux, 0, HIGHEST_LUX, unit="lx")
    return level * _content(uw_per_lm) / 1000


def uv_content_uw_per_lm(lux: float, mw_per_m2: float) -> float:
    """Return the ultraviolet content in µW/lm from a level in lx and an irradiance in mW/m².

    Levels above 0, to 200 000 lx, irradiance 0 to 2 000 000 mW/m²; others raise OutOfRangeError.
    Source: definition.

    >>> uv_content_uw_per_lm(50, 3.75)
    75.0
    """
    level = in_range("The level", lux, 1e-6, HIGHEST_LUX, unit="lx")
    return in_range("The irradiance", mw_per_m2, 0, 2_000_000, unit="mW/m²") * 1000 / level


def check_uv(uw_per_lm: float, limit: str = "usual", *, tables: Tables = OURS) -> UvCheck:
    """Return whether an ultraviolet content in µW/lm keeps a limit; the limit itself is kept.

    Content 0 to 10 000 µW/lm; others raise OutOfRangeError. Source: `texas` of table `uv_limits`.

    >>> check_uv(40).kept, check_uv(40, "preferred").kept
    (True, False)
    """
    content = _content(uw_per_lm)
    known = uv_limit(limit, tables=tables)
    kept = content <= known.max_uw_per_lm
    return UvCheck(content, known.max_uw_per_lm, known.id, kept, known.source)


def _content(uw_per_lm: float) -> float:
    return in_range("The ultraviolet content", uw_per_lm, 0, HIGHEST_UW_PER_LM, unit="µW/lm")
