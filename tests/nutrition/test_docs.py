"""Docstrings: examples run, and every numeric parameter states its unit."""

import doctest
import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable, Iterator
from types import ModuleType

import pytest

import nutrition


def modules() -> list[ModuleType]:
    names = [found.name for found in pkgutil.iter_modules(nutrition.__path__, "nutrition.")]
    return [importlib.import_module(name) for name in names]


def public_functions() -> Iterator[Callable[..., object]]:
    for module in modules():
        for name, function in inspect.getmembers(module, inspect.isfunction):
            if function.__module__ == module.__name__ and not name.startswith("_"):
                yield function


def numeric_parameters(function: Callable[..., object]) -> list[str]:
    parameters = inspect.signature(function).parameters.values()
    return [each.name for each in parameters if re.search(r"\b(float|int)\b", str(each.annotation))]


@pytest.mark.parametrize("module", modules(), ids=lambda module: module.__name__)
def test_the_examples_of_a_module_come_out(module: ModuleType) -> None:
    found = doctest.testmod(module)
    assert found.failed == 0


def test_there_are_examples() -> None:
    assert sum(doctest.testmod(module).attempted for module in modules()) >= 12


@pytest.mark.parametrize(
    "function",
    [function for function in public_functions() if numeric_parameters(function)],
    ids=lambda function: f"{function.__module__}.{function.__name__}",
)
def test_every_numeric_parameter_states_its_unit(function: Callable[..., object]) -> None:
    text = inspect.getdoc(function) or ""
    assert "Parameters\n----------" in text, "the docstring lists no parameters"
    section = text.split("Parameters\n----------")[1].split("\n\n")[0]
    for name in numeric_parameters(function):
        entry = re.search(rf"^(?:\w+, )*{name}(?:, \w+)* : .*\n((?:    .*\n?)+)", section, re.M)
        assert entry, f"{name} is not described"
        assert re.search(r"\[[^\]]+\]", entry[1]), f"{name} states no unit in brackets"


def test_every_public_function_says_what_it_returns_or_does() -> None:
    silent = [f.__qualname__ for f in public_functions() if not inspect.getdoc(f)]
    assert silent == []


def test_the_package_knows_nothing_of_django_but_in_its_app() -> None:
    for module in modules():
        if module.__name__ != "nutrition.apps":
            source = inspect.getsource(module)
            assert "django" not in source.lower().replace("a django app", ""), module.__name__
            assert "household." not in source, module.__name__
