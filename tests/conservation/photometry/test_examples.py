"""Each public function says its range, its source and gives an example, which is run elsewhere."""

import importlib
import inspect
import pkgutil
from pathlib import Path

import pytest

from conservation import photometry

MODULES = sorted(
    item.name for item in pkgutil.walk_packages(photometry.__path__, "conservation.photometry.")
)
RANGE = ("aise", "rrors", "ange", "is taken")


@pytest.mark.parametrize("name", MODULES)
def test_functions_name_range_source_and_an_example(name):
    module = importlib.import_module(name)
    functions = {
        key: value.__doc__ or ""
        for key, value in vars(module).items()
        if not key.startswith("_") and inspect.isfunction(value) and value.__module__ == name
    }
    for key, doc in functions.items():
        assert ">>> " in doc, key
        assert "ource" in doc, key
        assert any(word in doc for word in RANGE), key


def test_modules_stay_small():
    for name in MODULES:
        source = Path(importlib.import_module(name).__file__ or "")
        assert len(source.read_text().splitlines()) <= 400
