"""Limits of light by class and rule set, and of ultraviolet."""

from __future__ import annotations

from dataclasses import dataclass

from conservation.tables import OURS, Source, Tables

DEFAULT_RULE_SET = "cie_157"


@dataclass(frozen=True)
class LightLimit:
    """What a rule set allows a class; None where it sets no limit."""

    rule_set: str
    responsivity: str
    name: str
    max_lux: float | None
    max_lux_h_per_year: float | None
    source: Source
    note: str


@dataclass(frozen=True)
class UvLimit:
    """A limit of ultraviolet content."""

    id: str
    name: str
    max_uw_per_lm: float
    source: Source


def rule_sets(tables: Tables = OURS) -> tuple[str, ...]:
    """Return the names of the rule sets of light, no range. Source: table `light_limits`.

    >>> rule_sets()
    ('cie_157', 'french_dose', 'thomson', 'texas', 'ies_rp_30')
    """
    return tuple(dict.fromkeys(row.text("rule_set") for row in tables["light_limits"]))


def light_limit(
    responsivity: str, rule_set: str = DEFAULT_RULE_SET, *, tables: Tables = OURS
) -> LightLimit:
    """Return the limits in lx and lx·h a year of a class R0 to R3 under a rule set.

    Raises UnknownRowError for a class or rule set that no row has.
    Source: by rule set in table `light_limits`.

    >>> limit = light_limit("R3")
    >>> limit.max_lux, limit.max_lux_h_per_year
    (50.0, 15000.0)
    >>> light_limit("R1", "thomson").source.cite()
    'Thomson 1986 (2nd ed.), levels of illuminance'
    """
    table = tables["light_limits"]
    table.one(rule_set=rule_set)
    row = table.one(class_=responsivity, rule_set=rule_set)
    return LightLimit(
        rule_set,
        responsivity,
        row.text("name"),
        row.number_or_none("max_lux"),
        row.number_or_none("max_lux_h_per_year"),
        row.source,
        row.note,
    )


def uv_limit(name: str = "usual", *, tables: Tables = OURS) -> UvLimit:
    """Return a limit of ultraviolet in µW/lm: `usual` or `preferred`, or a museum's own.

    Raises UnknownRowError for another name. Source: `texas` of table `uv_limits`.

    >>> uv_limit("usual").max_uw_per_lm, uv_limit("preferred").max_uw_per_lm
    (75.0, 10.0)
    """
    row = tables["uv_limits"].by_id(name)
    return UvLimit(row.id, row.text("name"), row.number("max_uw_per_lm"), row.source)
