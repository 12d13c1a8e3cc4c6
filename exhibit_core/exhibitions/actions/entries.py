"""Every change to an exhibition's list of objects."""

import uuid
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import F

from exhibit_core.accounts.access import can
from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Right
from exhibit_core.exhibitions.models import ColumnChoice, Exhibition, ListEntry, Section
from exhibit_core.history import record as history
from exhibit_core.history.models import Entry
from exhibit_core.history.undo import undoes
from exhibit_core.register.models import MuseumObject
from exhibit_core.web.errors import RefusedError, StaleError

AT_ONCE = 900
_LINKS = frozenset({"exhibition", "object", "section"})
_KEPT = (
    *("exhibition_id", "object_id", "section_id"),
    *("stage", "reason", "position", "shown_on", "note"),
)


@transaction.atomic
def add_to_list(
    *,
    exhibition: Exhibition,
    objects: Sequence[MuseumObject],
    by: User,
    batch: uuid.UUID | None = None,
    values_by_object: Mapping[int, Mapping[str, Any]] | None = None,
) -> list[ListEntry]:
    """Put objects on the list and return the new entries; those already on it stay as they are.

    `values_by_object` may give stage, reason, section, position, shown_on and note by object key.
    """
    batch = batch or history.new_batch()
    values_by_object = values_by_object or {}
    listed = set(exhibition.entries.values_list("object_id", flat=True))
    added = [
        ListEntry(exhibition=exhibition, object=obj, **values_by_object.get(obj.pk, {}))
        for obj in {obj.pk: obj for obj in objects}.values()
        if obj.pk not in listed
    ]
    for entry in added:
        _validate(entry)
    ListEntry.objects.bulk_create(added, batch_size=AT_ONCE)
    history.record_many(
        history.entry(
            by=by,
            action="exhibitions.add_to_list",
            target=entry,
            sentence=f"Put {entry.object.number} on the list of {exhibition}",
            batch=batch,
        )
        for entry in added
    )
    return added


@transaction.atomic
def change_entries(
    *,
    entries: Iterable[ListEntry],
    values: Mapping[str, Any],
    by: User,
    batch: uuid.UUID | None = None,
) -> list[ListEntry]:
    """Give entries the same values and return those that changed.

    Raises ValidationError of the first entry that is not valid; then nothing is saved.
    """
    fresh = _fresh(entry.pk for entry in entries)
    return _change([(entry, values) for entry in fresh.values()], by=by, batch=batch)


@transaction.atomic
def change_each(
    *, values_by_entry: Mapping[int, Mapping[str, Any]], by: User, batch: uuid.UUID | None = None
) -> list[ListEntry]:
    """Give each entry, by its key, values of its own; as `change_entries` does for the same."""
    fresh = _fresh(values_by_entry)
    pairs = [(fresh[key], values) for key, values in values_by_entry.items()]
    return _change(pairs, by=by, batch=batch)


@transaction.atomic
def update_entry(
    *,
    entry: ListEntry,
    values: Mapping[str, Any],
    version: int,
    by: User,
    batch: uuid.UUID | None = None,
) -> list[ListEntry]:
    """Change one entry that the person saw at `version`; a new position moves the others along.

    Raises StaleError when somebody else changed it in between.
    """
    fresh = _fresh([entry.pk])[entry.pk]
    if fresh.version != version:
        raise StaleError(
            f"{fresh.object.number} was changed by someone else while you edited it.",
            theirs={name: getattr(fresh, name) for name in values},
            version=fresh.version,
        )
    values = dict(values)
    if values.get("position", fresh.position) != fresh.position:
        _number(fresh)
        section = values.get("section", fresh.section)
        values["position"] = _make_room(fresh, section, values["position"])
    return _change([(fresh, values)], by=by, batch=batch)


@transaction.atomic
def choose_columns(*, person: User, columns: Sequence[str]) -> ColumnChoice:
    """Keep which columns a person sees in every list, in their order."""
    choice, _ = ColumnChoice.objects.get_or_create(person=person)
    before = choice.columns
    choice.columns = list(columns)
    choice.full_clean()
    choice.save(update_fields=["columns"])
    history.record(
        by=person,
        action="exhibitions.choose_columns",
        target=choice,
        sentence="Chose the columns of the list",
        changes={"columns": (before, choice.columns)},
    )
    return choice


