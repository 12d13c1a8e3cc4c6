"""What materials tell: the class of responsivity to light, and flags of hazards and permits."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from conservation.ranges import ConservationError
from conservation.tables import OURS, Row, Source, Tables

MOST_COMPONENTS = 200
LONGEST_NAME = 500


@dataclass(frozen=True)
class Component:
    """One material as given, the row that was found for it, and its class."""

    given: str
    found: str
    responsivity: str
    known: bool
    source: Source
    note: str


@dataclass(frozen=True)
class Classing:
    """The class of an object and why; `decided_by` are the components of that class."""

    responsivity: str
    components: tuple[Component, ...]
    decided_by: tuple[str, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class Flag:
    """A reason to ask someone qualified: a hazard or a permit, and the words that raised it."""

    kind: str
    id: str
    name: str
    raised_by: tuple[str, ...]
    says: tuple[str, ...]
    ask: str
    source: Source


class NoMaterialError(ConservationError):
    """No material was given, or one that cannot be read."""


def classify(
    materials: Sequence[str], *, uv_blocked: bool = False, tables: Tables = OURS
) -> Classing:
    """Return the class of responsivity R0 to R3 of an object made of these materials.

    Each material is looked up whole, then by the known words in it, the longest first; of several
    words the most sensitive decides. A material that is not known counts as R2, and `notes` say so.
    Up to 200 materials of up to 500 characters; others raise NoMaterialError.
    Source: tables `materials` and `responsivity_classes`; the most sensitive component decides by
    the rule of the Texas Association of Museums fact sheet.

    >>> classify(["oil on canvas", "silk", "brass"]).responsivity
    'R3'
    >>> classify(["brass", "moon dust"]).notes
    ('moon dust is not in the table of materials: taken as R2.',)
    """
    _check(materials)
    lookup = _words(tables)
    rank = {row.text("class"): row.number("rank") for row in tables["responsivity_classes"]}
    components = tuple(_component(name, lookup, rank, uv_blocked, tables) for name in materials)
    worst = max(components, key=lambda item: rank[item.responsivity]).responsivity
    decided = tuple(item.given for item in components if item.responsivity == worst)
    return Classing(worst, components, decided, tuple(c.note for c in components if c.note))


def flags_of(descriptions: Sequence[str], *, tables: Tables = OURS) -> tuple[Flag, ...]:
    """Return the flags of hazards and permits that words in these descriptions raise.

    A flag is a reason to ask; no flag means nothing: what an object holds must be examined. Range
    and errors as for `classify`. Source: tables `hazards` and `permits`.

    >>> [(flag.kind, flag.id) for flag in flags_of(["stick barometer", "ivory scales"])][:2]
    [('hazard', 'mercury'), ('permit', 'annex_a_on_show')]
    """
    _check(descriptions)
    texts = [(given, f" {_normal(given)} ") for given in descriptions]
    flags = []
    for kind, column, says in (("hazard", "words", "cautions"), ("permit", "materials", "says")):
        for row in tables[f"{kind}s"]:
            words = [f" {_normal(word)} " for word in row.texts(column)]
            raised = tuple(given for given, text in texts if any(word in text for word in words))
            if raised:
                name, ask = row.text("name"), row.text("ask")
                flags.append(Flag(kind, row.id, name, raised, row.texts(says), ask, row.source))
    return tuple(flags)


def _check(materials: Sequence[str]) -> None:
    if not isinstance(materials, list | tuple) or not 1 <= len(materials) <= MOST_COMPONENTS:
        raise NoMaterialError(f"Give a list of 1 to {MOST_COMPONENTS} materials.")
    for given in materials:
        if not isinstance(given, str) or not given.strip() or len(given) > LONGEST_NAME:
            words = f"give 1 to {LONGEST_NAME} characters"
            raise NoMaterialError(f"{given!r:.40} is no material: {words}.")


def _component(
    given: str, lookup: dict[str, Row], rank: dict[str, float], uv_blocked: bool, tables: Tables
) -> Component:
    rows = _found(_normal(given), lookup)
    if not rows:
        row = tables["materials"].by_id("unknown")
        note = f"{given} is not in the table of materials: taken as {row.text('class')}."
        return Component(given, row.text("name"), row.text("class"), False, row.source, note)
    worst = max(rows, key=lambda row: rank[_class(row, uv_blocked)])
    known = worst.id != "unknown"
    note = f"{given}: {worst.note}" if worst.note else ""
    return Component(
        given, worst.text("name"), _class(worst, uv_blocked), known, worst.source, note
    )


def _class(row: Row, uv_blocked: bool) -> str:
    return (row.text("class_uv_blocked") if uv_blocked else "") or row.text("class")


def _words(tables: Tables) -> dict[str, Row]:
    lookup: dict[str, Row] = {}
    for row in tables["materials"]:
        for word in (row.text("name"), row.id, *row.texts("words")):
            lookup.setdefault(_normal(word), row)
    return lookup


@lru_cache(maxsize=4096)
def _normal(text: str) -> str:
    return " ".join(re.findall(r"\w+", text.casefold().replace("_", " ")))


def _found(text: str, lookup: dict[str, Row]) -> list[Row]:
    if text in lookup:
        return [lookup[text]]
    words, rows = text.split(), []
    longest = max(len(phrase.split()) for phrase in lookup)
    at = 0
    while at < len(words):
        for length in range(min(longest, len(words) - at), 0, -1):
            row = lookup.get(" ".join(words[at : at + length]))
            if row is not None:
                rows.append(row)
                at += length - 1
                break
        at += 1
    return rows
