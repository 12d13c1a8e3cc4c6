"""Tests of case materials: what a rating allows, when a test is too old, of which batch."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from conservation.contents import CaseMaterial, Finding, InvalidCase
from conservation.ranges import in_range
from conservation.tables import OURS, Row, Tables
from conservation.vocabulary import families

COUPONS = ("silver", "copper", "lead")


def overall_rating(ratings: dict[str, str], *, tables: Tables = OURS) -> str:
    """Return the worst letter of the coupons: P, T or U; F counts as U.

    One to three coupons among silver, copper and lead; others raise InvalidCase, as letters that
    are none. Source: table material_tests.

    >>> overall_rating({"silver": "P", "copper": "T", "lead": "P"})
    'T'
    """
    if not isinstance(ratings, dict) or not ratings or set(ratings) - set(COUPONS):
        raise InvalidCase([f"Ratings are {ratings!r:.80}: give letters for {', '.join(COUPONS)}."])
    rows = [_rating(letter, tables) for letter in ratings.values()]
    return max(rows, key=lambda row: row.number("rank")).texts("names")[0]


def _rating(letter: object, tables: Tables) -> Row:
    rows = tables["material_tests"].where(kind="rating")
    for row in rows:
        if isinstance(letter, str) and letter.strip().upper() in row.texts("names"):
            return row
    known = ", ".join(name for row in rows for name in row.texts("names"))
    raise InvalidCase([f"A rating is {letter!r:.40}: use one of {known}."])


def findings_of(
    material: CaseMaterial, *, days: int, on: date, tables: Tables = OURS
) -> tuple[Finding, ...]:
    """Return what speaks against a case material: rating, age and batch of its test, drying.

    `days` 0 to 36,525 is how long the case stays closed, `on` the day it closes.
    Source: table material_tests.

    >>> from conservation.contents import MaterialTest
    >>> test = MaterialTest({"silver": "P", "copper": "T", "lead": "P"}, date(2026, 1, 1), "B1")
    >>> [f.kind for f in findings_of(
    ...     CaseMaterial("felt", "B1", test), days=200, on=date(2026, 6, 1))]
    ['rating']
    """
    in_range("The days", days, 0, 36_525, unit="d")
    return tuple(_of_test(material, days, on, tables)) + tuple(_of_drying(material, on, tables))


def _of_test(material: CaseMaterial, days: int, on: date, tables: Tables) -> Iterator[Finding]:
    name, test = material.name, material.test
    age = tables["material_tests"].by_id("age")
    if test is None:
        yield Finding("untested", name, "", "", f"{name}: no test is known.", age.source)
        return
    row = _rating(overall_rating(test.ratings, tables=tables), tables)
    most = row.number_or_none("most_days")
    if most is not None and days > most:
        worst = [c for c, letter in test.ratings.items() if _rating(letter, tables) == row]
        limit = "not at all" if most == 0 else f"for {most:g} days"
        yield Finding(
            "rating",
            name,
            "",
            row.texts("names")[0],
            f"{name} is rated {row.texts('names')[0]} on {', '.join(worst)}, {row.text('words')}: "
            f"it may stay {limit}, the case stays closed for {days} ({row.source.cite()}).",
            row.source,
        )
    if test.tested_on is None:
        yield Finding("old", name, "", "", f"{name}: the test bears no date.", age.source)
    elif test.tested_on > on:
        words = f"{name}: the test is dated {test.tested_on}, after the case closes."
        yield Finding("old", name, "", "", words, age.source)
    elif (since := (on - test.tested_on).days) > age.number("most_days"):
        yield Finding(
            "old",
            name,
            "",
            "",
            f"{name}: the test of {test.tested_on} is {since} days old; {age.text('words')} "
            f"({age.source.cite()}).",
            age.source,
        )
    if not material.batch or material.batch.strip() != test.batch.strip():
        used, tested = material.batch or "not known", test.batch or "not known"
        yield Finding(
            "batch",
            name,
            "",
            "",
            f"{name}: the batch used is {used}, the batch tested is {tested}; ratings differ "
            "between batches.",
            tables["material_tests"].by_id("permanent").source,
        )


def _of_drying(material: CaseMaterial, on: date, tables: Tables) -> Iterator[Finding]:
    kinds = families(material.name, tables=tables)
    for row in tables["material_tests"].where(kind="drying"):
        if not kinds & set(row.texts("names")):
            continue
        least = row.number_or_none("least_days")
        dried = None if material.applied_on is None else (on - material.applied_on).days
        if least is None or dried is None or dried < least:
            had = (
                ""
                if least is None
                else f"; it has had {dried if dried is not None else 'no known'} days"
            )
            yield Finding(
                "drying",
                material.name,
                "",
                "",
                f"{material.name}: {row.text('words')} ({row.source.cite()}){had}.",
                row.source,
            )
