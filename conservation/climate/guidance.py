"""Relative humidity by material, and what a mixed display allows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from conservation.climate.bands import Band, meet_all
from conservation.tables import OURS, Row, Source, Tables


@dataclass(frozen=True)
class Guidance:
    """What one material asks for; `care` says what matters beside the figures."""

    material: str
    band: Band
    care: str
    source: Source


@dataclass(frozen=True)
class Together:
    """What materials shown in one air allow: a band in % RH, or the pairs that exclude it."""

    guidance: tuple[Guidance, ...]
    band: Band | None
    clashes: tuple[tuple[str, str], ...]


def rh_guidance(material: str, *, tables: Tables = OURS) -> Guidance:
    """Return the RH a material asks for, in % RH; an unknown one raises UnknownRowError.

    Source: climate_materials.

    >>> rh_guidance("ivory").band.words()
    '45 to 55 %'
    """
    row = tables["climate_materials"].one(names=material.strip().lower())
    return Guidance(material, _band(row), row.text("care"), row.source)


def known_materials(*, tables: Tables = OURS) -> tuple[str, ...]:
    """Return the names of materials that have guidance.

    Source: climate_materials.

    >>> "parchment" in known_materials()
    True
    """
    return tuple(name for row in tables["climate_materials"] for name in row.texts("names"))


def rh_guidance_together(materials: Sequence[str], *, tables: Tables = OURS) -> Together:
    """Return the RH that all materials allow, or which of them exclude each other.

    Raises UnknownRowError for an unknown material, ConservationError for none. Source:
    climate_materials.

    >>> rh_guidance_together(["paper", "parchment"]).band.words()
    '45 to 55 %'
    >>> rh_guidance_together(["archaeological iron", "ivory"]).clashes
    (('archaeological iron', 'ivory'),)
    """
    found = tuple(rh_guidance(material, tables=tables) for material in dict.fromkeys(materials))
    clashes = tuple(
        (one.material, other.material)
        for one, other in combinations(found, 2)
        if one.band.meet(other.band) is None
    )
    return Together(found, meet_all([each.band for each in found]), clashes)


def _band(row: Row) -> Band:
    least, most = row.number_or_none("least_percent"), row.number_or_none("most_percent")
    return Band(0 if least is None else least, 100 if most is None else most, "%")
