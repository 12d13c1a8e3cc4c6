"""Changes to what single objects are asked: rules, fixed places, and places kept."""

from collections.abc import Callable, Iterable, Sequence
from typing import Any
from uuid import UUID

from django.db import models, transaction

from exhibit_core.accounts.models import User
from exhibit_core.exhibitions.models import ListEntry, Section
from exhibit_core.hangs.models import FixedPlace, Hang, HangRule, KeptPlace
from exhibit_core.history import record as history
from exhibit_core.register.models import MuseumObject
from exhibit_core.spaces.models import Wall
from exhibit_core.web.errors import RefusedError
from layouts.problem import STACKED

State = dict[str, Any]
Row = HangRule | FixedPlace | KeptPlace


@transaction.atomic
def add_rule(
    *,
    hang: Hang,
    kind: str,
    entries: Sequence[ListEntry] = (),
    at_least_mm: int | None = None,
    weight: int | None = None,
    section: Section | None = None,
    walls: Sequence[Wall] = (),
    by: User,
    batch: UUID | None = None,
) -> HangRule:
    """Ask something of objects, or of a whole section: see `HangRule.Kind`."""
    on_walls = kind == HangRule.Kind.ON_WALLS
    if on_walls:
        _refuse_walls(hang, entries, section, walls)
    elif len({entry.pk for entry in entries}) < 2:
        raise RefusedError("A rule needs at least two objects.")
    if kind == HangRule.Kind.APART and not at_least_mm:
        raise RefusedError("Say how far apart they must hang, in mm.")
    if kind == HangRule.Kind.NEAR and not weight:
        raise RefusedError("Say how much it matters that they hang near each other.")
    rule = HangRule(
        hang=hang,
        kind=kind,
        at_least_mm=at_least_mm if kind == HangRule.Kind.APART else None,
        weight=weight if kind == HangRule.Kind.NEAR else None,
        section=section if on_walls else None,
    )
    rule.full_clean()
    rule.save()
    rule.entries.set(entries)
    rule.walls.set(walls if on_walls else ())
    tell(hang, "hangs.add_rule", f"Asked in {hang}: {rule.words}", None, state(rule), by, batch)
    return rule


def _refuse_walls(
    hang: Hang, entries: Sequence[ListEntry], section: Section | None, walls: Sequence[Wall]
) -> None:
    """Refuse what names no one, no wall of the hang, or one that is bound to walls already."""
    if bool(entries) == (section is not None):
        raise RefusedError("Name either objects or one section.")
    known = set(hang.walls.values_list("pk", flat=True))
    if not walls or any(wall.pk not in known for wall in walls):
        raise RefusedError("Choose at least one of this hang's walls.")
    others = hang.rules.filter(kind=HangRule.Kind.ON_WALLS)
    same = others.filter(section=section) if section else others.filter(entries__in=entries)
    if earlier := same.first():
        raise RefusedError(f"It is asked already: {earlier.words}. Remove that rule first.")


@transaction.atomic
def remove_rule(*, rule: HangRule, by: User, batch: UUID | None = None) -> None:
    sentence = f"No longer asked in {rule.hang}: {rule.words}"
    tell(rule.hang, "hangs.remove_rule", sentence, state(rule), None, by, batch)
    rule.delete()


@transaction.atomic
def fix_place(
    *,
    hang: Hang,
    entry: ListEntry,
    wall: Wall,
    x_mm: int | None = None,
    y_mm: int | None = None,
    by: User,
    batch: UUID | None = None,
) -> FixedPlace:
    """Fix an object to a wall and, where given, to a place on it; replaces its earlier place."""
    if not hang.walls.filter(pk=wall.pk).exists():
        raise RefusedError(f"{wall} is not one of this hang's walls: add it to the hang first.")
    if x_mm is not None and x_mm >= wall.length_mm:
        raise RefusedError(f"{x_mm} mm is beyond {wall}: it is {wall.length_mm} mm long.")
    if y_mm is not None and y_mm >= wall.height_mm:
        raise RefusedError(f"{y_mm} mm is above {wall}: it is {wall.height_mm} mm high.")
    if hang.kind in STACKED and (x_mm is None) != (y_mm is None):
        raise RefusedError(half_place(hang, entry))
    place = hang.fixed_places.filter(entry=entry).first()
    before = state(place) if place else None
    place = place or FixedPlace(hang=hang, entry=entry)
    place.wall, place.x_mm, place.y_mm = wall, x_mm, y_mm
    place.full_clean()
    place.save()
    sentence = f"Fixed {entry.object.number} on {wall} in {hang}"
    tell(hang, "hangs.fix_place", sentence, before, state(place), by, batch)
    return place


