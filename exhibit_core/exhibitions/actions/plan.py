"""Changes to an exhibition and to the sections of its story."""

import uuid
from collections.abc import Mapping, Sequence
from typing import Any

from django.db import models, transaction

from exhibit_core.accounts.access import can
from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Right
from exhibit_core.exhibitions.actions.entries import change_entries
from exhibit_core.exhibitions.models import Exhibition, Section
from exhibit_core.history import record as history
from exhibit_core.history.models import Entry
from exhibit_core.history.undo import undoes
from exhibit_core.register.actions import old_values
from exhibit_core.spaces import actions as spaces
from exhibit_core.spaces.models import Venue
from exhibit_core.web.errors import RefusedError, StaleError

SECTION_FIELDS = ("number", "title", "key_message", "position")


def venue_named(*, name: str, by: User) -> Venue:
    """Return the venue of this name, a new one if there is none yet."""
    known = Venue.objects.filter(name__iexact=name).first()
    return known or spaces.add(row=Venue(name=name), by=by)


@transaction.atomic
def create_exhibition(*, values: Mapping[str, Any], by: User) -> Exhibition:
    exhibition = Exhibition(**values)
    exhibition.full_clean()
    exhibition.save()
    history.record(
        by=by,
        action="exhibitions.create_exhibition",
        target=exhibition,
        sentence=f"Set up the exhibition {exhibition}",
    )
    return exhibition


@transaction.atomic
def update_exhibition(
    *, exhibition: Exhibition, values: Mapping[str, Any], version: int, by: User
) -> Exhibition:
    """Change an exhibition that the person saw at `version`; raises StaleError when it moved on."""
    fresh = Exhibition.objects.select_for_update().get(pk=exhibition.pk)
    if fresh.version != version:
        raise StaleError(
            f"{fresh} was changed by someone else while you edited it.",
            theirs={name: getattr(fresh, name) for name in values},
            version=fresh.version,
        )
    _change(fresh, values, action="exhibitions.update_exhibition", by=by)
    return fresh


@transaction.atomic
def add_section(*, exhibition: Exhibition, values: Mapping[str, Any], by: User) -> Section:
    """Add a section after the last one."""
    last = exhibition.sections.aggregate(last=models.Max("position"))["last"]
    section = Section(
        **{"position": 0 if last is None else last + 1, **values}, exhibition=exhibition
    )
    section.full_clean()
    section.save()
    history.record(
        by=by,
        action="exhibitions.add_section",
        target=section,
        sentence=f"Added section {section}",
    )
    return section


@transaction.atomic
def update_section(*, section: Section, values: Mapping[str, Any], by: User) -> Section:
    fresh = Section.objects.select_for_update().get(pk=section.pk)
    _change(fresh, values, action="exhibitions.update_section", by=by)
    return fresh


@transaction.atomic
def move_section(*, section: Section, places: int, by: User) -> list[Section]:
    """Move a section so many places on in the story (negative: back); return the new order."""
    order = list(section.exhibition.sections.all())
    before = next(n for n, row in enumerate(order) if row.pk == section.pk)
    after = max(0, min(len(order) - 1, before + places))
    _place(order, before, after)
    if after != before:
        history.record(
            by=by,
            action="exhibitions.move_section",
            target=section,
            sentence=f"Moved section {section} to place {after + 1}",
            changes={"place": (before, after)},
        )
    return order


@transaction.atomic
def delete_section(
    *,
    section: Section,
    by: User,
    move_to: Section | None = None,
    batch: uuid.UUID | None = None,
) -> None:
    """Remove a section; its objects stay on the list, in `move_to` or in no section."""
    if move_to and (move_to.pk == section.pk or move_to.exhibition_id != section.exhibition_id):
        raise RefusedError("Choose another section of this exhibition for its objects.")
    batch = batch or history.new_batch()
    change_entries(entries=section.entries.all(), values={"section": move_to}, by=by, batch=batch)
    history.record(
        by=by,
        action="exhibitions.delete_section",
        target=section,
        sentence=f"Removed section {section}",
        changes={name: (getattr(section, name), None) for name in SECTION_FIELDS}
        | {"exhibition": (section.exhibition_id, None)},
        batch=batch,
    )
    section.delete()


@undoes("exhibitions.update_exhibition")
def undo_exhibition(*, entries: Sequence[Entry], by: User) -> None:
    _restore(Exhibition, entries, by=by, action="exhibitions.update_exhibition")


@undoes("exhibitions.update_section")
def undo_section(*, entries: Sequence[Entry], by: User) -> None:
    _restore(Section, entries, by=by, action="exhibitions.update_section")


@undoes("exhibitions.add_section")
def undo_add_section(*, entries: Sequence[Entry], by: User) -> None:
    _need_edit(by)
    for section in Section.objects.filter(pk__in=[entry.target_id for entry in entries]):
        if section.entries.exists():
            raise RefusedError(f"Section {section} has objects now: remove it by hand.")
        delete_section(section=section, by=by)


@undoes("exhibitions.move_section")
def undo_move_section(*, entries: Sequence[Entry], by: User) -> None:
    _need_edit(by)
    for entry in entries:
        before, after = entry.changes["place"]
        section = Section.objects.filter(pk=entry.target_id).first()
        order = list(section.exhibition.sections.all()) if section else []
        if after >= len(order) or order[after].pk != entry.target_id:
            raise RefusedError("The order of the sections was changed again since.")
        move_section(section=section, places=before - after, by=by)


@undoes("exhibitions.delete_section")
def undo_delete_section(*, entries: Sequence[Entry], by: User) -> None:
    """Put the section back under its old key, so that its objects find their way back to it."""
    _need_edit(by)
    for entry in entries:
        values = {name: old for name, (old, _) in entry.changes.items()}
        section = Section(pk=entry.target_id, exhibition_id=values.pop("exhibition"), **values)
        if section.exhibition.sections.filter(number=section.number).exists():
            raise RefusedError(f"There is another section {section.number} now.")
        section.save(force_insert=True)
        history.record(
            by=by,
            action="exhibitions.add_section",
            target=section,
            sentence=f"Put section {section} back",
        )


def _need_edit(by: User) -> None:
    if not can(by, Right.EDIT_EXHIBITION):
        raise RefusedError(f"Your role does not let you {Right.EDIT_EXHIBITION.label}.")


def _change(
    row: models.Model, values: Mapping[str, Any], *, action: str, by: User, words: str = ""
) -> None:
    if not (found := history.changed(row, values)):
        return
    for name in found:
        setattr(row, name, values[name])
    row.full_clean()
    if isinstance(row, Exhibition):
        row.version += 1
    row.save()
    history.record(
        by=by, action=action, target=row, sentence=f"Changed {row}{words}", changes=found
    )


def _restore(model: type[models.Model], entries: Sequence[Entry], *, by: User, action: str) -> None:
    _need_edit(by)
    rows = model.objects.select_for_update().in_bulk([entry.target_id for entry in entries])
    for entry in entries:
        if (row := rows.get(entry.target_id)) is None:
            raise RefusedError(f"It is gone: {entry.sentence}.")
        _change(row, old_values(row, entry.changes), action=action, by=by, words=" back")


def _place(order: list[Section], before: int, after: int) -> None:
    order.insert(after, order.pop(before))
    for position, row in enumerate(order):
        row.position = position
    Section.objects.bulk_update(order, ["position"])
