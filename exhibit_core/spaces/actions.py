"""Every change to venues, rooms, walls and what is on a wall."""

import uuid
from collections.abc import Mapping, Sequence
from typing import Any

from django.apps import apps
from django.db import models, transaction

from exhibit_core.accounts.access import can
from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Right
from exhibit_core.history import record as history
from exhibit_core.history.models import Entry
from exhibit_core.history.undo import undoes
from exhibit_core.spaces.models import BlockedArea, Fixing, LightZone, Room, Venue, Wall
from exhibit_core.web.errors import RefusedError

Row = Venue | Room | Wall | BlockedArea | LightZone | Fixing
PARTS = ("blocked_areas", "light_zones", "fixings")
_UNSEEN = {"version"}


@transaction.atomic
def add(*, row: Row, by: User) -> Row:
    """Save a new row, last among its neighbours; raises ValidationError."""
    if isinstance(row, Room | Wall):
        neighbours = row.venue.rooms if isinstance(row, Room) else row.room.walls
        last = neighbours.aggregate(last=models.Max("position"))["last"]
        row.position = 0 if last is None else last + 1
    row.full_clean()
    row.save()
    _touch(row)
    _record(row, f"Added {row}", by=by, before=None, after=_state(row))
    return row


@transaction.atomic
def change(*, row: Row, values: Mapping[str, Any], by: User) -> Row:
    """Give a row new values; raises ValidationError, also for what would no longer fit a wall."""
    fresh = type(row).objects.select_for_update().get(pk=row.pk)
    _set(fresh, values, by=by, words="Changed")
    return fresh


@transaction.atomic
def remove(*, row: Row, by: User) -> None:
    """Delete a row with what is on it; raises RefusedError where rooms, walls or others use it."""
    _refuse_if_used(row)
    batch = history.new_batch()
    if isinstance(row, Wall):
        for part in _parts(row):
            _remove(part, by=by, batch=batch)
    _remove(row, by=by, batch=batch)


@transaction.atomic
def move(*, row: Room | Wall, later: bool, by: User) -> None:
    """Exchange a room or wall with its neighbour in the visitor's order; at an end, do nothing."""
    rows = list(row.venue.rooms.all() if isinstance(row, Room) else row.room.walls.all())
    here = next(place for place, other in enumerate(rows) if other.pk == row.pk)
    there = here + 1 if later else here - 1
    if not 0 <= there < len(rows):
        return
    rows[here], rows[there] = rows[there], rows[here]
    batch = history.new_batch()
    for place, other in enumerate(rows):
        if other.position != place:
            _set(other, {"position": place}, by=by, words="Moved", batch=batch)


@undoes("spaces.change")
def undo(*, entries: Sequence[Entry], by: User) -> None:
    """Put rows back as they were where nobody changed them since."""
    if not can(by, Right.EDIT_SPACES):
        raise RefusedError(f"Your role does not let you {Right.EDIT_SPACES.label}.")
    for entry in entries:
        before, after = entry.changes["row"]
        model = apps.get_model("spaces", (before or after)["model"])
        row = model.objects.filter(pk=(before or after)["id"]).first()
        if (_state(row) if row else None) != after:
            raise RefusedError(f"It was changed again since: {entry.sentence}.")
        if before is None:
            _refuse_if_used(row)
            _remove(row, by=by)
        elif row is None:
            _restore(model, before, by=by)
        else:
            values = {k: v for k, v in before.items() if k not in {"model", "id"}}
            _set(row, values, by=by, words="Changed back")


def _set(
    row: Row, values: Mapping[str, Any], *, by: User, words: str, batch: uuid.UUID | None = None
) -> None:
    before = _state(row)
    for name, value in values.items():
        setattr(row, name, value)
    row.full_clean()
    if isinstance(row, Wall):
        _refuse_if_too_small(row)
    # Decimals and numbers typed as text compare only after validation gave them their type.
    if _state(row) == before:
        return
    row.save()
    _touch(row)
    _record(row, f"{words} {row}", by=by, before=before, after=_state(row), batch=batch)


def _remove(row: Row, *, by: User, batch: uuid.UUID | None = None) -> None:
    _record(row, f"Removed {row}", by=by, before=_state(row), after=None, batch=batch)
    _touch(row)
    row.delete()


def _restore(model: type[Row], state: Mapping[str, Any], *, by: User) -> None:
    row = model(**{name: value for name, value in state.items() if name != "model"})
    row.full_clean()
    row.save(force_insert=True)
    _touch(row)
    _record(row, f"Brought back {row}", by=by, before=None, after=_state(row))


def _parts(wall: Wall) -> list[BlockedArea | LightZone | Fixing]:
    return [part for name in PARTS for part in getattr(wall, name).all()]


def _refuse_if_too_small(wall: Wall) -> None:
    for part in _parts(wall):
        ends_mm = part.x_mm + part.width_mm if isinstance(part, BlockedArea) else part.to_mm
        if ends_mm > wall.length_mm:
            raise RefusedError(
                f"{part} ends at {ends_mm} mm, beyond {wall.length_mm} mm: change it first."
            )
        if isinstance(part, BlockedArea) and part.y_mm + part.height_mm > wall.height_mm:
            raise RefusedError(
                f"{part} reaches {part.y_mm + part.height_mm} mm, above {wall.height_mm} mm: "
                "change it first."
            )


def _refuse_if_used(row: Row) -> None:
    """Refuse while rows that stand for themselves point here; the parts of a wall go with it."""
    for link in row._meta.related_objects:
        if link.related_model in (BlockedArea, LightZone, Fixing):
            continue
        users = link.related_model.objects.filter(**{link.field.name: row.pk})
        if user := users.first():
            raise RefusedError(
                f"{row} cannot be removed: {link.related_model._meta.verbose_name} “{user}” "
                "uses it. Remove it there first."
            )


def _touch(row: Row) -> None:
    """Count a change of a wall, or of what is on it, so that what was computed can tell."""
    key = row.pk if isinstance(row, Wall) else getattr(row, "wall_id", None)
    Wall.objects.filter(pk=key).update(version=models.F("version") + 1)


def _state(row: Row) -> dict[str, Any]:
    values = {
        field.attname: history.plain(field, getattr(row, field.attname))
        for field in row._meta.concrete_fields
        if field.name not in _UNSEEN
    }
    return {"model": row._meta.model_name, **values}


def _record(
    row: Row,
    sentence: str,
    *,
    by: User,
    before: dict[str, Any] | None,
    after: dict[str, Any] | None,
    batch: uuid.UUID | None = None,
) -> None:
    history.record(
        by=by,
        action="spaces.change",
        target=_page_of(row, stays=None not in (before, after)),
        sentence=sentence,
        changes={"row": (before, after)},
        batch=batch,
    )


def _page_of(row: Row, *, stays: bool) -> Venue | Room | Wall:
    """Return whose history tells of the row: its own, or its owner's when it comes or goes."""
    if isinstance(row, Venue) or (stays and isinstance(row, Room | Wall)):
        return row
    if isinstance(row, Room):
        return row.venue
    return row.room if isinstance(row, Wall) else row.wall