@transaction.atomic
def unfix(*, place: FixedPlace, by: User, batch: UUID | None = None) -> None:
    """Let an object hang wherever the arrangement puts it."""
    sentence = f"Freed {place.entry.object.number} in {place.hang}"
    tell(place.hang, "hangs.unfix", sentence, state(place), None, by, batch)
    place.delete()


@transaction.atomic
def keep_place(
    *,
    hang: Hang,
    name: str,
    width_mm: int,
    height_mm: int,
    section: Section | None = None,
    by: User,
    batch: UUID | None = None,
) -> KeptPlace:
    """Keep a place for an object still to come, under a name that no object bears."""
    if MuseumObject.objects.filter(number=name).exists():
        raise RefusedError(
            f"{name} is an object in the register: put it on the list instead, or use another name."
        )
    if hang.kept_places.filter(name=name).exists():
        raise RefusedError(f"A place is kept for {name} already: use another name.")
    if hang.kind == Hang.Kind.BY_SECTION and section is None:
        raise RefusedError("This hang is by section: say in which section the place is kept.")
    place = KeptPlace(hang=hang, name=name, width_mm=width_mm, height_mm=height_mm, section=section)
    place.full_clean()
    place.save()
    sentence = f"Kept a place in {hang} for {place.words}"
    tell(hang, "hangs.keep_place", sentence, None, state(place), by, batch)
    return place


@transaction.atomic
def give_up_place(*, place: KeptPlace, by: User, batch: UUID | None = None) -> None:
    sentence = f"No place is kept in {place.hang} for {place.name} any more"
    tell(place.hang, "hangs.give_up_place", sentence, state(place), None, by, batch)
    place.delete()


def half_place(hang: Hang, entry: ListEntry) -> str:
    """Say what a place lacks where the arrangement sets heights."""
    return (
        f"The arrangement “{hang.get_kind_display()}” sets heights: fix {entry.object.number} by "
        "both its left edge and its bottom edge, or to the wall only."
    )


def state(row: Row) -> State:
    """Return a rule, a fixed or a kept place as history stores it."""
    model = type(row)._meta.model_name
    return {"model": model, "id": row.pk, **_OWN[type(row)](row)}


def _rule_state(rule: HangRule) -> State:
    entries = keys(rule.entries.all())
    own = {"kind": rule.kind, "at_least_mm": rule.at_least_mm, "entries": entries}
    own |= {"weight": rule.weight} if rule.weight else {}
    if rule.kind == HangRule.Kind.ON_WALLS:
        own |= {"section": rule.section_id, "walls": keys(rule.walls.all())}
    return own


def _fixed_state(place: FixedPlace) -> State:
    own = {"entry": place.entry_id, "wall": place.wall_id}
    return {**own, "x_mm": place.x_mm, "y_mm": place.y_mm}


def _kept_state(place: KeptPlace) -> State:
    own = {"name": place.name, "section": place.section_id}
    return {**own, "width_mm": place.width_mm, "height_mm": place.height_mm}


_OWN: dict[type, Callable[[Any], State]] = {
    HangRule: _rule_state,
    FixedPlace: _fixed_state,
    KeptPlace: _kept_state,
}


def keys(rows: Iterable[models.Model]) -> list[int]:
    """Return the keys of rows in order, as history stores links."""
    return sorted(row.pk for row in rows)


def tell(
    hang: Hang,
    action: str,
    sentence: str,
    before: State | None,
    after: State | None,
    by: User,
    batch: UUID | None = None,
) -> None:
    """Write one history entry about a rule or a fixed place of a hang."""
    changes = {"row": (before, after)}
    history.record(
        by=by, action=action, target=hang, sentence=sentence, changes=changes, batch=batch
    )
