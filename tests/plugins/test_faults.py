"""A broken plugin of any kind takes only itself down, and is named in one line with its package and version.

All of them are installed together, beside one that is good, and real processes are started.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from .conftest import Site, good

UNITS = "from baybook.api import *\n@hookimpl\ndef baybook_units():\n    return [UnitOffer('pressure', {})]"
TITLE = "baybook_calculators offers a Calculator whose title is not a short text: 17"
BARE = "is not declared rightly: a calculator is declared without cautions"
ARGUMENTS = "has a hook with other arguments than the interface's"
HOOK = "from baybook.api import *\n@hookimpl\ndef baybook_calculators():\n    "
FAULTS: dict[str, tuple[str, str]] = {
    "import-error": ("import no_such_module", "cannot be imported: ModuleNotFoundError: No module named 'no_such_module'"),
    "syntax": ("def (", "cannot be imported: SyntaxError: invalid syntax (third_syntax.py, line 1)"),
    "exit": ("import sys; sys.exit(3)", "cannot be imported: SystemExit: 3"),
    "os-exit": ("import os; os._exit(0)", "ended the process that imported it"),
    "interrupt": ("raise KeyboardInterrupt", "cannot be imported: KeyboardInterrupt"),
    "asks": ("input('name? ')", "cannot be imported: EOFError: EOF when reading a line"),
    "hang": ("import time; time.sleep(600)", "did not answer within 2 s; baybook plugins refresh asks again"),
    "loop": (HOOK + "while True: pass", "did not answer within 2 s; baybook plugins refresh asks again"),
    "endless": (HOOK + "import itertools; return itertools.repeat(1)", "baybook_calculators offers more than 500"),
    "numbers": (HOOK + "return [42]", "baybook_calculators offers int where Calculator is wanted"),
    "text": (HOOK + "return 'hold'", "baybook_calculators returned str, not a list"),
    "late": (HOOK + "yield from ()\n    raise ValueError('too late')", "baybook_calculators failed: ValueError: too late"),
    "title": (good("titled").replace('"Twice"', "17"), TITLE),
    "lambda": (good("named").replace("return [named]", "import dataclasses; return [dataclasses.replace(named, name='--x')]"),
               "baybook_calculators offers a Calculator with the name '--x'; use letters, digits and hyphens"),
    "command": (good("job"), "the calculator job has the name of a command"),
    "taken": (good("convert"), "the calculator convert is taken by baybook 0.1.0 [convert]"),
    "taken-too": (good("well"), "the calculator well is taken by third-good 1.2 [good]"),
    "twice": (good("two").replace("[two]", "[two, two]"), "it offers the calculator two twice"),
    "misspelt": (good("speller").replace("baybook_calculators", "baybook_calculator"),
                 "has the hook baybook_calculator, which does not exist; did you mean baybook_calculators?"),
    "arguments": (good("argued").replace("calculators()", "calculators(config)"), ARGUMENTS),
    "version": ("BAYBOOK_INTERFACE = 99\n" + good("newer"), "asks for interface version 99; this is version 2"),
    "nothing": ("from baybook.api import *", "offers nothing: it has no calculator and no function marked with hookimpl"),
    "bare": (good("bare_one").replace("cautions=[MAKERS_DATA]", "cautions=[]"), BARE),
    "unit-taken": (UNITS.format("'mybar', 'bar', ('bar',)"), "has the unit bar (pressure), which Baybook knows already"),
    "unit-bad": (UNITS.format("'nix', 'no_such_unit'"), "has a unit that cannot be used: Undefined"),
    "unit-zero": (UNITS.format("'zero', '0 * bar'"), "whose size is not a positive number"),
    "unit-endless": (UNITS.format("'big', '9**9**9 * bar'"), "did not answer within 2 s"),
}  # fmt: skip
MAKERS = """
from baybook.api import CardOffer, FuelOffer, hookimpl
def fails(**known):
    raise KeyError("nothing there")
@hookimpl
def baybook_cards():
    return [CardOffer("torn", "Torn", fails), CardOffer("no-card", "None", lambda: 7)]
@hookimpl
def baybook_fuels():
    return [FuelOffer("spilt", "Spilt", fails), FuelOffer("water", "Water", lambda **known: 998.0)]
