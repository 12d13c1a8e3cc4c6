"""Claim waiting jobs and run them, on as many machines as there are workers."""

import logging
import os
import socket
import time
from datetime import timedelta

from django.db import close_old_connections
from django.db.models import F, Q
from django.utils import timezone

from exhibit_core.jobs.handlers import JobCancelledError, handler
from exhibit_core.jobs.models import Job
from exhibit_core.web.errors import RefusedError

logger = logging.getLogger(__name__)

LOST_AFTER = timedelta(seconds=90)
MOST_ATTEMPTS = 3
BETWEEN_REPORTS_SECONDS = 1.0


def worker_name() -> str:
    return f"{socket.gethostname()}-{os.getpid()}"


def claim(worker: str) -> Job | None:
    """Take the oldest waiting job, or one whose worker went silent; exactly one worker wins."""
    now = timezone.now()
    free = Q(state=Job.State.WAITING) | Q(
        state=Job.State.RUNNING, heartbeat__lt=now - LOST_AFTER, attempts__lt=MOST_ATTEMPTS
    )
    for job in Job.objects.filter(free).order_by("pk")[:5]:
        won = Job.objects.filter(free, pk=job.pk, attempts=job.attempts).update(
            state=Job.State.RUNNING, worker=worker, heartbeat=now, attempts=F("attempts") + 1
        )
        if won:
            job.refresh_from_db()
            return job
    return None


class _Reporter:
    """Write progress and read the cancel flag, at most once a second."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._last = 0.0

    def __call__(self, percent: int, words: str = "") -> None:
        now = time.monotonic()
        if now - self._last < BETWEEN_REPORTS_SECONDS:
            return
        self._last = now
        rows = Job.objects.filter(pk=self._job.pk)
        rows.update(percent=min(99, max(0, percent)), words=words[:500], heartbeat=timezone.now())
        if rows.filter(cancel_asked=True).exists():
            raise JobCancelledError


def run(job: Job) -> None:
    """Run one claimed job to its end and store the outcome; a fault never ends the worker."""
    if job.cancel_asked:
        _end(job, Job.State.CANCELLED, "Stopped before it began.")
        return
    try:
        result = handler(job.kind)(payload=job.payload, by=job.asked_by, progress=_Reporter(job))
    except JobCancelledError:
        _end(job, Job.State.CANCELLED, "Stopped on request. Nothing was changed.")
    except RefusedError as refusal:
        _end(job, Job.State.FAILED, str(refusal))
    except Exception:
        logger.exception("Job %s (%s) failed", job.pk, job.kind)
        _end(
            job,
            Job.State.FAILED,
            f"Something went wrong inside the program. Nothing was changed. The server's log "
            f"names it as job {job.pk}.",
        )
    else:
        _end(job, Job.State.DONE, result.get("words", "Done."), result)


def _end(job: Job, state: str, words: str, result: dict | None = None) -> None:
    Job.objects.filter(pk=job.pk).update(
        state=state,
        words=words[:500],
        result=result or {},
        ended_at=timezone.now(),
        percent=100 if state == Job.State.DONE else F("percent"),
    )


def run_waiting(worker: str | None = None) -> int:
    """Run every waiting job once and return how many ran."""
    count = 0
    while job := claim(worker or worker_name()):
        run(job)
        count += 1
    return count


def work(*, until: "StopFlag", pause_seconds: float = 0.5) -> None:
    """Run jobs until `until.stopped`; sleeps between looks at the queue."""
    name = worker_name()
    while not until.stopped:
        close_old_connections()
        if job := claim(name):
            run(job)
        else:
            time.sleep(pause_seconds)


class StopFlag:
    """Set by a signal; read between jobs."""

    stopped = False

    def stop(self, *_signal: object) -> None:
        self.stopped = True
