"""Every example in the text of the package runs, and every public name says what it is."""

import doctest
import importlib
import inspect
import pkgutil
import re

import pytest

import conservation
from conservation.tables import OURS, table_names

RANGE = ("aise", "Errors", "errors", "no range")
OURS_TO_CHECK = ("conservation.light.", "conservation.limits", "conservation.materials")
MODULES = sorted(
    item.name
    for item in pkgutil.walk_packages(conservation.__path__, "conservation.")
    if not item.name.endswith("__main__")
)


@pytest.mark.parametrize("name", MODULES)
def test_examples_run(name):
    result = doctest.testmod(importlib.import_module(name), report=True)
    assert result.failed == 0


@pytest.mark.parametrize("name", [name for name in MODULES if ".cli" not in name])
def test_every_public_function_has_an_example(name):
    """The command line's own functions are told by its help, whose examples run elsewhere."""
    module = importlib.import_module(name)
    silent = {
        key
        for key, value in vars(module).items()
        if not key.startswith("_") and inspect.isfunction(value) and value.__module__ == name
        if ">>> " not in (value.__doc__ or "")
    }
    assert silent == set()


@pytest.mark.parametrize("name", MODULES)
def test_public_names_have_a_text(name):
    module = importlib.import_module(name)
    assert module.__doc__
    bare = [
        key
        for key, value in vars(module).items()
        if not key.startswith("_")
        and (inspect.isfunction(value) or inspect.isclass(value))
        and value.__module__ == name
        and not (value.__doc__ or "").strip()
    ]
    assert bare == []


@pytest.mark.parametrize(
    "name",
    [name for name in MODULES if name.startswith(OURS_TO_CHECK)],
)
def test_functions_name_range_source_and_an_example(name):
    module = importlib.import_module(name)
    functions = {
        key: value.__doc__ or ""
        for key, value in vars(module).items()
        if not key.startswith("_") and inspect.isfunction(value) and value.__module__ == name
    }
    assert [key for key, doc in functions.items() if ">>> " not in doc] == []
    assert [key for key, doc in functions.items() if "ource" not in doc] == []
    assert [key for key, doc in functions.items() if not any(w in doc for w in RANGE)] == []
    for doc in functions.values():
        for key, table in re.findall(r"`(\w+)` of tables? `(\w+)`", doc):
            assert key in {row.source.key for row in OURS[table]}
        for name in re.findall(r"[tT]ables? `(\w+)`", doc):
            assert name in table_names()
