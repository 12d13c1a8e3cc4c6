"""Computing a hang, keeping the answer, and accepting it."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.db import models, transaction
from django.utils import timezone

from exhibit_core.accounts.models import User
from exhibit_core.hangs import queries
from exhibit_core.hangs.models import Hang, HangVersion
from exhibit_core.history import record as history
from exhibit_core.jobs import actions as jobs
from exhibit_core.jobs.models import Job
from exhibit_core.web.errors import RefusedError


def ask_for_solution(*, hang: Hang, keep: bool = False, by: User) -> Job:
    """Queue the computing of a hang; with `keep`, as little as possible moves from the last one."""
    return jobs.ask_for(
        kind="hangs.solve",
        title=f"Computing the hang {hang}",
        payload={"hang": hang.pk, "keep": keep, "stop": "Stop, and keep the best found so far"},
        by=by,
    )


@transaction.atomic
def save_version(
    *,
    hang: Hang,
    problem: Mapping[str, Any],
    solution: Mapping[str, Any],
    captions: Mapping[str, Any],
    by: User,
) -> HangVersion:
    """Keep an answer, also one that says why there is none, as the hang's next version."""
    Hang.objects.select_for_update().get(pk=hang.pk)
    last = hang.versions.aggregate(last=models.Max("number"))["last"] or 0
    version = HangVersion(
        hang=hang,
        number=last + 1,
        problem=dict(problem),
        solution=dict(solution),
        captions=dict(captions),
        status=_status(solution),
        made_by=by,
    )
    version.full_clean()
    version.save()
    history.record(
        by=by,
        action="hangs.save_version",
        target=hang,
        sentence=f"Computed {version}: {version.status.replace('_', ' ')}",
        changes={"version": (last or None, version.number)},
    )
    return version


def _status(solution: Mapping[str, Any]) -> str:
    """Return the solution's own status; a search that ran out of time has excluded nothing."""
    given_up = any(conflict["rule"] == "not_found" for conflict in solution["conflicts"])
    return "not_found" if given_up else solution["status"]


@transaction.atomic
def accept_version(*, version: HangVersion, by: User, batch: UUID | None = None) -> HangVersion:
    """Make a version the one to hang by; the one accepted before is no longer.

    Raises RefusedError when it places nothing or when what it was computed from has changed.
    """
    hang = Hang.objects.select_for_update().get(pk=version.hang_id)
    if not version.places:
        raise RefusedError(f"{version} places nothing: there is nothing to accept.")
    if reasons := queries.out_of_date(version):
        raise RefusedError(f"{version} is out of date: {reasons[0]} Compute the hang again.")
    before = hang.versions.filter(accepted_at__isnull=False).first()
    if before and before.pk == version.pk:
        raise RefusedError(f"{version} is accepted already.")
    set_accepted(hang, version, by)
    history.record(
        by=by,
        action="hangs.accept_version",
        target=hang,
        sentence=f"Accepted {version}",
        changes={"accepted": (before.pk if before else None, version.pk)},
        batch=batch,
    )
    version.refresh_from_db()
    return version


def ask_for_sheets(*, version: HangVersion, by: User) -> Job:
    """Queue the writing of a version's sheets."""
    return jobs.ask_for(
        kind="hangs.sheets",
        title=f"Writing the sheets of {version}",
        payload={"version": version.pk},
        by=by,
    )


def set_accepted(hang: Hang, version: HangVersion | None, by: User) -> None:
    """Mark exactly this version of a hang as accepted, or none."""
    hang.versions.filter(accepted_at__isnull=False).update(accepted_at=None, accepted_by=None)
    if version is not None:
        hang.versions.filter(pk=version.pk).update(accepted_at=timezone.now(), accepted_by=by)
