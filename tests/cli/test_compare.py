"""The same measurement in several jobs: known good beside doubtful, by numbers worked out by hand."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Command = Callable[..., Any]
READINGS = {"wren": ("4.1 bar", "3.5 to 5 bar"), "finch": ("380 kPa", "3.5 to 5 bar"), "stork": ("2.1 bar", "3.5 to 5 bar")}


@pytest.fixture
def jobs(command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Three vans with a feed pressure each, in different units, and a balance of injectors."""
    monkeypatch.chdir(tmp_path)
    for name, (value, limit) in READINGS.items():
        assert command("job", "new", f"{name}.toml", "--set", f"vehicle=van {name}", "--set", "date=2026-11-20").code == 0
        assert command("job", "add", f"{name}.toml", "reading", "feed pressure", value, "--limit", limit).code == 0
    for name in ("wren", "finch"):
        volumes = "30 31 29 60 ml" if name == "finch" else "30 31 29 33 ml"
        line = f"job add {name}.toml returns".split()
        assert command(*line, "--volumes", volumes, "--time", "60s", "--median-limit", "max 150 %").code == 0
    return [f"{name}.toml" for name in READINGS]


def test_units_are_put_alike_and_the_doubtful_one_is_told_apart(jobs: list[str], command: Command) -> None:
    """380 kPa are 3.80 bar; half a unit of the last digit either way: 3.8 ± 0.005 and 4.1 ± 0.05 bar are good."""
    ran = command("compare", *jobs, "--calculator", "reading", "--json")
    told = json.loads(ran.out)
    assert [(row["value"], row["unit"], row["state"]) for row in told["rows"]] == [
        (4.1, "bar", "known good"), (pytest.approx(3.8), "bar", "known good"), (2.1, "bar", "in doubt"),
    ]  # fmt: skip
    assert told["known_good"] == [pytest.approx(3.795, abs=1e-3), pytest.approx(4.15, abs=5e-3)]
    shown = command("compare", *jobs, "--calculator", "reading").out
    assert "3 lies beyond all that is known to be good." in shown
    for part in ("van stork", "2026-11-20", "2.1 bar", "outside", "1 wren.toml"):
        assert part in shown
    scale = [line for line in shown.splitlines() if line.strip().startswith(("1 |", "2 |", "3 |"))]
    assert ["x" in line for line in scale] == [False, False, True]
    assert scale[0].index("o") > scale[1].index("o") > scale[2].index("x")  # 4.1, 3.8 and 2.1 bar, from right to left