"""
HOLD = ["hold", "--start", "350 bar", "--end", "300 bar", "--time", "60 s", "--volume", "25 mL", "--fuel"]
ACCEPTED = {
    "makers": MAKERS,
    "good": good("well"),
    "garbage": "import os\nprint('garbage')\nos.write(1, b'raw garbage')\n" + good("printer"),
    "starter": "import subprocess, sys\nsubprocess.Popen([sys.executable, '-c', 'import time; time.sleep(3)'])\n"
    + good("starter"),
    "raises": good("raiser", "raise ValueError('inside')"),
    "leaves": good("leaver", "raise SystemExit(5)"),
    "wrong-result": good("wrong", "return 7"),
    "wrong-output": good("odd", "return Result({'double': 2.0})"),
}


@pytest.fixture(scope="module")
def full(tmp_path_factory: pytest.TempPathFactory) -> Site:
    site = Site(tmp_path_factory.mktemp("faults"), {"BAYBOOK_PLUGIN_SECONDS": "2"})
    for name, (code, _) in FAULTS.items():
        site.add(name, code)
    for name, code in ACCEPTED.items():
        site.add(name, code)
    site.add("object", good("thing"), entry="third_object:thing")
    site.add("same", good("same"), point="good", version="0.1")
    broken = site.add("metadata", good("meta"))
    (broken.parent / "third_metadata-1.2.dist-info" / "entry_points.txt").write_text("[baybook]\n= = =\n[", encoding="utf-8")
    return site


@pytest.fixture(scope="module")
def listed(full: Site) -> dict[str, dict[str, object]]:
    return full.listed()


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_is_named_with_its_reason(name: str, listed: dict[str, dict[str, object]]) -> None:
    plugin = listed[f"third-{name}"]
    assert plugin["state"] == "left out"
    assert str(plugin["reason"]).startswith(FAULTS[name][1]) or FAULTS[name][1] in str(plugin["reason"])


@pytest.mark.parametrize("name", ACCEPTED)
def test_a_plugin_that_keeps_to_the_interface_is_accepted_beside_them(name: str, listed: dict[str, dict[str, object]]) -> None:
    assert (listed[f"third-{name}"]["state"], listed[f"third-{name}"]["reason"]) == ("accepted", "")


def test_an_entry_point_that_names_an_object_is_told_what_is_wanted(listed: dict[str, dict[str, object]]) -> None:
    assert listed["third-object"]["reason"] == "its entry point must name a module, not 'third_object:thing'"


def test_two_plugins_of_one_name_are_both_named(listed: dict[str, dict[str, object]]) -> None:
    assert listed["third-same"]["reason"] == "the name good is taken by third-good 1.2 [good]"


def test_damaged_metadata_take_nothing_down(listed: dict[str, dict[str, object]]) -> None:
    assert listed.get("third-metadata", {"state": "left out"})["state"] == "left out"


def test_help_version_and_list_work_and_say_one_line_for_each(full: Site) -> None:
    shown = full.run("--help")
    complaints = [line for line in shown.stderr.splitlines() if "third-" in line.partition("is left out")[0]]
    assert len(complaints) >= len(FAULTS) + 2
    assert "plugin third-exit 1.2 [exit] is left out: cannot be imported: SystemExit: 3 (third_exit.py, line 1)" in complaints
    assert "  well " in shown.stdout and "  convert " in shown.stdout
    assert full.run("--version").stderr == ""
    assert "third-good 1.2" in full.run("plugins", "list").stdout


def test_everything_else_goes_on_working(full: Site) -> None:
    result = json.loads(full.run("well", "--pressure", "3 ± 0.3 bar", "--json").stdout)
    assert result["outputs"]["double"]["value"] == 6.0
    quick = full.run("convert", "100 ± 0 psi", "bar")
    assert "6.89476 bar" in quick.stdout
    assert (
        "plugin third-exit 1.2 [exit] is left out: cannot be imported: SystemExit: 3 (third_exit.py, line 1)"
        in quick.stderr.splitlines()
    )


def test_what_a_plugin_prints_at_import_does_not_reach_the_output(full: Site) -> None:
    done = full.run("printer", "--pressure", "3 ± 0.3 bar", "--json")
    assert '"double"' in done.stdout and "garbage\n" not in done.stdout.replace("raw garbage", "")
    assert "garbage" in done.stderr


@pytest.mark.parametrize(
    ("command", "line"),
    [
        ("raiser", "plugin third-raises 1.2 [raises]: calculator raiser failed: ValueError: inside"),
        ("leaver", "plugin third-leaves 1.2 [leaves]: calculator leaver failed: SystemExit: 5"),
        ("wrong", "plugin third-wrong-result 1.2 [wrong-result]: calculator wrong returned int, not a Result"),
        (
            "odd",
            "plugin third-wrong-output 1.2 [wrong-output]: calculator odd declares 'double' as pressure difference "
            "and returned 2.0",
        ),
    ],
)
def test_a_fault_while_computing_is_one_line_with_package_and_version(full: Site, command: str, line: str) -> None:
    done = full.run(command, "--pressure", "3 bar", code=1)
    assert done.stderr.splitlines()[-1] == line
    assert done.stdout == ""


@pytest.mark.parametrize(
    ("arguments", "line"),
    [
        (
            ["card", "print", "torn", "--out", "torn.pdf"],
            "plugin third-makers 1.2 [makers]: card torn failed: KeyError: 'nothing there'",
        ),
        (
            ["card", "print", "no-card", "--out", "no.pdf"],
            "plugin third-makers 1.2 [makers]: card no-card gives int, not a Card",
        ),
        (
            ["card", "print", "torn", "no-card", "--out", "both.pdf"],
            "plugin third-makers 1.2 [makers]: card torn failed: KeyError: 'nothing there'",
        ),
        ([*HOLD, "spilt"], "plugin third-makers 1.2 [makers]: fuel spilt failed: KeyError: 'nothing there'"),
        ([*HOLD, "water"], "plugin third-makers 1.2 [makers]: fuel water gives float, not a FuelModel"),
    ],
)
def test_a_card_or_fuel_that_fails_is_told_as_its_plugins(full: Site, arguments: list[str], line: str) -> None:
    assert full.run(*arguments, code=1).stderr.splitlines()[-1] == line
    assert not list(full.root.glob("*.pdf"))


def test_a_plugin_that_hangs_only_in_our_process_is_the_only_one_that_does(full: Site, tmp_path: Path) -> None:
    """A command of another plugin imports nothing of it: the fault's module is not loaded."""
    site = Site(tmp_path)
    site.add("good", good("well"))
    site.listed()
    site.add("exits", "import os; os._exit(9)")
    assert site.run("well", "--pressure", "1 ± 0.1 bar").stderr.count("third-exits 1.2") == 1


