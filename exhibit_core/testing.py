"""Set the environment of the tests; pytest loads this before it reads the settings."""

import atexit
import os
import shutil
import tempfile
from pathlib import Path

os.environ["EVENHANG_MODE"] = "test"
if "EVENHANG_DATA_DIR" not in os.environ:
    os.environ["EVENHANG_DATA_DIR"] = tempfile.mkdtemp(prefix="evenhang-tests-")
    atexit.register(shutil.rmtree, os.environ["EVENHANG_DATA_DIR"], ignore_errors=True)
Path(os.environ["EVENHANG_DATA_DIR"], "static").mkdir(parents=True, exist_ok=True)
# Playwright runs an event loop in the test's thread, where Django would refuse its own ORM.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