@undoes("exhibitions.add_to_list")
def undo_add(*, entries: Sequence[Entry], by: User) -> None:
    """Take objects off the list again where nobody worked with their entries since."""
    _need_choose(by)
    rows = _fresh(entry.target_id for entry in entries)
    if touched := next((row for row in rows.values() if row.version > 1), None):
        raise RefusedError(f"{touched.object.number} was changed since it was put on the list.")
    if used := _used(rows):
        raise RefusedError(f"{rows[min(used)].object.number} is in use since, as in a hang's rule.")
    batch = history.new_batch()
    history.record_many(
        history.entry(
            by=by,
            action="exhibitions.remove_from_list",
            target=row,
            sentence=f"Took {row.object.number} off the list of {row.exhibition}",
            changes={name: (getattr(row, name), None) for name in _KEPT},
            batch=batch,
        )
        for row in rows.values()
    )
    for keys in _chunks(rows):
        ListEntry.objects.filter(pk__in=keys).delete()


@undoes("exhibitions.remove_from_list")
def undo_remove(*, entries: Sequence[Entry], by: User) -> None:
    """Put objects back on the list as they stood, under their old keys."""
    _need_choose(by)
    rows = [
        ListEntry(pk=entry.target_id, **{name: old for name, (old, _) in entry.changes.items()})
        for entry in entries
    ]
    exhibition = Exhibition.objects.filter(pk=rows[0].exhibition_id).first()
    if exhibition is None:
        raise RefusedError("The exhibition is gone.")
    objects = MuseumObject.objects.in_bulk({row.object_id for row in rows})
    sections = set(exhibition.sections.values_list("pk", flat=True))
    listed = set(exhibition.entries.values_list("object_id", flat=True))
    for row, entry in zip(rows, entries, strict=True):
        if row.object_id in listed or row.object_id not in objects:
            raise RefusedError(f"It is on the list again, or gone: {entry.sentence}.")
        if row.section_id and row.section_id not in sections:
            raise RefusedError(f"Its section is gone: {entry.sentence}.")
        row.object = objects[row.object_id]
    ListEntry.objects.bulk_create(rows, batch_size=AT_ONCE)
    batch = history.new_batch()
    history.record_many(
        history.entry(
            by=by,
            action="exhibitions.add_to_list",
            target=row,
            sentence=f"Put {row.object.number} back on the list of {exhibition}",
            batch=batch,
        )
        for row in rows
    )


@undoes("exhibitions.change_entry")
def undo_change(*, entries: Sequence[Entry], by: User) -> None:
    """Put the old values back where nobody changed them since."""
    _need_choose(by)
    rows = _fresh(entry.target_id for entry in entries)
    sections = Section.objects.in_bulk()
    changes = []
    for entry in entries:
        if (row := rows.get(entry.target_id)) is None:
            raise RefusedError(f"No longer on the list: {entry.sentence}.")
        changes.append((row, _values_before(row, entry.changes, sections)))
    if len(changes) == 1 and "position" in changes[0][1]:
        row, values = changes[0]
        _make_room(row, values.get("section", row.section), values["position"])
    _change(changes, by=by, words=" back")


def _need_choose(by: User) -> None:
    if not can(by, Right.CHOOSE):
        raise RefusedError(f"Your role does not let you {Right.CHOOSE.label}.")


def _fresh(keys: Iterable[int]) -> dict[int, ListEntry]:
    rows = ListEntry.objects.select_related("object", "section", "exhibition")
    return rows.select_for_update(of=("self",)).in_bulk(list(keys))


def _used(keys: Iterable[int]) -> set[int]:
    """Return the entries that rows of other apps point at; deleting them would lose those."""
    found: set[int] = set()
    for relation in ListEntry._meta.related_objects:
        name = relation.field.name
        rows = relation.related_model._default_manager
        for some in _chunks(keys):
            found.update(rows.filter(**{f"{name}__in": some}).values_list(name, flat=True))
    return found


