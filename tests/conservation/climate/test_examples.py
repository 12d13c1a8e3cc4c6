"""Functions and methods say their source and give an example; all examples are run elsewhere."""

import importlib
import inspect
import pkgutil

import pytest

from conservation import climate

MODULES = sorted(
    module.name for module in pkgutil.walk_packages(climate.__path__, "conservation.climate.")
)


def functions():
    for name in MODULES:
        module = importlib.import_module(name)
        for key, thing in vars(module).items():
            if inspect.isfunction(thing) and thing.__module__ == name and key[0] != "_":
                yield pytest.param(thing, id=f"{name}.{key}")


@pytest.mark.parametrize("function", list(functions()))
def test_public_function_has_an_example_and_a_source(function) -> None:
    words = " ".join((function.__doc__ or "").split())
    assert ">>> " in words
    assert "Source: " in words


def methods():
    for name in MODULES:
        module = importlib.import_module(name)
        for key, kind in vars(module).items():
            if inspect.isclass(kind) and kind.__module__ == name and key[0] != "_":
                for method, thing in vars(kind).items():
                    bare = getattr(thing, "__func__", thing)
                    if inspect.isfunction(bare) and method[0] != "_":
                        yield pytest.param(bare, id=f"{key}.{method}")


@pytest.mark.parametrize("method", list(methods()))
def test_public_method_has_an_example(method) -> None:
    assert ">>> " in (method.__doc__ or "")