def test_without_a_range_a_job_without_a_fault_is_good(
    command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    for name, value in (("a", "4.1 bar"), ("b", "2.0 bar")):
        command("job", "new", f"{name}.toml")
        command("job", "add", f"{name}.toml", "reading", "feed pressure", value)
    assert command("job", "mark", "a.toml", "--outcome", "no fault").code == 0
    told = json.loads(command("compare", "a.toml", "b.toml", "--json").out)
    assert [row["state"] for row in told["rows"]] == ["known good", "not judged"]


def test_each_injector_has_its_row_and_one_may_be_picked(jobs: list[str], command: Command) -> None:
    told = json.loads(command("compare", *jobs, "--calculator", "returns", "--output", "flow", "--json").out)
    assert [row["value"] for row in told["rows"]] == pytest.approx([30, 31, 29, 33, 30, 31, 29, 60])
    fourth = json.loads(command("compare", *jobs, "--calculator", "returns", "--of", "injector 4", "--json").out)
    assert [(row["what"][-10:], row["state"]) for row in fourth["rows"]] == [
        ("injector 4", "known good"), ("injector 4", "in doubt"),
    ]  # fmt: skip


def test_a_bad_sheet_is_named_and_passed_over(jobs: list[str], command: Command) -> None:
    Path("bad.toml").write_text("[[step]]\ncalculator = 'hold'\n", "utf-8")
    ran = command("compare", *jobs, "bad.toml", "nowhere.toml", "--calculator", "reading")
    assert ran.code == 0 and ran.out.count("van ") == 3
    lines = ran.err.splitlines()
    assert [line.partition(": passed over: ")[0] for line in lines] == ["bad.toml", "nowhere.toml"]


@pytest.mark.parametrize(
    ("words", "line"),
    [
        (["wren.toml"], 'JOB: "wren.toml" is one job alone; give two or more job sheets'),
        (["wren.toml", "finch.toml"], "--calculator: is missing: the jobs have more than one in common; say which: "),
        (["wren.toml", "finch.toml", "--calculator", "hodl"], '--calculator: "hodl" is not one that is known; '),
        (["wren.toml", "finch.toml", "--calculator", "coil"], '--calculator: "coil" is in none of the jobs; '),
        (["wren.toml", "finch.toml", "--calculator", "returns", "--output", "leak"],
         '--output: "leak" is no output of returns; use one of stands_out, '),
        (["wren.toml", "finch.toml", "--calculator", "returns", "--of", "zzz"], '--of: "zzz" is in no step\'s title, '),
        (["wren.toml", "finch.toml", "--plot", "a.png"], '--plot: "a.png" has another ending; '),
    ],
)  # fmt: skip
def test_what_cannot_be_compared_is_told(words: list[str], line: str, jobs: list[str], command: Command) -> None:
    ran = command("compare", *words)
    assert (ran.code, ran.out) == (2, "") and ran.err.startswith(line), ran.err


def test_different_readings_are_not_mixed(jobs: list[str], command: Command) -> None:
    assert command("job", "add", "wren.toml", "reading", "feed pressure before the filter", "4.6 bar").code == 0
    ran = command("compare", *jobs, "--calculator", "reading")
    assert (ran.code, ran.err) == (
        2,
        "--of: is missing: these are different readings; say which: feed pressure, feed pressure before the filter\n",
    )
    told = json.loads(command("compare", *jobs, "--calculator", "reading", "--of", "Feed pressure", "--json").out)
    assert len(told["rows"]) == 3  # the whole name means that reading alone


def test_what_cannot_be_told_apart_and_what_it_was_is_said(jobs: list[str], command: Command) -> None:
    """4.0 bar without a range lies between 3.8 and 4.1 bar, which are good; the stork was a blocked filter."""
    command("job", "new", "heron.toml")
    assert command("job", "add", "heron.toml", "reading", "feed pressure", "4.0 bar").code == 0
    assert command("job", "mark", "stork.toml", "--outcome", "filter").code == 0
    assert command("job", "add", "heron.toml", "returns").code == 0  # planned: it has nothing to compare
    returned = json.loads(command("compare", "wren.toml", "finch.toml", "heron.toml", "--calculator", "returns", "--json").out)
    assert {row["file"] for row in returned["rows"]} == {"wren.toml", "finch.toml"}
    out = " ".join(command("compare", *jobs, "heron.toml", "--calculator", "reading").out.split())
    assert "4 cannot be told apart from what is known to be good." in out
    assert "in doubt; it was: filter" in out
    alone = command("compare", "heron.toml", "heron.toml", "--calculator", "reading").out
    assert "None of these is known to be good: no range was given with them" in " ".join(alone.split())


def test_readings_of_two_kinds_are_not_put_on_one_scale(jobs: list[str], command: Command) -> None:
    for name, value in (("wren", "4.1 bar"), ("finch", "80 °C")):
        assert command("job", "add", f"{name}.toml", "reading", "sender", value, "--place", "filter").code == 0
    ran = command("compare", "wren.toml", "finch.toml", "--calculator", "reading", "--of", "sender", "--json")
    assert "finch.toml, step 3: passed over: °C is of another kind than bar" in ran.err
    assert len(json.loads(ran.out)["rows"]) == 1


def test_it_is_drawn_and_spoken_in_german(jobs: list[str], command: Command, tmp_path: Path) -> None:
    ran = command("compare", *jobs, "--calculator", "reading", "--plot", "a.svg", "--language", "de")
    assert ran.code == 0, ran.err
    assert Path("a.svg").read_text("utf-8").count("<svg") == 1
    assert "bekannt gut" in ran.out and "Fahrzeug" not in ran.err
    for english in ("known good", "in doubt", "lies beyond"):
        assert english not in ran.out
    assert command("compare", *jobs, "--calculator", "reading", "--plot", "a.svg").code == 2  # nothing is written over
    assert command("compare", *jobs, "--calculator", "reading", "--plot", "a.pdf").code == 0
    assert Path("a.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize("columns", ["60", "80", "120"])
def test_it_follows_the_width(columns: str, jobs: list[str], command: Command, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", columns)
    out = command("compare", *jobs, "--calculator", "reading").out
    assert max(map(len, out.splitlines())) <= int(columns)
