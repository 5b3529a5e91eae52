"""What a command loads: the exact, noise-free gate on how fast it starts. Times are in tests/benchmarks, as ratios."""

from __future__ import annotations

import json
import os
import pkgutil
import subprocess
import sys
from pathlib import Path

import pytest

import baybook
import baybook_cards
import baybook_plugins
from baybook.registry import registry

from .conftest import Site
from .test_plain import typed

HEAVY = {
    "numpy", "scipy", "pint", "jinja2", "weasyprint", "rich", "babel", "segno", "tomlkit", "pandas", "polars",
    "asyncio", "multiprocessing", "http", "ssl", "unittest", "importlib.metadata",
}  # fmt: skip
NOT_AT_ALL = {
    "re",
    "typing",
    "dataclasses",
    "json",
    "inspect",
    "enum",
    "collections",
    "pathlib",
    "subprocess",
    "typer",
    "pluggy",
}
LIBRARY = {"typer", "inspect", "subprocess", "pathlib", "shutil", "urllib", "platform"}
LISTING = """
import sys
from baybook.start import main
sys.argv = ["baybook", *sys.argv[1:]]
code = main()
loaded = sorted(sys.modules)
import json
print(json.dumps([code, loaded]), file=sys.stderr)
"""


def loaded(site: Site, *arguments: str) -> set[str]:
    """The modules that a command has loaded when it ends, beside those of a bare Python."""
    command = [sys.executable, "-P", "-c", LISTING, *arguments]
    for _ in range(2):  # the first builds the index
        done = subprocess.run(command, env=site.environment(), capture_output=True, text=True, cwd=site.root, check=True)
    code, modules = json.loads(done.stderr.splitlines()[-1])
    assert code == 0 and done.stdout
    return set(modules) - bare()


def bare() -> set[str]:
    done = subprocess.run(
        [sys.executable, "-P", "-c", "import sys; print(*sys.modules)"], capture_output=True, text=True, check=True
    )
    return set(done.stdout.split())


def test_version_loads_nothing_but_itself(site: Site) -> None:
    assert loaded(site, "--version") == {"baybook", "baybook.start", "baybook.version", "__future__"}


def test_a_plain_conversion_loads_neither_typing_nor_the_command_lines_library(site: Site) -> None:
    modules = loaded(site, "convert", "300 bar", "psi")
    assert not modules & (NOT_AT_ALL | HEAVY)
    assert not {name for name in modules if name.startswith(("baybook.cli", "baybook.declare", "baybook.registry"))}
    assert len(modules) <= 18, f"a budget that is only ever lowered: {sorted(modules)}"


@pytest.mark.parametrize("arguments", [["--help"], ["plugins", "list"], ["units"], ["convert", "--help"], ["hold", "--help"]])
def test_help_and_lists_load_nothing_heavy_and_no_other_plugin(site: Site, arguments: list[str]) -> None:
    modules = loaded(site, *arguments)
    assert not modules & HEAVY
    others = {name.split(".")[1] for name in modules if name.startswith("baybook_plugins.")} - {arguments[0]}
    assert not others


def test_the_list_of_commands_needs_no_declaration(site: Site) -> None:
    for arguments in (["--help"], ["units"]):
        modules = loaded(site, *arguments)
        assert not modules & {"baybook.declare", "baybook.fields", "baybook.execution", "baybook.propagation"}, arguments


def test_inputs_that_are_typed_need_no_json(site: Site) -> None:
    assert "json" not in loaded(site, "coil", "--reading", "3.1 ohm", "--temperature", "20 °C")


@pytest.mark.parametrize("name", [listed.name for listed in registry().listed()])
def test_a_calculator_on_readings_loads_nothing_heavy(site: Site, name: str) -> None:
    """Neither numpy and its like nor, for plain arguments, the command line's library; nor what makes classes slowly."""
    calculator = registry().calculator(name)
    modules = loaded(site, *typed(calculator, calculator.examples[0].inputs))
    assert not modules & (HEAVY | LIBRARY | {"dataclasses", "pluggy", "statistics"})
    others = sorted(name for name in modules if not name.startswith(("baybook_plugins", "baybook_physics")))
    assert len(others) <= 108, f"a budget that is only ever lowered: {others}"


def modules_of(*packages: object) -> list[str]:
    names = []
    for package in packages:
        for path in package.__path__:  # type: ignore[attr-defined]  # they are packages
            found = pkgutil.walk_packages([path], f"{package.__name__}.")  # type: ignore[attr-defined]  # they are packages
            names += [module.name for module in found if not module.name.endswith("__main__")]
    return sorted(set(names))


ALONE = """
import importlib, os, sys
import typing, dataclasses, json, typer, pluggy, numpy, jinja2, pytest  # others' modules, for speed; none of ours
assert not [name for name in sys.modules if name.startswith("baybook")]
for name in sys.argv[1:]:
    child = os.fork()
    if not child:
        try:
            importlib.import_module(name)
        except BaseException as error:
            sys.stderr.write(f"{name}: {type(error).__name__}: {error}\\n")
            sys.stderr.flush()
            os._exit(1)
        os._exit(0)
    os.waitpid(child, 0)
"""


def test_every_module_imports_alone_with_warnings_as_errors() -> None:
    """Each in a process of its own, forked from one that has imported nothing: none leans on another's having come first."""
    names = modules_of(baybook, baybook_plugins, baybook_cards)
    assert len(names) > 60
    environment = {name: value for name, value in os.environ.items() if not name.startswith("BAYBOOK")}
    done = subprocess.run(
        [sys.executable, "-P", "-W", "error", "-c", ALONE, *names], capture_output=True, text=True, env=environment, check=False
    )
    assert done.stderr == ""


def test_the_templates_of_new_plugins_are_no_modules() -> None:
    """They end in .txt, so that neither pytest nor a type checker nor this test takes them for code."""
    folder = Path(str(baybook.__file__)).parent / "plugins" / "template"
    assert {path.suffix for path in folder.rglob("*") if path.is_file()} == {".txt"}
