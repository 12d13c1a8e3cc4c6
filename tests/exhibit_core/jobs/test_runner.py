"""Claiming, running, stopping and losing jobs."""

from datetime import timedelta

import pytest
from django.utils import timezone

from exhibit_core.jobs import actions, runner
from exhibit_core.jobs.handlers import handles
from exhibit_core.jobs.models import Job
from exhibit_core.web.errors import RefusedError

pytestmark = pytest.mark.django_db


@handles("tests.double")
def double(*, payload, by, progress):
    progress(50, "half way")
    if payload["number"] == 13:
        raise RefusedError("13 is not doubled here.")
    if payload["number"] < 0:
        raise ValueError("negative")
    return {"double": payload["number"] * 2, "words": f"Doubled by {by}."}


@pytest.fixture
def job(make_person):
    def make(number=21, **values):
        return Job.objects.create(
            kind="tests.double",
            title="Double",
            payload={"number": number},
            asked_by=make_person("designer"),
            **values,
        )

    return make


def test_run_waiting_stores_result(job):
    row = job()
    assert runner.run_waiting("w") == 1
    row.refresh_from_db()
    assert (row.state, row.percent, row.result["double"]) == ("done", 100, 42)


def test_run_refusal_is_told_in_its_own_words(job):
    row = job(13)
    runner.run_waiting("w")
    row.refresh_from_db()
    assert (row.state, row.words) == ("failed", "13 is not doubled here.")


def test_run_fault_fails_the_job_and_not_the_worker(job, caplog):
    bad, good = job(-1), job(1)
    assert runner.run_waiting("w") == 2
    bad.refresh_from_db()
    good.refresh_from_db()
    assert (bad.state, good.state) == ("failed", "done")
    assert f"job {bad.pk}" in bad.words
    assert "negative" in caplog.text


def test_cancel_while_running_stops_at_next_report(job):
    row = job(cancel_asked=False)
    claimed = runner.claim("w")
    actions.cancel(job=claimed)
    claimed.cancel_asked = False
    runner.run(claimed)
    row.refresh_from_db()
    assert (row.state, row.result) == ("cancelled", {})


def test_cancel_waiting_job_never_runs(job):
    row = job()
    actions.cancel(job=row)
    assert runner.run_waiting("w") == 0
    row.refresh_from_db()
    assert row.state == "cancelled"


def test_cancel_ended_job(job):
    row = job()
    runner.run_waiting("w")
    with pytest.raises(RefusedError):
        actions.cancel(job=row)


def test_claim_takes_a_job_once(job):
    job()
    assert runner.claim("first") is not None
    assert runner.claim("second") is None


def test_claim_takes_over_from_a_silent_worker(job):
    row = job()
    runner.claim("first")
    Job.objects.filter(pk=row.pk).update(heartbeat=timezone.now() - timedelta(minutes=5))
    assert runner.claim("second").pk == row.pk


def test_claim_gives_up_after_three_attempts(job):
    row = job()
    silent = timezone.now() - timedelta(minutes=5)
    Job.objects.filter(pk=row.pk).update(state="running", heartbeat=silent, attempts=3)
    assert runner.claim("second") is None


def test_ask_for_runs_inline_after_commit(make_person, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        row = actions.ask_for(
            kind="tests.double", title="Double", payload={"number": 2}, by=make_person("curator")
        )
    row.refresh_from_db()
    assert row.result["double"] == 4
