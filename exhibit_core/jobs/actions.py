"""Asking for long work, and stopping it."""

from typing import Any

from django.conf import settings
from django.db import transaction

from exhibit_core.jobs import runner
from exhibit_core.jobs.models import Job
from exhibit_core.web.errors import RefusedError


def ask_for(*, kind: str, title: str, payload: dict[str, Any], by: Any) -> Job:
    """Put a job in the queue; tests run it at once in the same process.

    `stop` in the payload, if given, is what the button says that stops it.
    """
    job = Job.objects.create(kind=kind, title=title, payload=payload, asked_by=by)
    if settings.JOBS_INLINE:
        transaction.on_commit(runner.run_waiting)
        job.refresh_from_db()
    return job


def cancel(*, job: Job) -> None:
    """Ask a job to stop; a waiting one stops at once, a running one at its next report."""
    stopped = Job.objects.filter(pk=job.pk, state=Job.State.WAITING).update(
        state=Job.State.CANCELLED, words="Stopped before it began."
    )
    asked = Job.objects.filter(pk=job.pk, state=Job.State.RUNNING).update(cancel_asked=True)
    if not stopped and not asked:
        raise RefusedError("This job has already ended.")
