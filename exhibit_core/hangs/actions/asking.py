"""Changes to what a hang asks: walls, arrangement, heights and gaps."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.models import Q

from exhibit_core.accounts.models import User
from exhibit_core.exhibitions.models import Exhibition, Section
from exhibit_core.hangs.actions.ties import half_place
from exhibit_core.hangs.models import Hang, WallDatum
from exhibit_core.hangs.queries import datums_of
from exhibit_core.history import record as history
from exhibit_core.history.record import Changes
from exhibit_core.spaces.models import Wall
from exhibit_core.web.errors import RefusedError, StaleError
from layouts.problem import STACKED

Datums = Mapping[int, int | None]
"""A datum of its own in mm for walls by their key; None for the hang's own."""


@transaction.atomic
def create_hang(
    *,
    exhibition: Exhibition,
    values: Mapping[str, Any],
    walls: Sequence[Wall],
    sections: Sequence[Section] = (),
    datums: Datums | None = None,
    by: User,
) -> Hang:
    """Set up a hang on walls; without sections it takes all of them."""
    hang = Hang(exhibition=exhibition, **values)
    hang.full_clean()
    hang.save()
    _set_links(hang, walls, sections)
    _set_datums(hang, datums or {})
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
    datums: Datums | None = None,
    version: int,
    by: User,
    batch: UUID | None = None,
) -> Hang:
    """Change what a hang asks, seen at `version`; raises StaleError when it moved on.

    Without `datums` the walls keep theirs.
    """
    fresh = Hang.objects.select_for_update().get(pk=hang.pk)
    if fresh.version != version:
        raise StaleError(
            f"{fresh} was changed by someone else while you edited it.",
            theirs={name: getattr(fresh, name) for name in values},
            version=fresh.version,
        )
    changes = history.changed(fresh, values)
    links = {"walls": _named(fresh.walls.all()), "sections": _named(fresh.sections.all())}
    wanted = {"walls": _named(walls), "sections": _named(sections)}
    if datums is not None:
        links["datums"], wanted["datums"] = datums_of(fresh), _plain(datums)
    changes |= {name: (links[name], wanted[name]) for name in links if links[name] != wanted[name]}
    if not changes:
        return fresh
    for name, value in values.items():
        setattr(fresh, name, value)
    fresh.full_clean()
    _refuse_half_places(fresh)
    fresh.version += 1
    fresh.save()
    _set_links(fresh, walls, sections)
    if datums is not None:
        _set_datums(fresh, datums)
    history.record(
        by=by,
        action="hangs.update_hang",
        target=fresh,
        sentence="; ".join([f"Changed the hang {fresh}", *_said(fresh, changes)]),
        changes=changes,
        batch=batch,
    )
    return fresh


def _set_links(hang: Hang, walls: Sequence[Wall], sections: Sequence[Section]) -> None:
    hang.walls.set(walls)
    hang.sections.set(sections)


def _set_datums(hang: Hang, datums: Datums) -> None:
    hang.wall_datums.all().delete()
    for wall, datum_mm in datums.items():
        if datum_mm is not None:
            row = WallDatum(hang=hang, wall_id=wall, datum_mm=datum_mm)
            row.full_clean()
            row.save()


def _named(rows: Iterable[Wall | Section]) -> dict[str, str]:
    """Return linked rows by key with their names, as history stores them."""
    by_key = sorted(rows, key=lambda row: row.pk)
    return {str(row.pk): row.name if isinstance(row, Wall) else row.number for row in by_key}


def _said(hang: Hang, changes: Changes) -> Iterator[str]:
    """Say what history keeps by key: walls, sections, and datums of single walls."""
    for name in ("walls", "sections"):
        if name in changes:
            yield f"{name}: {', '.join(changes[name][1].values()) or 'all'}"
    if "datums" in changes:
        rows = hang.wall_datums.select_related("wall").order_by("wall")
        own = ", ".join(f"{row.datum_mm} mm on {row.wall.name}" for row in rows)
        yield f"datum {own}" if own else "one datum for all walls"


def _plain(datums: Datums) -> dict[str, int]:
    return {str(wall): mm for wall, mm in sorted(datums.items()) if mm is not None}


def _refuse_half_places(hang: Hang) -> None:
    """Refuse an arrangement that sets heights where an object is fixed by one edge alone."""
    if hang.kind not in STACKED:
        return
    half = Q(x_mm__isnull=True) ^ Q(y_mm__isnull=True)
    place = hang.fixed_places.filter(half).select_related("entry__object").first()
    if place:
        raise RefusedError(half_place(hang, place.entry))
