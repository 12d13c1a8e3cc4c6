"""The way back from what was asked and accepted."""

from collections.abc import Mapping, Sequence
from typing import Any

from django.core.exceptions import ValidationError

from exhibit_core.accounts.access import can
from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Right
from exhibit_core.exhibitions.models import ListEntry, Section
from exhibit_core.hangs.actions.asking import update_hang
from exhibit_core.hangs.actions.ties import Row, keys, state, tell
from exhibit_core.hangs.actions.versions import set_accepted
from exhibit_core.hangs.models import FixedPlace, Hang, HangRule, KeptPlace
from exhibit_core.hangs.queries import datums_of
from exhibit_core.history import record as history
from exhibit_core.history.models import Entry
from exhibit_core.history.undo import undoes
from exhibit_core.spaces.models import Wall
from exhibit_core.web.errors import RefusedError

_MODELS = {"hangrule": HangRule, "fixedplace": FixedPlace, "keptplace": KeptPlace}


@undoes("hangs.accept_version")
def undo_accept(*, entries: Sequence[Entry], by: User) -> None:
    """Go back to the version accepted before, or to none."""
    _need_hang(by)
    for entry in entries:
        before, after = entry.changes["accepted"]
        hang = _hang(entry)
        now = hang.versions.filter(accepted_at__isnull=False).first()
        if now is None or now.pk != after:
            raise RefusedError(f"It was changed again since: {entry.sentence}.")
        earlier = hang.versions.filter(pk=before).first() if before else None
        set_accepted(hang, earlier, by)
        words = f"Accepted {earlier} again" if earlier else f"No version of {hang} is accepted"
        history.record(by=by, action="hangs.undo_accept", target=hang, sentence=words)


@undoes("hangs.update_hang")
def undo_update(*, entries: Sequence[Entry], by: User) -> None:
    """Put what the hang asks back where nobody changed it since."""
    _need_hang(by)
    for entry in entries:
        hang = _hang(entry)
        now: dict[str, Any] = {
            "walls": keys(hang.walls.all()),
            "sections": keys(hang.sections.all()),
            "datums": datums_of(hang),
        }
        changes = {name: [_links(name, v) for v in pair] for name, pair in entry.changes.items()}
        links = {name: pair for name, pair in changes.items() if name in now}
        plain = {name: pair for name, pair in changes.items() if name not in now}
        for name, (_, new) in changes.items():
            if (now[name] if name in now else getattr(hang, name)) != new:
                raise RefusedError(f"It was changed again since: {entry.sentence}.")
        wanted = now | {name: old for name, (old, _) in links.items()}
        update_hang(
            hang=hang,
            values={name: old for name, (old, _) in plain.items()},
            walls=list(Wall.objects.filter(pk__in=wanted["walls"])),
            sections=list(Section.objects.filter(pk__in=wanted["sections"])),
            datums={int(wall): mm for wall, mm in wanted["datums"].items()},
            version=hang.version,
            by=by,
        )


@undoes("hangs.add_rule")
@undoes("hangs.remove_rule")
@undoes("hangs.fix_place")
@undoes("hangs.unfix")
@undoes("hangs.keep_place")
@undoes("hangs.give_up_place")
def undo_row(*, entries: Sequence[Entry], by: User) -> None:
    """Put a rule or a fixed place back as it was where nobody changed it since."""
    _need_hang(by)
    for entry in entries:
        hang = _hang(entry)
        before, after = entry.changes["row"]
        row = _stored(hang, before or after)
        if (state(row) if row else None) != after:
            raise RefusedError(f"It was changed again since: {entry.sentence}.")
        if row is not None:
            row.delete()
        restored = _restored(hang, before) if before else None
        words = f"Taken back: {entry.sentence}"
        tell(hang, "hangs.undo_row", words, after, state(restored) if restored else None, by)


def _links(name: str, value: Any) -> Any:
    """Return a change as it compares: of walls and sections their keys, whatever their names."""
    return sorted(int(key) for key in value) if name in {"walls", "sections"} else value


def _need_hang(by: User) -> None:
    if not can(by, Right.HANG):
        raise RefusedError(f"Your role does not let you {Right.HANG.label}.")


def _hang(entry: Entry) -> Hang:
    hang = Hang.objects.select_for_update().filter(pk=entry.target_id).first()
    if hang is None:
        raise RefusedError(f"The hang is gone: {entry.sentence}.")
    return hang


def _stored(hang: Hang, values: Mapping[str, Any]) -> Row | None:
    return _MODELS[values["model"]].objects.filter(hang=hang, pk=values["id"]).first()


def _restored(hang: Hang, values: Mapping[str, Any]) -> Row:
    own = {name: value for name, value in values.items() if name not in {"model", "id"}}
    entries, walls = own.pop("entries", None), own.pop("walls", None)
    links = {f"{name}_id": own.pop(name) for name in ("entry", "wall", "section") if name in own}
    row = _MODELS[values["model"]](pk=values["id"], hang=hang, **own, **links)
    try:
        row.full_clean()
    except ValidationError as error:
        words = " ".join(error.messages)
        raise RefusedError(f"It cannot be brought back: {words}") from error
    row.save(force_insert=True)
    if entries is not None:
        row.entries.set(ListEntry.objects.filter(pk__in=entries))
    if walls is not None:
        row.walls.set(Wall.objects.filter(pk__in=walls))
    return row
