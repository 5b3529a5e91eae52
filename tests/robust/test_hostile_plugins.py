"""Plugins that take what is not theirs, give what is none, or do not end: each is told in a line with its name."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from baybook.errors import PluginError
from baybook.plugins.alike import face, fault_of_spelling
from baybook.result import Series

from ..plugins.conftest import Site, good

UNITS = "from baybook.api import *\n@hookimpl\ndef baybook_units():\n    return [UnitOffer({})]"
HOOK = "from baybook.api import *\n@hookimpl\ndef baybook_calculators():\n    "


def named(name: str) -> str:
    """A good plugin whose calculator has another name than its function."""
    return good("borrowed").replace("[borrowed]", f"[__import__('dataclasses').replace(borrowed, name='{name}')]")


LEFT_OUT = {
    "shadow": (UNITS.format("'pressure', 'barg', '2 * bar'"), "has the unit 'barg' (pressure), which is read as bar gauge"),
    "blank": (UNITS.format("'pressure', 'mybar', 'bar', ('bar a',)"), "which is read as bar absolute"),
    "word": (UNITS.format("'pressure', 'max', 'bar'"), "which is a word of readings and ranges"),
    "digits": (UNITS.format("'pressure', '5 bar', 'bar'"), "which does not begin with a letter"),
    "mark": (UNITS.format("'pressure', 'q±', 'bar'"), "has the character '±', which is none of a unit's"),
    "screen": (UNITS.format("'pressure', 'q\\x1b[2J', 'bar'"), "has the character '\\x1b', which is none of a unit's"),
    "letters": (UNITS.format("'pressure', 'b\\u0430r', 'bar'"), "has the character 'а', which is none of a unit's"),
    "none": (HOOK + "pass", "baybook_calculators returned nothing; it returns a list of what the plugin offers"),
    "empty": (HOOK + "return []", "offers nothing: its hooks return empty lists"),
    "alike": (named("h\\u043eld"), "the calculator hоld is taken by baybook 0.1.0 [hold]"),
    "case": (named("Hold"), "the calculator Hold is taken by baybook 0.1.0 [hold]"),
    "order": (named("J0b"), "the calculator J0b has the name of a command"),
}


@pytest.fixture(scope="module")
def left_out(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """Why each of them is left out; they are asked together, with one whose metadata is damaged."""
    site = Site(tmp_path_factory.mktemp("site"), {"BAYBOOK_PLUGIN_SECONDS": "30"})
    for name, (code, _) in LEFT_OUT.items():
        site.add(name, code)
    site.add("torn", good("torn_one"))
    (site.packages / "third_torn-1.2.dist-info" / "METADATA").write_bytes(b"\xff\xfe\xff")
    for folder in site.packages.glob("third*torn*.dist-info"):
        (folder / "METADATA").write_bytes(b"\xff\xfe\xff")
    return {plugin["distribution"].removeprefix("third-"): plugin["reason"] for plugin in site.listed().values()}


@pytest.mark.parametrize("name", LEFT_OUT)
def test_what_is_taken_or_given_wrongly_is_told(left_out: dict[str, str], name: str) -> None:
    assert LEFT_OUT[name][1] in left_out[name]


def test_damaged_metadata_is_named(left_out: dict[str, str]) -> None:
    told = [reason for name, reason in left_out.items() if "torn" in name]
    assert len(told) == 1
    assert told[0].startswith("its METADATA")


def test_what_a_person_reads_alike_is_one_name() -> None:
    assert face("hold") == face("HOLD") == face("h\u043eld") == face("h0ld") == face("ho\u0301ld")
    assert face("my_pump") == face("my-pump")
    assert face("hold") != face("holt")


def test_every_unit_there_is_and_an_ordinary_new_one_may_be_spelled_so() -> None:
    from baybook.units.table import ROWS

    faults = {text: fault_of_spelling(text) for _, symbol, _, _, others in ROWS for text in (symbol, *others)}
    assert {text: why for text, why in faults.items() if why} == {text: faults[text] for text in ("1", "x", "min", "Min")}
    assert [fault_of_spelling(text) for text in ("N m", "drop/min", "drops/min", "kW", "mg/stroke", "Ω m")] == [""] * 6


@pytest.mark.parametrize(
    ("given", "why"),
    [
        ({"x": (0.0, 1.0), "y": (1.0, float("nan"))}, "has a number that is not finite"),
        ({"x": (0.0, 1.0), "y": (1.0,)}, "has 2 x, 1 y and 0 y2"),
        ({"x": (0.0,), "y": (1.0,), "style": "dots"}, "has the style 'dots'; use one of line, points, band"),
    ],
)
def test_a_plot_is_checked_when_it_is_made(given: dict[str, object], why: str) -> None:
    with pytest.raises(PluginError, match=why):
        Series("s", **given)  # type: ignore[arg-type]


BODIES = {
    "verdict": (
        "from baybook.result import Verdict\n    from baybook.spec import SpecRange\n"
        "    return Result({}, verdicts=(Verdict('double', 'maybe', 0.5, SpecRange(0, 1, 'bar')),))",
        "calculator verdict: a verdict on double is 'maybe'; use one of within, outside, undecided",
    ),
    "long": ("raise ValueError('first\\nsecond ' + 5000 * 'x')", "calculator long failed: ValueError: first second xxx"),
    "loop": ("while True: pass", "calculator loop did not end within 0.5 s; BAYBOOK_COMPUTE_SECONDS gives it longer"),
    "deaf": (
        "while True:\n        try:\n            while True: pass\n        except Exception: pass",
        "calculator deaf did not end within 0.5 s",
    ),
}


@pytest.mark.parametrize("name", BODIES)
def test_what_goes_wrong_in_a_calculator_is_one_line_with_the_plugins_name(tmp_path: Path, name: str) -> None:
    site = Site(tmp_path, {"BAYBOOK_COMPUTE_SECONDS": "0.5"})
    site.add(name, good(name, BODIES[name][0]))
    told = site.run(name, "--pressure", "1 bar", code=1).stderr
    assert told.startswith(f"plugin third-{name} 1.2 [{name}]: {BODIES[name][1]}")
    assert told.count("\n") == 1
    assert len(told) < 400


def test_a_changed_folder_and_locale_are_put_back(tmp_path: Path) -> None:
    site = Site(tmp_path)
    body = (
        "import os, locale, tempfile\n    os.chdir(tempfile.gettempdir()); os.umask(0o777); locale.setlocale(locale.LC_ALL, '')"
    )
    site.add("mover", good("mover", body))
    code = (
        "import os, locale\nbefore = os.getcwd(), locale.setlocale(locale.LC_ALL)\nimport baybook\n"
        "baybook.calculate('mover', pressure='1 bar')\nassert (os.getcwd(), locale.setlocale(locale.LC_ALL)) == before\n"
        "assert os.umask(0o022) != 0o777; print('as before')"
    )
    paths = os.pathsep.join([str(site.packages), os.environ.get("PYTHONPATH", "")])
    kept = {"BAYBOOK_CACHE": str(tmp_path / "c"), "BAYBOOK_CONFIG": str(tmp_path / "d"), "PYTHONPATH": paths}
    ran = subprocess.run(
        [sys.executable, "-P", "-c", code], cwd=tmp_path, capture_output=True, text=True, timeout=60, check=False,
        env={**os.environ, **kept, "LANG": "C.UTF-8"},
    )  # fmt: skip
    assert (ran.stdout, ran.stderr) == ("as before\n", "")