def _chunks(keys: Iterable[int]) -> Iterable[list[int]]:
    """Split keys into as many as one statement may name."""
    every = list(keys)
    return (every[start : start + AT_ONCE] for start in range(0, len(every), AT_ONCE))


def _validate(entry: ListEntry) -> None:
    """Check one entry without asking the database, for there may be thousands."""
    try:
        entry.clean_fields(exclude=_LINKS)
        entry.clean()
    except ValidationError as error:
        error.entry = entry
        raise


def _change(
    pairs: Sequence[tuple[ListEntry, Mapping[str, Any]]],
    *,
    by: User,
    batch: uuid.UUID | None = None,
    words: str = "",
) -> list[ListEntry]:
    batch = batch or history.new_batch()
    alike: dict[tuple[tuple[str, Any], ...], list[int]] = {}
    changed: list[ListEntry] = []
    acts = []
    for entry, values in pairs:
        values = dict(values)
        if values.get("stage", ListEntry.Stage.WITHDRAWN) != ListEntry.Stage.WITHDRAWN:
            values.setdefault("reason", "")
        if not (found := history.changed(entry, values)):
            continue
        for name in found:
            setattr(entry, name, values[name])
        _validate(entry)
        alike.setdefault(tuple((name, values[name]) for name in found), []).append(entry.pk)
        changed.append(entry)
        acts.append(
            history.entry(
                by=by,
                action="exhibitions.change_entry",
                target=entry,
                sentence=f"Changed {entry.object.number}{words}: {_in_words(entry, found)}",
                changes=found,
                batch=batch,
            )
        )
    for new, keys in alike.items():
        for some in _chunks(keys):
            rows = ListEntry.objects.filter(pk__in=some)
            rows.update(**dict(new), version=F("version") + 1)
    for entry in changed:
        entry.version += 1
    history.record_many(acts)
    return changed


def _in_words(entry: ListEntry, found: Iterable[str]) -> str:
    said = {
        "stage": lambda: entry.get_stage_display(),
        "section": lambda: f"section {entry.section.number}" if entry.section else "no section",
        "shown_on": lambda: f"shown on {entry.get_shown_on_display()}",
        "position": lambda: f"order {entry.position}",
        "reason": lambda: f"reason “{entry.reason}”" if entry.reason else "",
        "note": lambda: "note",
    }
    return ", ".join(word for name in found if (word := said[name]()))


def _values_before(
    row: ListEntry, pairs: Mapping[str, list[Any]], sections: Mapping[int, Section]
) -> dict[str, Any]:
    values = {}
    for name, (old, new) in pairs.items():
        now = row.section_id if name == "section" else getattr(row, name)
        if now != new:
            column = row._meta.get_field(name).verbose_name
            raise RefusedError(f"{row.object.number} was changed again since: see its {column}.")
        if name == "section" and old is not None and old not in sections:
            raise RefusedError(f"The section that {row.object.number} was in is gone.")
        values[name] = sections.get(old) if name == "section" else old
    return values


def _number(entry: ListEntry) -> None:
    """Number the entry's section from 1 in its present order."""
    rows = list(_neighbours(entry, entry.section))
    _write_positions(rows, range(1, len(rows) + 1))
    entry.position = next(row.position for row in rows if row.pk == entry.pk)


def _make_room(entry: ListEntry, section: Section | None, place: int) -> int:
    """Number the others of a section so that `place` is free; return it, at most one past them."""
    rows = list(_neighbours(entry, section).exclude(pk=entry.pk))
    place = max(1, min(place, len(rows) + 1))
    _write_positions(rows, (n for n in range(1, len(rows) + 2) if n != place))
    return place


def _neighbours(entry: ListEntry, section: Section | None):
    rows = ListEntry.objects.filter(exhibition_id=entry.exhibition_id, section=section)
    return rows.order_by("position", "object__number_key")


def _write_positions(rows: Sequence[ListEntry], positions: Iterable[int]) -> None:
    moved = []
    for row, position in zip(rows, positions, strict=True):
        if row.position != position:
            row.position = position
            moved.append(row)
    ListEntry.objects.bulk_update(moved, ["position"], batch_size=AT_ONCE)
