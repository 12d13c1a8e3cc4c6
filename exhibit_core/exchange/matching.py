"""Guess which field a column holds, by its heading and by what was chosen before."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from exhibit_core.accounts.models import User
from exhibit_core.exchange.fields import FIELDS, Field, may_bring_in
from exhibit_core.exchange.readers import currency_in
from exhibit_core.exchange.words import LEFT_OUT, field_by_heading
from exhibit_core.register.text import fold

UNDECIDED = "?"
LEAVE_OUT = ""
_FIELD_BY_HEADING = field_by_heading()
_UNIT = re.compile(
    r"[\s_(\[/,]+(?:in )?(mm|cm|m|ft|in|inch|inches|kg|g|lbs?|oz|lx|lux|[a-z]{3}|[€£])[)\]]?$"
)
_UNIT_NAMES = {"inch": "in", "inches": "in", "lbs": "lb"}
_BRACKETS = re.compile(r"[(\[][^)\]]*[)\]]")
_SIGNS = re.compile(r"[^\w€£]+|_+")


@dataclass(frozen=True)
class Match:
    """What a column is taken for: a field, nothing, or still undecided; and its unit."""

    field: str
    unit: str = ""


@dataclass(frozen=True)
class Guess:
    """A match, and in words why the person's role does not let it stand."""

    match: Match
    refusal: str = ""


def key_of(heading: str) -> str:
    """Return what headings that mean the same have in common: no case, accents or signs."""
    return _SIGNS.sub(" ", fold(heading)).strip()[:200]


def is_known(heading: str) -> bool:
    return _field_named(heading) is not None or key_of(heading) in LEFT_OUT.split("|")


def unit_in(heading: str, units: Sequence[str]) -> str:
    """Return the unit that a heading names, if it is one of these."""
    found = _UNIT.search(fold(heading))
    unit = _UNIT_NAMES.get(found[1], found[1]) if found else ""
    return unit if unit in units else ""


def guess(
    headings: Sequence[str], *, by: User, with_list: bool, remembered: Mapping[str, Match]
) -> list[Guess]:
    """Guess each column's field; no field is guessed twice."""
    taken: set[str] = set()
    guesses = []
    for heading in headings:
        found = _guess(heading, by, with_list, remembered)
        if found.match.field in taken:
            found = Guess(Match(UNDECIDED))
        elif found.match.field not in (UNDECIDED, LEAVE_OUT):
            taken.add(found.match.field)
        guesses.append(found)
    return guesses


def default_unit(heading: str, field: Field) -> str:
    """Return the unit for a column: its heading's, else millimetres or kilograms."""
    if field.name == "value":
        return currency_in(heading)
    if not field.units:
        return ""
    return unit_in(heading, field.units) or ("kg" if "kg" in field.units else "mm")


def _guess(heading: str, by: User, with_list: bool, remembered: Mapping[str, Match]) -> Guess:
    known = remembered.get(key_of(heading))
    if known and known.field == LEAVE_OUT:
        return Guess(known)
    name = known.field if known else _field_named(heading)
    if name is None and key_of(heading) in LEFT_OUT.split("|"):
        return Guess(Match(LEAVE_OUT))
    field = FIELDS.get(name or "")
    if field is None or (field.target == "entry" and not with_list):
        return Guess(Match(UNDECIDED))
    if not may_bring_in(by, field):
        return Guess(
            Match(LEAVE_OUT),
            f"This looks like “{field.label}”, but your role does not let you {field.right.label}.",
        )
    unit = known.unit if known and known.unit in field.units else default_unit(heading, field)
    return Guess(Match(field.name, unit))


def _field_named(heading: str) -> str | None:
    """Return the field that a heading names as it stands, without its unit, or its brackets."""
    folded = fold(heading)
    for written in (folded, _UNIT.sub("", folded), _BRACKETS.sub("", folded)):
        if found := _FIELD_BY_HEADING.get(_SIGNS.sub(" ", written).strip()):
            return found
    return None