CHARTLESS = good("chartless").replace('title="Twice"', 'title="Twice", charts=lambda known: 1 / 0')
ODD_CHART = good("odd_chart").replace(
    'title="Twice"',
    'title="Twice", charts=lambda known: (Plot("t", "x", "bar", "y", "bar", (Series("s", (0.0, 1.0), (float("nan"),) * 2),)),)',
)
NO_FIGURE = """
from baybook.api import *
from baybook.cards.data import Card, Figure
@hookimpl
def baybook_cards():
    return [CardOffer("no-figure", "None", lambda: Card("no-figure", "None", (MAKERS_DATA,), front=(Figure("nix", "t", "a"),)))]
"""


def test_a_plugin_of_one_module_has_a_card_and_no_card_takes_another_with_it(tmp_path: Path) -> None:
    """A module that is no package has no files of its own before Python 3.12; a chart, a card, a drawing may fail."""
    site = Site(tmp_path)
    sources = {"one": good("well"), "chartless": CHARTLESS, "odd": ODD_CHART, "makers": MAKERS, "figure": NO_FIGURE}
    for name, code in sources.items():
        site.add(name, code)
    assert site.run("card", "print", "well", "--size", "A6", "--out", "one.pdf").stderr == ""
    names = ("well", "chartless", "odd-chart", "torn", "no-figure")
    for target in ("all.pdf", "all.html"):
        done = site.run("card", "print", *names, "--size", "A5", "--out", target, code=1)
        assert f"{target} written: 3 cards" in done.stdout
        told = done.stderr.splitlines()
        assert len(told) == 4 and all(any(f" {name} " in line or f" {name}:" in line for line in told) for name in names[1:])
