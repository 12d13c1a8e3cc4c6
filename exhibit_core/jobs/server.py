"""Start a worker beside a server, and end it with the server."""

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager

from django.conf import settings


@contextmanager
def worker_beside() -> Iterator[None]:
    """Run `manage.py work` as a child process for as long as the block runs."""
    command = [sys.executable, str(settings.BASE_DIR / "manage.py"), "work"]
    worker = subprocess.Popen(command)  # noqa: S603
    try:
        yield
    finally:
        worker.terminate()
        try:
            worker.wait(timeout=10)
        except subprocess.TimeoutExpired:
            worker.kill()
