"""Who harms whom in a showcase, whose climates do not meet, and which tests do not hold.

What is not found is not thereby safe: unknown materials are named as unknown. Nothing here
certifies a material; the conservator decides.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import combinations

from conservation.contents import (
    MOST_THINGS,
    CaseMaterial,
    CaseObject,
    Finding,
    InvalidCase,
    MaterialTest,
)
from conservation.intervals import Interval
from conservation.material_tests import findings_of, overall_rating
from conservation.ranges import in_range
from conservation.tables import OURS, Row, Tables
from conservation.vocabulary import ANYTHING, families, normal

__all__ = [
    "CaseMaterial",
    "CaseObject",
    "Climates",
    "Finding",
    "InvalidCase",
    "MaterialTest",
    "band_of",
    "climates",
    "findings_of",
    "harms",
    "judge",
    "overall_rating",
]


def harms(
    objects: Sequence[CaseObject], materials: Sequence[CaseMaterial], *, tables: Tables = OURS
) -> tuple[Finding, ...]:
    """Return who harms whom by what: case materials to objects, and objects to one another.

    Up to 500 objects and 500 materials; more raise InvalidCase. Rules of touch count only where
    an object names what it touches. Source: table case_emissions.

    >>> found = harms([CaseObject("medal", ("lead",))], [CaseMaterial("MDF")])
    >>> [(f.by, f.to, f.what) for f in found if f.kind == "harm"][0]
    ('MDF', 'medal', 'acetic acid')
    """
    _few(objects, materials)
    givers: list[tuple[str, frozenset[str], str]] = [
        (item.name, families(item.name, tables=tables), "") for item in materials
    ]
    kinds = {item.id: _kinds(item, tables) for item in objects}
    givers += [(item.id, kinds[item.id], item.id) for item in objects]
    found: dict[tuple[str, str, str], Finding] = {}
    for name, given, itself in givers:
        for row in tables["case_emissions"]:
            if not given & set(row.texts("from")):
                continue
            for item in objects:
                if item.id == itself or (row.yes("touch") and name not in item.touches):
                    continue
                hit = [word for word in row.texts("harms") if word in (ANYTHING, *kinds[item.id])]
                if hit:
                    finding = _harm(name, item, row, hit)
                    found.setdefault((name, item.id, row.id), finding)
    return tuple(found.values())


def _harm(name: str, item: CaseObject, row: Row, hit: Sequence[str]) -> Finding:
    whom = "what it touches" if ANYTHING in hit and row.yes("touch") else ", ".join(hit)
    whom = "objects" if whom == ANYTHING else whom
    note = f" {row.source.note}" if row.source.note else ""
    return Finding(
        "harm",
        name,
        item.id,
        row.text("emission"),
        f"{name} may give off {row.text('emission')}: {row.text('how')} {whom} ({item.id}) "
        f"({row.source.cite()}).{note}",
        row.source,
        row.id,
    )


def _kinds(item: CaseObject, tables: Tables) -> frozenset[str]:
    return frozenset(kind for m in item.materials for kind in families(m, tables=tables))


def _few(objects: Sequence[CaseObject], materials: Sequence[CaseMaterial]) -> None:
    if len(objects) > MOST_THINGS or len(materials) > MOST_THINGS:
        raise InvalidCase([f"At most {MOST_THINGS} objects and materials are taken in one case."])
    for what, names in (
        ("object", [item.id for item in objects]),
        ("material", [item.name for item in materials]),
    ):
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            raise InvalidCase([f"{what} {name!r} stands twice: name each once." for name in twice])


def band_of(item: CaseObject, *, tables: Tables = OURS) -> Interval | None:
    """Return the RH band that an object needs in %, or None where none is known or needed.

    Its own band goes first, else all that is known of its materials; bands of one object that do
    not meet raise InvalidCase. Source: table climate_materials, from memory.

    >>> band_of(CaseObject("chair", ("wood", "textile")))
    Interval(low=45.0, high=55.0)
    """
    if item.rh_percent is not None:
        in_range(f"The band of {item.id}", item.rh_percent.low, 0, 100, unit="% RH")
        in_range(f"The band of {item.id}", item.rh_percent.high, 0, 100, unit="% RH")
        return item.rh_percent
    band: Interval | None = None
    for material in item.materials:
        for row in _climates(material, tables):
            low = row.number_or_none("least_percent")
            high = row.number_or_none("most_percent")
            if low is None and high is None:
                continue
            one = Interval(0.0 if low is None else low, 100.0 if high is None else high)
            met = one if band is None else band.meet(one)
            if met is None:
                raise InvalidCase(
                    [f"{item.id}: its materials need {band} and {one} % RH; give its own band."]
                )
            band = met
    return band


def _climates(material: str, tables: Tables) -> list[Row]:
    """Return the rows named in a material; of nested names only the longest."""
    text, found = f" {normal(material)} ", []
    names = [
        (normal(name), row) for row in tables["climate_materials"] for name in row.texts("names")
    ]
    for phrase, row in sorted(names, key=lambda pair: -len(pair[0])):
        if f" {phrase} " in text:
            text = text.replace(f" {phrase} ", "  |  ")
            found.append(row)
    return found


@dataclass(frozen=True)
class Climates:
    """The band that all objects share, None where there is none, and the pairs that do not meet."""

    common_percent: Interval | None
    bands: dict[str, Interval]
    findings: tuple[Finding, ...]


def climates(objects: Sequence[CaseObject], *, tables: Tables = OURS) -> Climates:
    """Return the RH band common to all objects, and each pair whose bands do not meet.

    Bands all meet as soon as each two do, so the pairs are the whole reason. Objects without a
    band do not count. Up to 500 objects; more raise InvalidCase. Source: table climate_materials.

    >>> climates([CaseObject("iron", ("archaeological iron",)), CaseObject("chair", ("wood",))]
    ...     ).common_percent is None
    True
    """
    _few(objects, ())
    found = {item.id: band_of(item, tables=tables) for item in objects}
    bands = {name: band for name, band in found.items() if band is not None}
    source = tables["climate_materials"].by_id("wood").source
    apart = tuple(
        Finding(
            "climate",
            one,
            other,
            "relative humidity",
            f"{one} needs {bands[one]} % RH and {other} {bands[other]} % RH: they do not meet "
            f"({source.cite()}).",
            source,
        )
        for one, other in combinations(bands, 2)
        if bands[one].meet(bands[other]) is None
    )
    common: Interval | None = None
    if bands and not apart:
        ends = bands.values()
        common = Interval(max(b.low for b in ends), min(b.high for b in ends))
    return Climates(common, bands, apart)


def judge(
    objects: Sequence[CaseObject],
    materials: Sequence[CaseMaterial],
    *,
    days: int,
    on: date,
    tables: Tables = OURS,
) -> tuple[Finding, ...]:
    """Return all findings of a case that closes `on` a day for 0 to 36,525 days.

    A harm to a metal whose coupon a valid, recent test of the same batch rated P is `answered`.
    Up to 500 objects and materials; more raise InvalidCase. Source: the tables of each finding.

    >>> [f.kind for f in judge([CaseObject("bowl", ("brass",))], [CaseMaterial("moon cheese")],
    ...     days=90, on=date(2027, 1, 1))]
    ['untested', 'unknown']
    """
    tested = {m.name: findings_of(m, days=days, on=on, tables=tables) for m in materials}
    answered = {
        m.name: _passed(m, tables) for m in materials if m.test is not None and not tested[m.name]
    }
    kinds = {item.id: _kinds(item, tables) for item in objects}
    found = [
        _answer(finding, answered.get(finding.by, frozenset()), kinds, tables)
        for finding in harms(objects, materials, tables=tables)
    ]
    found += [finding for rows in tested.values() for finding in rows]
    found += climates(objects, tables=tables).findings
    for name in _strangers(objects, materials, tables):
        words = f"{name} is not in the tables: nothing is known of it, not that it is safe."
        found.append(Finding("unknown", name, "", "", words))
    silent = tables["material_tests"].by_id("silent")
    for item in objects:
        if answered and kinds[item.id] & set(silent.texts("names")):
            words = f"{item.id}: {silent.text('words')} ({silent.source.cite()})."
            found.append(Finding("silent", "", item.id, "", words, silent.source))
    return tuple(found)


def _passed(material: CaseMaterial, tables: Tables) -> frozenset[str]:
    ratings = material.test.ratings if material.test else {}
    best = tables["material_tests"].by_id("permanent").texts("names")
    coupons = tables["material_tests"].where(kind="coupon")
    passed = (row for row in coupons if ratings.get(row.id, "").strip().upper() in best)
    return frozenset(name for row in passed for name in row.texts("names"))


def _answer(
    finding: Finding, passed: frozenset[str], kinds: dict[str, frozenset[str]], tables: Tables
) -> Finding:
    """Turn a harm into an answered one where each part at risk is a metal whose coupon passed."""
    row = tables["case_emissions"].by_id(finding.rule)
    at_risk = kinds[finding.to] & set(row.texts("harms"))
    covered = all(passed & families(word, tables=tables) for word in at_risk)
    if not passed or not at_risk or not covered:
        return finding
    words = f"{finding.sentence} A test of this batch rated it P for this metal."
    return replace(finding, kind="answered", sentence=words)


def _strangers(
    objects: Sequence[CaseObject], materials: Sequence[CaseMaterial], tables: Tables
) -> Iterator[str]:
    named = [m.name for m in materials] + [name for item in objects for name in item.materials]
    for name in dict.fromkeys(named):
        if not families(name, tables=tables) and not _climates(name, tables):
            yield name
