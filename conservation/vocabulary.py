"""Find the families that a material belongs to, by the words in its name."""

from __future__ import annotations

import re
from collections.abc import Iterable

from conservation.tables import OURS, Tables

ANYTHING = "anything"


def families(material: str, *, tables: Tables = OURS) -> frozenset[str]:
    """Return every family of a material and its own known names; empty for one not known.

    Whole words count, the longest first, so that lead white is not taken for lead. Names of 1 to
    200 characters; others give nothing (no range of values applies, nothing is raised).
    Source: table case_families.

    >>> sorted(families("oak plywood"))
    ['board', 'oak', 'plywood', 'wood product']
    """
    if not isinstance(material, str) or len(material) > 200:
        return frozenset()
    above = _above(tables)
    names = {normal(name): name for name in (*above, *_named(tables))}
    found: set[str] = set()
    left = f" {normal(material)} "
    for phrase in sorted(names, key=lambda text: (-len(text), text)):
        if f" {phrase} " in left:
            found.add(names[phrase])
            left = left.replace(f" {phrase} ", "  |  ")
    queue = list(found)
    while queue:
        for family in above.get(queue.pop(), ()):
            if family not in found:
                found.add(family)
                queue.append(family)
    return frozenset(found)


def normal(text: str) -> str:
    """Return a name in lower case, words parted by one space; any text (nothing is raised).

    Source: none, a convention of this program.

    >>> normal("Lead-White")
    'lead white'
    """
    return " ".join(re.findall(r"\w+", text.casefold()))


def _above(tables: Tables) -> dict[str, set[str]]:
    above: dict[str, set[str]] = {}
    for row in tables["case_families"]:
        above.setdefault(row.text("family"), set())
        for member in row.texts("members"):
            above.setdefault(member, set()).add(row.text("family"))
    return above


def _named(tables: Tables) -> Iterable[str]:
    for row in tables["case_emissions"]:
        yield from (*row.texts("from"), *(name for name in row.texts("harms") if name != ANYTHING))
