"""The examples in the docstrings run."""

import doctest
import importlib
import pkgutil

import pytest

from conservation import climate

MODULES = sorted(
    module.name for module in pkgutil.walk_packages(climate.__path__, "conservation.climate.")
)


@pytest.mark.parametrize("name", MODULES)
def test_examples_run(name: str) -> None:
    result = doctest.testmod(importlib.import_module(name))
    assert result.failed == 0


def test_every_public_function_has_an_example_and_a_source():
    bare = []
    for name in climate.__all__:
        thing = getattr(climate, name)
        if callable(thing) and not isinstance(thing, type):
            words = " ".join((thing.__doc__ or "").split())
            if ">>>" not in words or "Source: " not in words:
                bare.append(name)
    assert bare == []
