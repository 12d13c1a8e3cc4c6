"""Importing costs little, and cores change nothing."""

import subprocess
import sys

import pytest

from tests.layouts.cases.alike import solved

HEAVY = ("ortools", "shapely", "numpy", "scipy", "pandas", "django")


@pytest.mark.parametrize("package", ["layouts.cases", "layouts.floor", "layouts.cases.command"])
def test_import_loads_no_heavy_library(package):
    code = f"import sys, {package}; print([m for m in {HEAVY} if m in sys.modules])"
    done = subprocess.run(  # noqa: S603
        [sys.executable, "-c", code], capture_output=True, check=True, text=True
    )
    assert done.stdout.strip() == "[]"


def test_answer_is_the_same_on_one_core_and_on_two():
    one, two = solved(1, 24, 5), solved(2, 24, 5)
    assert one[2] == 1
    assert one[0]["status"] == "optimal"
    assert one[0] == two[0]
