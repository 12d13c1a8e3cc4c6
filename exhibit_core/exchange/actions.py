"""Every change to lists that came in, up to asking for their work."""

import uuid
from collections.abc import Mapping
from typing import Any

from django.core.files import File
from django.db import transaction

from exhibit_core.accounts.models import User
from exhibit_core.exchange.matching import is_known, key_of
from exhibit_core.exchange.models import ObjectList, RememberedMatch
from exhibit_core.exchange.reading.look import Look, look_into
from exhibit_core.exhibitions.models import Exhibition
from exhibit_core.history.record import record
from exhibit_core.jobs.actions import ask_for
from exhibit_core.web.errors import RefusedError

LONGEST_NAME = 255


@transaction.atomic
def take_in(*, file: File, name: str, exhibition: Exhibition | None, by: User) -> ObjectList:
    """Keep a file that came in, after looking into it; raises RefusedError with the reason."""
    found = look_into(file.file, size=file.size, is_known=is_known)
    file.seek(0)
    row = ObjectList(file=file, name=_file_name(name), exhibition=exhibition, sent_by=by)
    _fill(row, found)
    row.full_clean()
    row.save()
    _record("take_in", row, f"Sent in the list {row}", by)
    return row


@transaction.atomic
def read_again(*, object_list: ObjectList, sheet: str, header_row: int, by: User) -> ObjectList:
    """Read another sheet, or its headings from another row; the matching starts anew."""
    row = _unapplied(object_list)
    with row.file.open("rb") as stored:
        found = look_into(
            stored.file,
            size=row.file.size,
            is_known=is_known,
            sheet=sheet,
            header_row=header_row or None,
        )
    _fill(row, found)
    row.matching, row.state, row.batch = {}, ObjectList.State.READ, uuid.uuid4()
    row.full_clean()
    row.save()
    _record("read_again", row, f"Read {row} from row {row.header_row} on", by)
    return row


@transaction.atomic
def match_columns(*, object_list: ObjectList, values: Mapping[str, Any], by: User) -> ObjectList:
    """Settle what each column holds, remember it for the next list, and ask for the preview."""
    row = _unapplied(object_list)
    for name, value in values.items():
        setattr(row, name, value)
    row.state, row.batch, row.summary = ObjectList.State.MATCHED, uuid.uuid4(), {}
    row.full_clean()
    _remember(row)
    _record("match_columns", row, f"Matched the columns of {row}", by)
    row.job = ask_for(
        kind="exchange.preview",
        title=f"Preview of {row.name}"[:200],
        payload={"list": row.pk, "batch": str(row.batch)},
        by=by,
    )
    row.save()
    return row


@transaction.atomic
def ask_to_apply(*, object_list: ObjectList, leave_out_refused: bool, by: User) -> ObjectList:
    """Ask for the list to be brought in as its preview shows it."""
    row = _unapplied(object_list)
    if row.state != ObjectList.State.PREVIEWED:
        raise RefusedError("Make a preview first.")
    if row.summary["refused"] and not leave_out_refused:
        raise RefusedError(
            f"{row.summary['refused']} rows are refused: tick that they are left out, or correct "
            "them in the list and send it again."
        )
    if not row.to_bring_in:
        raise RefusedError("There is nothing to bring in: no row is new or changed.")
    _record("ask_to_apply", row, f"Asked to bring in {row}", by)
    row.job = ask_for(
        kind="exchange.apply",
        title=f"Bring in {row.name}"[:200],
        payload={
            "list": row.pk,
            "batch": str(row.batch),
            "leave_out_refused": leave_out_refused,
        },
        by=by,
    )
    row.save(update_fields=["job"])
    return row


def _fill(row: ObjectList, found: Look) -> None:
    row.sheet = found.sheet
    row.sheets = [{"name": sheet.name, "hidden": sheet.hidden} for sheet in found.sheets]
    row.header_row = found.head.row
    row.columns = [
        {
            "place": column.place,
            "letter": column.letter,
            "name": column.name,
            "samples": list(column.samples),
        }
        for column in found.head.columns
    ]
    row.rows = found.rows
    row.notes = found.notes


def _file_name(name: str) -> str:
    """Keep the last part of what the sender's machine calls the file, and its ending."""
    shown = "".join(char for char in name.replace("\\", "/").split("/")[-1] if char.isprintable())
    stem, dot, ending = shown.rpartition(".")
    return f"{stem[: LONGEST_NAME - 10]}{dot}{ending[:9]}" or "list"


def _unapplied(object_list: ObjectList) -> ObjectList:
    row = ObjectList.objects.select_for_update().get(pk=object_list.pk)
    if row.is_applied:
        raise RefusedError("This list is in the register already: send it again to change more.")
    return row


def _remember(row: ObjectList) -> None:
    names = {column["place"]: column["name"] for column in row.columns}
    rows = {
        key: RememberedMatch(column=key, field=match["field"], unit=match["unit"])
        for place, match in row.matching.items()
        if (key := key_of(names[int(place)]))
    }
    RememberedMatch.objects.bulk_create(
        rows.values(),
        update_conflicts=True,
        unique_fields=["column"],
        update_fields=["field", "unit"],
    )


def _record(act: str, row: ObjectList, sentence: str, by: User) -> None:
    record(by=by, action=f"exchange.{act}", target=row, sentence=sentence)
