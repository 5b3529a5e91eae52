"""`plugins new` makes a plugin that passes every check as it stands; `plugins check` finds it by path, module and name."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from baybook.testing import CHECKS, NotChecked
from baybook.testing.own_tests import own_tests

from .conftest import Site

MADE = {
    "README.md", "pyproject.toml", "src/baybook_lift_head/__init__.py", "src/baybook_lift_head/calculator.py",
    "src/baybook_lift_head/model.py", "tests/test_conformance.py", "tests/test_published.py",
}  # fmt: skip


def files_of(folder: Path) -> set[str]:
    return {str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file() and "__pycache__" not in path.parts}


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Site:
    site = Site(tmp_path_factory.mktemp("new"))
    site.run("plugins", "new", "lift-head")
    return site


def test_it_makes_a_whole_plugin_and_says_what_to_do_next(made: Site) -> None:
    folder = made.root / "baybook-lift-head"
    assert files_of(folder) == MADE
    assert not [path for path in made.root.iterdir() if path.name.startswith(".")], "nothing is left of writing it"
    text = "".join((folder / path).read_text(encoding="utf-8") for path in MADE)
    assert "${" not in text


def test_it_passes_every_check_as_it_stands(made: Site) -> None:
    answers = json.loads(made.run("plugins", "check", "baybook-lift-head", "--json").stdout)
    assert {answer["check"] for answer in answers} == {"loads", "names free", "own tests", *(check.name for check in CHECKS)}
    assert {answer["state"] for answer in answers} <= {"kept", "not checked"}
    assert [answer["check"] for answer in answers if answer["state"] == "not checked"] in ([], ["card"])


def test_check_prints_a_line_for_each_promise_and_fails_with_the_reason(made: Site, tmp_path: Path) -> None:
    site = Site(tmp_path)
    site.run("plugins", "new", "lift-head")
    file = tmp_path / "baybook-lift-head" / "src" / "baybook_lift_head" / "model.py"
    file.write_text(file.read_text().replace("9.80665", "9.81"))
    done = site.run("plugins", "check", "baybook-lift-head", code=1)
    lines = done.stdout.splitlines()
    assert lines[0] == "[ok] lift-head: loads"
    broken = next(place for place, line in enumerate(lines) if line.startswith("[!!]"))
    assert " ".join(" ".join(lines[broken : broken + 2]).split()) == (
        "[!!] lift-head: worked example: example 1: depression is 2.49174 mbar where the source says 2.490889 mbar "
        "within 1e-06 of it"
    )
    assert lines[-1].endswith(" 2 broken"), "the other one are the plugin's own tests, which hold the same value"


def test_check_runs_the_plugins_own_tests_too(tmp_path: Path) -> None:
    """A test that has fallen behind the code is told, one that is not there is not passed off as kept."""
    site = Site(tmp_path)
    site.run("plugins", "new", "lift-head")
    folder = tmp_path / "baybook-lift-head"
    (folder / "tests" / "test_more.py").write_text("from baybook_lift_head.model import gone\n")
    told = json.loads(site.run("plugins", "check", "baybook-lift-head", "--json", code=1).stdout)[-1]
    assert (told["of"], told["check"], told["state"]) == ("baybook-lift-head", "own tests", "broken")
    assert told["faults"] == ["ERROR tests/test_more.py"]
    (folder / "tests" / "test_more.py").unlink()
    (folder / "tests" / "test_published.py").unlink()
    assert own_tests_of(site) == ("not checked", ["the folder tests holds no test beside that of conformance"])
    (folder / "tests" / "test_conformance.py").unlink()
    shutil.rmtree(folder / "tests")
    assert own_tests_of(site) == ("not checked", ["the plugin has no folder tests"])


def own_tests_of(site: Site) -> tuple[str, list[str]]:
    told = json.loads(site.run("plugins", "check", "baybook-lift-head", "--json").stdout)[-1]
    assert told["check"] == "own tests"
    return told["state"], told["faults"]


def test_tests_that_hang_or_cannot_be_run_are_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "tests").mkdir()
    (tmp_path / "tests" / "test_slow.py").write_text("import time\ndef test_slow(): time.sleep(30)\n")
    assert own_tests(tmp_path, "", 1.5) == ["did not end within 1.5 s"]
    monkeypatch.setattr("baybook.testing.own_tests.find_spec", lambda name: None)
    with pytest.raises(NotChecked, match="pytest is not installed"):
        own_tests(tmp_path, "", 1.5)


def test_an_existing_plugin_is_not_overwritten_without_force(made: Site) -> None:
    file = made.root / "baybook-lift-head" / "README.md"
    before = file.read_text()
    file.write_text("mine")
    refused = made.run("plugins", "new", "lift-head", code=2)
    assert (
        refused.stderr
        == '"baybook-lift-head" has baybook-lift-head/README.md already; give another name, or --force to overwrite\n'
    )
    assert file.read_text() == "mine"
    made.run("plugins", "new", "lift-head", "--force")
    assert file.read_text() == before


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("Lift", '"Lift" cannot be a calculator\'s name; use small letters, digits and hyphens, such as lift-head'),
        ("1st", '"1st" cannot be a calculator\'s name; use small letters, digits and hyphens, such as lift-head'),
        ("a--b", '"a--b" cannot be a calculator\'s name; use small letters, digits and hyphens, such as lift-head'),
        ("../x", '"../x" cannot be a calculator\'s name; use small letters, digits and hyphens, such as lift-head'),
        ("class", '"class" is a word of Python\'s; use my-class, say'),
        ("job", '"job" is a command of Baybook\'s; use my-job, say'),
        ("convert", '"convert" is taken by the plugin convert; use my-convert, say'),
    ],
)
def test_a_name_that_cannot_be_is_refused_and_nothing_written(site: Site, name: str, why: str) -> None:
    assert site.run("plugins", "new", name, code=2).stderr == f"NAME: {why}\n"
    assert not list(site.root.glob("baybook-*"))


def test_the_prefix_of_the_package_is_not_doubled(site: Site) -> None:
    site.run("plugins", "new", "baybook-suction")
    assert (site.root / "baybook-suction" / "src" / "baybook_suction").is_dir()


def test_into_names_the_folder_and_a_missing_one_is_refused(site: Site) -> None:
    (site.root / "plugins").mkdir()
    site.run("plugins", "new", "suction", "--into", "plugins")
    assert (site.root / "plugins" / "baybook-suction" / "pyproject.toml").is_file()
    assert site.run("plugins", "new", "suction", "--into", "nowhere", code=2).stderr == (
        '--into: "nowhere" is not a folder; make it first, or give another\n'
    )


@pytest.mark.parametrize(
    ("what", "why"),
    [
        ("nowhere/plugin", '"nowhere/plugin" is not there; give the folder that holds the plugin\'s pyproject.toml'),
        ("empty", '"empty/pyproject.toml" cannot be read: No such file or directory; give the folder that holds it'),
        ("other", '"other/pyproject.toml" declares no plugin; add [project.entry-points.baybook] with NAME = "package.module"'),
        ("convrt", '"convrt" is not a plugin that is installed; did you mean convert?'),
        ("nofile.py", '"nofile.py" is not there; give the folder that holds the plugin\'s pyproject.toml'),
    ],
)
def test_what_cannot_be_checked_is_refused_in_words(site: Site, what: str, why: str) -> None:
    (site.root / "empty").mkdir()
    (site.root / "other").mkdir()
    (site.root / "other" / "pyproject.toml").write_text("[project]\nname = 'x'\n")
    assert site.run("plugins", "check", what, code=2).stderr == f"{why}\n"


def test_a_plugin_that_hangs_or_leaves_while_checked_is_told_in_a_line(site: Site) -> None:
    site.settings["BAYBOOK_CHECK_SECONDS"] = "1"
    (site.root / "hang.py").write_text("import time; time.sleep(60)")
    (site.root / "leave.py").write_text("import os; os._exit(7)")
    (site.root / "broken.py").write_text("import no_such_module")
    assert "[!!] hang: import: did not end within 1 s" in site.run("plugins", "check", "hang.py", code=1).stdout
    assert "[!!] leave: import: ended the process" in site.run("plugins", "check", "leave.py", code=1).stdout
    broken = " ".join(site.run("plugins", "check", "broken.py", code=1).stdout.split())
    assert "[!!] broken: loads: cannot be imported: ModuleNotFoundError: No module named 'no_such_module'" in broken


def test_a_plugin_with_units_alone_is_checked_too(site: Site) -> None:
    hook = "from baybook.api import *\n@hookimpl\ndef baybook_units():\n    return "
    code = hook + "[UnitOffer('flow', 'drop/min', '0.05 * millilitre / minute')]"
    (site.root / "drops.py").write_text(code)
    assert site.run("plugins", "check", "drops.py").stdout.splitlines() == [
        "[ok] drops: loads", "[ok] drops: names free", "[ok] drops: import", "[ok] drops: no network", "4 kept, 0 broken",
    ]  # fmt: skip


def test_a_file_inside_a_package_is_checked_as_its_module(made: Site) -> None:
    """Its relative imports work; and a reader that leaves early ends it without a word."""
    file = "baybook-lift-head/src/baybook_lift_head/calculator.py"
    command = f"{sys.executable} -P -m baybook plugins check {file} | head -9"
    done = subprocess.run(
        ["sh", "-c", command], cwd=made.root, env=made.environment(), capture_output=True, text=True, check=True
    )
    assert done.stdout.splitlines()[0] == "[ok] baybook_lift_head: loads"
    assert done.stdout.splitlines()[-1] == "[ok] lift-head: catalogues"
    assert done.stderr == ""


def test_an_installed_plugin_is_checked_by_name(site: Site) -> None:
    site.settings["BAYBOOK_CHECK_SECONDS"] = "60"
    lines = site.run("plugins", "check", "fuels").stdout.splitlines()
    assert "[ok] diesel: fuel" in lines and lines[-1].endswith(" 0 broken")
