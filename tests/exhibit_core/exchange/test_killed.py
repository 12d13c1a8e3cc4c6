"""A worker that is killed in the middle of an import leaves the register as it was."""

import os
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[3]
ROWS = 2_000
SPILLED_BYTES = 300_000
TABLES = (
    "register_museumobject",
    "register_measurement",
    "register_lender",
    "exhibitions_listentry",
    "history_entry",
)
SET_UP = f"""
import django; django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from exhibit_core.exchange import actions
from exhibit_core.jobs.runner import run_waiting
from tests.exhibit_core.exchange.flow import csv, match, send
from tests.factories import ExhibitionFactory, MuseumObjectFactory, UserFactory
by = UserFactory(roles=["registrar"])
MuseumObjectFactory(number="1", title="Old title")
numbers = range(1, {ROWS} + 1)
lines = [f"{{n}},Title {{n}},{{n % 900 + 1}} x 300 mm,Lender {{n % 9}}" for n in numbers]
data = csv("Object number,Title,Size,Lender", *lines)
sent = match(send(data, by=by, exhibition=ExhibitionFactory()), by=by)
run_waiting()
actions.ask_to_apply(object_list=sent, leave_out_refused=False, by=by)
"""
RUN = (
    "import django; django.setup(); from exhibit_core.jobs.runner import run_waiting; run_waiting()"
)


@pytest.fixture
def environment(tmp_path):
    kept = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    return kept | {
        "DJANGO_SETTINGS_MODULE": "exhibit_core.settings",
        "EVENHANG_MODE": "demo",
        "EVENHANG_DATA_DIR": str(tmp_path),
        "PYTHONPATH": str(ROOT),
    }


def python(*arguments: str, environment: dict[str, str]) -> None:
    subprocess.run([sys.executable, *arguments], env=environment, check=True, cwd=ROOT)  # noqa: S603


def rows(path: Path) -> dict[str, list]:
    with closing(sqlite3.connect(path)) as base:
        return {table: base.execute(f"SELECT * FROM {table}").fetchall() for table in TABLES}  # noqa: S608


def test_worker_killed_while_it_brings_a_list_in(tmp_path, environment):
    python("-c", SET_UP, environment=environment)
    path, log = tmp_path / "evenhang.sqlite3", tmp_path / "evenhang.sqlite3-wal"
    before = rows(path)
    start = log.stat().st_size if log.exists() else 0
    worker = subprocess.Popen([sys.executable, "manage.py", "work"], env=environment, cwd=ROOT)
    deadline = time.monotonic() + 60
    while not log.exists() or log.stat().st_size < start + SPILLED_BYTES:
        assert worker.poll() is None
        assert time.monotonic() < deadline
        time.sleep(0.002)
    worker.send_signal(signal.SIGKILL)
    worker.wait()

    assert rows(path) == before
    with closing(sqlite3.connect(path)) as base, base:
        [(state,)] = base.execute("SELECT state FROM jobs_job WHERE kind = 'exchange.apply'")
        assert state == "running"
        base.execute("UPDATE jobs_job SET heartbeat = '2000-01-01' WHERE state = 'running'")

    python("-c", RUN, environment=environment)
    after = rows(path)
    assert len(after["register_museumobject"]) == ROWS
    assert len(after["exhibitions_listentry"]) == ROWS
    assert len(after["register_lender"]) == 9
