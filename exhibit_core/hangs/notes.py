"""Say what a hang does not know or cannot heed, before anyone computes it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from exhibit_core.exhibitions.models import ListEntry
from exhibit_core.hangs.bound import Names, walls_left
from exhibit_core.hangs.models import FixedPlace, Hang, HangRule, KeptPlace
from exhibit_core.register.sizes import BestSize
from layouts.problem import Problem

Hung = dict[int, tuple[ListEntry, BestSize]]


def numbers(rule: HangRule, hung: Hung) -> Names:
    """Return the numbers of those objects of a rule that hang."""
    return tuple(entry.object.number for entry in rule.entries.all() if entry.pk in hung)


def notes(
    problem: Problem, hung: Hung, fixed: Iterable[FixedPlace], kept: Iterable[KeptPlace]
) -> Iterable[str]:
    """Yield a sentence for each thing unknown, and for each place that is idle."""
    hanging = {entry.object.number for entry, _ in hung.values()}
    limited = any(wall.fixings for wall in problem.walls)
    unweighed = [e.object.number for e, size in hung.values() if size.mass_g is None]
    if limited and unweighed:
        yield (
            f"No weight is known of {_listed(unweighed)}: nothing is checked against what the "
            "walls carry. Weigh before hanging."
        )
    unhung = [e.object.number for e, size in hung.values() if size.hang_point_mm is None]
    if unhung:
        yield (
            f"No hanging point is known of {_listed(unhung)}: the hook is reckoned at the top "
            "edge. Measure from the top edge down to where it bears, the wire taut."
        )
    for place in fixed:
        number = place.entry.object.number
        if number not in hanging:
            yield f"{number} has a fixed place but does not hang: it is not among the pieces."
        elif problem.piece(number).wall is None:
            yield f"{number} is fixed to a wall that this hang does not use: its place is ignored."
    if problem.arrangement.kind == Hang.Kind.RELATED and not problem.near:
        yield (
            "Nothing is said to belong near anything: without such a rule, related side by side "
            "comes out as an even run."
        )
    asked = {piece.id for piece in problem.pieces if piece.reserve}
    for place in (place for place in kept if place.name not in asked):
        if place.name in hanging:
            yield f"{place.name} hangs now: the place kept for it is left out, and can be given up."
            continue
        where = f"section {place.section.number}" if place.section else "no section"
        yield (
            f"The place kept for {place.name} is left out: it is in {where}, and this hang needs "
            "another."
        )


def idle(rules: Iterable[HangRule], hung: Hung, walls: Mapping[int, str]) -> Iterable[str]:
    """Say of rules that bind nothing why they do not; `walls` names the hang's by key."""
    for rule in rules:
        name = rule.get_kind_display()
        if rule.kind == HangRule.Kind.ON_WALLS:
            who = f"section {rule.section.number}" if rule.section else _all_numbers(rule)
            if not walls_left(rule, walls):
                yield f"The rule “{name}” for {who} is idle: this hang uses none of those walls."
            elif not rule.section and not numbers(rule, hung):
                yield f"The rule “{name}” for {who} is idle: none of them hangs."
        elif len(numbers(rule, hung)) < 2:
            yield (
                f"The rule “{name}” for {_all_numbers(rule)} is idle: fewer than two of them hang."
            )


def _all_numbers(rule: HangRule) -> str:
    return _listed([entry.object.number for entry in rule.entries.all()])


def _listed(names: list[str], most: int = 6) -> str:
    """Name the first few and count the rest."""
    if len(names) <= most:
        return ", ".join(names)
    return f"{', '.join(names[:most])} and {len(names) - most} more"
