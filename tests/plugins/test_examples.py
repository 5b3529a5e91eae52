"""Examples in docstrings run: those of the hooks as a plugin would hold them, the others as doctests."""

from __future__ import annotations

import doctest
import inspect
import pkgutil
import textwrap
from collections.abc import Iterator
from importlib import import_module
from types import ModuleType

import pytest

import baybook
from baybook import api, hooks
from baybook.api import calculator  # noqa: F401  # the examples are of a plugin, which has these names
from baybook.cards.data import Card, Section
from baybook.plugins.loader import Offers, load_offers
from baybook_physics.fuels import fuel_from_table

from .conftest import good

SPECS = {name: spec for name, spec in vars(hooks).items() if hasattr(spec, "baybook_spec")}
WITH_EXAMPLE = {"propagate", "find_fuel"}
"""Public functions whose docstring shows how they are called."""


def make_card() -> Card:
    before = Section("Before", items=("Hood closed.",))
    return Card("bench-safety", "Safety at the test bench", (api.MAKERS_DATA,), front=(before,))


def make_test_oil(**known: object) -> object:
    table = {"name": "my-test-oil", "density_15C": 825.0, "viscosity_40C": 2.6, "sources": ["invented for this test"]}
    return fuel_from_table(table)


@pytest.fixture
def surroundings(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """The package in which an author writes the example: its other module holds the calculator leak_rate."""
    package, other = ModuleType("some_plugin"), ModuleType("some_plugin.calculator")
    package.__path__ = []
    exec(good("leak_rate"), vars(other))
    monkeypatch.setitem(__import__("sys").modules, "some_plugin", package)
    monkeypatch.setitem(__import__("sys").modules, "some_plugin.calculator", other)
    made = ModuleType("some_plugin.offers")
    vars(made).update({name: getattr(api, name) for name in api.__all__}, __package__="some_plugin")
    vars(made).update(make_card=make_card, make_test_oil=make_test_oil)
    monkeypatch.setitem(__import__("sys").modules, "some_plugin.offers", made)
    return made


@pytest.mark.parametrize("name", SPECS)
def test_the_example_of_a_hook_is_a_plugin_that_is_accepted(name: str, surroundings: ModuleType) -> None:
    words, _, example = (inspect.getdoc(SPECS[name]) or "").partition("::\n\n")  # without the indentation that 3.13 takes off
    code = textwrap.dedent(example.partition("\nSince ")[0])
    assert "Example" in words and "@hookimpl" in code
    exec(compile(code, f"the example of {name}", "exec"), vars(surroundings))
    found = load_offers(surroundings.__name__)
    offered = getattr(found, name.removeprefix("baybook_"))
    assert len(offered) == 1 and found.module is surroundings
    made_by(found)


def made_by(found: Offers) -> None:
    """What is offered can be made, and is what it is called."""
    assert all(offer.made().name == offer.name for offer in found.cards)
    assert all(offer.make().name == offer.name for offer in found.fuels)


def modules() -> Iterator[str]:
    for found in pkgutil.walk_packages(baybook.__path__, "baybook."):
        if not found.name.endswith("__main__"):
            yield found.name


@pytest.fixture(scope="module")
def examples() -> dict[str, doctest.DocTest]:
    """Every docstring of the toolkit with an example in it, by its full name."""
    finder = doctest.DocTestFinder(exclude_empty=True)
    tests = [test for name in modules() for test in finder.find(import_module(name), name)]
    return {test.name: test for test in tests if test.examples}


def test_every_example_of_the_toolkit_gives_what_it_says(examples: dict[str, doctest.DocTest]) -> None:
    runner, told = doctest.DocTestRunner(), []
    for test in examples.values():
        runner.run(test, out=told.append)
    assert "".join(told) == ""
    assert runner.summarize(verbose=False).attempted >= len(examples) >= 5


def test_public_functions_show_how_they_are_called(examples: dict[str, doctest.DocTest]) -> None:
    shown = {name.rpartition(".")[2] for name in examples}
    assert shown >= WITH_EXAMPLE


def test_an_example_that_is_wrong_is_found() -> None:
    """The runner that the test above trusts does look."""
    test = doctest.DocTestParser().get_doctest(">>> 1 + 1\n3\n", {}, "wrong", None, 0)
    assert doctest.DocTestRunner().run(test, out=lambda text: None).failed == 1
