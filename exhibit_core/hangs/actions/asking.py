"""Changes to what a hang asks: walls, arrangement, rules and fixed places."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any
from uuid import UUID

from django.db import models, transaction
from django.db.models import Q

from exhibit_core.accounts.models import User
from exhibit_core.exhibitions.models import Exhibition, ListEntry, Section
from exhibit_core.hangs.models import FixedPlace, Hang, HangRule
from exhibit_core.history import record as history
from exhibit_core.spaces.models import Wall
from exhibit_core.web.errors import RefusedError, StaleError
from layouts.problem import STACKED

State = dict[str, Any]


@transaction.atomic
def create_hang(
    *,
    exhibition: Exhibition,
    values: Mapping[str, Any],
    walls: Sequence[Wall],
    sections: Sequence[Section] = (),
    by: User,
) -> Hang:
    """Set up a hang on walls; without sections it takes all of them."""
    hang = Hang(exhibition=exhibition, **values)
    hang.full_clean()
    hang.save()
    set_links(hang, walls, sections)
    history.record(
        by=by, action="hangs.create_hang", target=hang, sentence=f"Set up the hang {hang}"
    )
    return hang


@transaction.atomic
def update_hang(
    *,
    hang: Hang,
    values: Mapping[str, Any],
    walls: Sequence[Wall],
    sections: Sequence[Section] = (),
    version: int,
    by: User,
    batch: UUID | None = None,
) -> Hang:
    """Change what a hang asks, seen at `version`; raises StaleError when it moved on."""
    fresh = Hang.objects.select_for_update().get(pk=hang.pk)
    if fresh.version != version:
        raise StaleError(
            f"{fresh} was changed by someone else while you edited it.",
            theirs={name: getattr(fresh, name) for name in values},
            version=fresh.version,
        )
    changes = history.changed(fresh, values)
    links = {"walls": keys(fresh.walls.all()), "sections": keys(fresh.sections.all())}
    wanted = {"walls": keys(walls), "sections": keys(sections)}
    changes |= {name: (links[name], wanted[name]) for name in links if links[name] != wanted[name]}
    if not changes:
        return fresh
    for name, value in values.items():
        setattr(fresh, name, value)
    fresh.full_clean()
    _refuse_half_places(fresh)
    fresh.version += 1
    fresh.save()
    set_links(fresh, walls, sections)
    history.record(
        by=by,
        action="hangs.update_hang",
        target=fresh,
        sentence=f"Changed the hang {fresh}",
        changes=changes,
        batch=batch,
    )
    return fresh


@transaction.atomic
def add_rule(
    *,
    hang: Hang,
    kind: str,
    entries: Sequence[ListEntry],
    at_least_mm: int | None = None,
    weight: int | None = None,
    by: User,
    batch: UUID | None = None,
) -> HangRule:
    """Ask that objects hang together, or at least so far apart, or near each other."""
    if len({entry.pk for entry in entries}) < 2:
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
    )
    rule.full_clean()
    rule.save()
    rule.entries.set(entries)
    tell(hang, "hangs.add_rule", f"Asked in {hang}: {rule.words}", None, state(rule), by, batch)
    return rule


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
        raise RefusedError(_half_place(hang, entry))
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


def _refuse_half_places(hang: Hang) -> None:
    """Refuse an arrangement that sets heights where an object is fixed by one edge alone."""
    if hang.kind not in STACKED:
        return
    half = Q(x_mm__isnull=True) ^ Q(y_mm__isnull=True)
    place = hang.fixed_places.filter(half).select_related("entry__object").first()
    if place:
        raise RefusedError(_half_place(hang, place.entry))


def _half_place(hang: Hang, entry: ListEntry) -> str:
    return (
        f"The arrangement “{hang.get_kind_display()}” sets heights: fix {entry.object.number} by "
        "both its left edge and its bottom edge, or to the wall only."
    )


def set_links(hang: Hang, walls: Sequence[Wall], sections: Sequence[Section]) -> None:
    hang.walls.set(walls)
    hang.sections.set(sections)


def keys(rows: Iterable[models.Model]) -> list[int]:
    return sorted(row.pk for row in rows)


def state(row: HangRule | FixedPlace) -> State:
    """Return a rule or fixed place as history stores it."""
    if isinstance(row, HangRule):
        entries = keys(row.entries.all())
        own = {"kind": row.kind, "at_least_mm": row.at_least_mm, "entries": entries}
        own |= {"weight": row.weight} if row.weight else {}
        return {"model": "hangrule", "id": row.pk, **own}
    own = {"entry": row.entry_id, "wall": row.wall_id, "x_mm": row.x_mm, "y_mm": row.y_mm}
    return {"model": "fixedplace", "id": row.pk, **own}


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
