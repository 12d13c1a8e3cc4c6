"""What an operator relies on: migrations are complete and the deployment check is silent."""

import os
import subprocess
import sys
from io import StringIO

import pytest
from django.core.management import call_command

from tests.architecture.test_tree import ROOT


@pytest.mark.django_db
def test_no_migration_is_missing():
    call_command("makemigrations", "--check", "--dry-run", stdout=StringIO())


def manage(*words: str, **environment: str) -> subprocess.CompletedProcess[str]:
    """Run a command as an operator would, with nothing of the tests' environment."""
    kept = {k: v for k, v in os.environ.items() if not k.startswith(("EVENHANG_", "DJANGO_"))}
    return subprocess.run(  # noqa: S603
        [sys.executable, "manage.py", *words],
        cwd=ROOT,
        env=kept | environment,
        capture_output=True,
        text=True,
        check=False,
    )


def test_deployment_check_is_silent(tmp_path):
    done = manage(
        "check",
        "--deploy",
        "--fail-level=WARNING",
        EVENHANG_SECRET_KEY="k9" * 40 + "Zq7!",
        EVENHANG_SITE_URL="https://hang.example",
        EVENHANG_DATA_DIR=str(tmp_path),
    )
    assert (done.returncode, done.stderr) == (0, "")


def test_production_without_key_is_refused():
    done = manage("check")
    assert done.returncode == 1
    assert "EVENHANG_SECRET_KEY is empty" in done.stderr
