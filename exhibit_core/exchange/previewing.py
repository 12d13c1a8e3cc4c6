"""Work out what a list would do, and keep it; nothing of the register changes."""

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager

from django.core.files import File
from django.urls import reverse

from exhibit_core.accounts.access import can
from exhibit_core.accounts.models import User
from exhibit_core.accounts.rights import Right
from exhibit_core.exchange.models import ObjectList
from exhibit_core.exchange.planning import Planner
from exhibit_core.exchange.plans import OUTCOMES
from exhibit_core.exchange.reading.cells import Row
from exhibit_core.exchange.reading.look import open_list, rows_below
from exhibit_core.jobs.handlers import Progress, handles
from exhibit_core.web.errors import RefusedError

REPORT_EVERY = 200


@handles("exchange.preview")
def preview(*, payload: dict, by: User, progress: Progress) -> dict:
    """Plan every row and keep the plan, unless the list was matched anew meanwhile."""
    object_list = fresh_list(payload, by)
    summary = dict.fromkeys((*OUTCOMES, "warned"), 0)
    with tempfile.TemporaryFile() as file:
        with rows_of(object_list, progress) as rows:
            for plan in Planner(object_list, by=by).plans(rows):
                summary[plan.outcome] += 1
                summary["warned"] += bool(plan.warnings)
                file.write(plan.line())
        object_list.plan.save("plan.txt", File(file), save=False)
    kept = ObjectList.objects.filter(pk=object_list.pk, batch=object_list.batch)
    if not kept.update(
        plan=object_list.plan.name, summary=summary, state=ObjectList.State.PREVIEWED
    ):
        raise RefusedError("The columns were matched anew meanwhile: see the newer preview.")
    return {
        "url": reverse("exchange:preview", args=[object_list.pk]),
        "words": ", ".join(f"{summary[outcome]} {outcome}" for outcome in OUTCOMES),
    }


def fresh_list(payload: dict, by: User) -> ObjectList:
    """Return the list that a job was asked for, if it was not matched anew nor a right lost."""
    rows = ObjectList.objects.select_related("exhibition")
    found = rows.filter(pk=payload["list"], batch=payload["batch"]).first()
    if found is None:
        raise RefusedError("The columns were matched anew since: see the newer preview.")
    for right in [Right.IMPORT, *([Right.CHOOSE] if found.exhibition else [])]:
        if not can(by, right):
            raise RefusedError(f"Your role does not let you {right.label}.")
    return found


@contextmanager
def rows_of(object_list: ObjectList, progress: Progress) -> Iterator[Iterator[Row]]:
    """Open a list's file and give its rows, telling how far they are read."""
    with object_list.file.open("rb") as stored:
        source = open_list(stored.file, size=object_list.file.size)
        rows = rows_below(source, sheet=object_list.sheet, header_row=object_list.header_row)
        yield _told(rows, object_list.rows, progress)


def _told(rows: Iterator[Row], total: int, progress: Progress) -> Iterator[Row]:
    for count, row in enumerate(rows):
        if count % REPORT_EVERY == 0:
            progress(99 * count // max(total, 1), f"Row {count} of {total}")
        yield row
