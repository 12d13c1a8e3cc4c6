"""Which walls objects and sections are bound to, and the places kept for what is still to come."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from exhibit_core.exhibitions.models import Section
from exhibit_core.hangs.models import Hang, HangRule, KeptPlace
from layouts.problem import Label, Piece

Names = tuple[str, ...]


@dataclass(frozen=True)
class Bound:
    """The names of a hang's walls by key, and those on which entries and sections may hang.

    Walls that the hang no longer uses are left out; a rule of which none is left binds nothing.
    """

    names: Mapping[int, str]
    entries: Mapping[int, Names]
    sections: Mapping[str, Names]

    @classmethod
    def of(cls, rules: Iterable[HangRule], names: Mapping[int, str]) -> Bound:
        """Read the rules; wants their entries, section and walls fetched."""
        entries: dict[int, Names] = {}
        sections: dict[str, Names] = {}
        for rule in rules:
            if on := walls_left(rule, names):
                entries |= {entry.pk: on for entry in rule.entries.all()}
                sections |= {rule.section.number: on} if rule.section else {}
        return cls(names, entries, sections)


def walls_left(rule: HangRule, names: Mapping[int, str]) -> Names:
    """Return the names of a rule's walls that the hang uses, in the visitor's order."""
    chosen = {wall.pk for wall in rule.walls.all()}
    return tuple(name for key, name in names.items() if key in chosen)


def asked_for(place: KeptPlace, hang: Hang, chosen: Sequence[Section]) -> bool:
    """True where a place kept belongs to what a hang of these sections can ask for."""
    if hang.kind == Hang.Kind.BY_SECTION and place.section is None:
        return False
    return not chosen or place.section in chosen


def piece_of(place: KeptPlace, label: Label | None) -> Piece:
    return Piece(
        id=place.name,
        width_mm=place.width_mm,
        height_mm=place.height_mm,
        section=place.section.number if place.section else None,
        label=label,
        reserve=True,
    )


def with_places_kept(pieces: list[Piece], kept: Iterable[Piece]) -> list[Piece]:
    """Return the pieces with each place kept behind the last of its section, or behind all."""
    found = list(pieces)
    for place in kept:
        same = [n for n, piece in enumerate(found) if piece.section == place.section]
        found.insert(same[-1] + 1 if same else len(found), place)
    return found
