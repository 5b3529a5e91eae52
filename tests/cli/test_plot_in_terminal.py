"""A capture and what was fitted to it, drawn in a terminal with letters that every encoding has."""

from __future__ import annotations

import math
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tests.cli.terminal import shown

from baybook.errors import PluginError
from baybook.plot_text import plot_lines
from baybook.registry import registry
from baybook.result import Plot, Series

Command = Callable[..., Any]
DATA = Path(__file__).parents[1] / "captures" / "data"
HOLD = Path(__file__).parents[2] / "data_demo" / "heath_hold.csv"
LOGGED = {
    "hold": ["--capture", str(HOLD), "--volume", "25 mL"],
    "cranking": ["--capture", str(DATA / "tallow_crank.csv")],
    "ripple": ["--capture", str(DATA / "tallow_crank.csv"), "--elements", "3", "--pump-ratio", "0.5 1", "--injection", "off"],
    "target": ["--capture", str(DATA / "osprey_idle.csv.gz")],
}


def graph(lines: list[str]) -> list[str]:
    """What stands between the axes."""
    return [line.partition("|")[2] for line in lines if "|" in line]


def test_a_line_goes_from_corner_to_corner(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    falling = Plot("Fall", "time", "s", "pressure", "bar", (Series("fitted", (0.0, 10.0), (1000.0, 0.0)),))
    rows = graph(plot_lines(falling))
    places = [row.index(".") for row in rows]
    assert places == sorted(places) and places[0] == 0
    ends = [len(row) - 1 for row in rows]
    assert ends[-1] >= 65 and all(
        end + 1 >= place for end, place in zip(ends, places[1:], strict=False)
    )  # no column is left out


def test_readings_lie_over_the_fit_and_both_are_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    series = (Series("read", (0.0, 5.0, 10.0), (10.0, 5.0, 0.0), "points"), Series("fitted", (0.0, 10.0), (10.0, 0.0)))
    lines = plot_lines(Plot("Fall", "time", "s", "pressure", "bar", series))
    assert sum(row.count(".") for row in graph(lines)) == 3
    assert lines[-1].endswith("time; . read, * fitted")
    assert lines[0] == "  Fall: pressure (bar)" and lines[-2].split() == ["0", "10", "s"]


@pytest.mark.parametrize("values", [(), (5.0,), (5.0, 5.0)])
def test_few_or_equal_numbers_are_drawn_or_told(values: tuple[float, ...]) -> None:
    xs = tuple(float(at) for at in range(len(values)))
    lines = plot_lines(Plot("Odd", "x", "", "y", "bar", (Series("s", xs, values, "points"),)))
    drawn = sum(row.count(".") for row in graph(lines))
    assert drawn == len(values) if values else "no numbers to draw" in lines[-1]


@pytest.mark.parametrize("number", [math.nan, math.inf])
def test_what_is_no_number_never_comes_to_a_plot(number: float) -> None:
    with pytest.raises(PluginError, match="not finite"):
        Series("s", (0.0, 1.0), (number, 1.0))


@pytest.mark.parametrize(("name", "columns"), [*((name, 80) for name in LOGGED), ("hold", 60), ("target", 120)])
def test_a_capture_is_drawn_before_the_answer(name: str, columns: int) -> None:
    registry().listed()  # so that no plugin is waited for
    lines = shown([name, *LOGGED[name], "--plot"], columns=columns)
    assert max(map(len, lines)) <= columns
    at = next(number for number, line in enumerate(lines) if line.lstrip().startswith("+---"))
    assert any("|" in line for line in lines[:at])
    plain = shown([name, *LOGGED[name]], columns=columns)
    assert lines[-len(plain) :] == plain  # the answer stays last


def test_it_is_drawn_in_ascii_and_in_german() -> None:
    words = [sys.executable, "-m", "baybook", "hold", *LOGGED["hold"], "--plot", "--language", "de"]
    done = subprocess.run(words, capture_output=True, check=True, env={**os.environ, "PYTHONIOENCODING": "ascii"})
    text = done.stdout.decode("ascii")
    assert "Druck in der abgesperrten" in text or "Druck im" in text, text[:400]
    assert "fitted" not in text and "the same rail" not in text


def test_without_a_plot_a_line_says_so(command: Command) -> None:
    ran = command("hold", "1000", "900", "bar", "30s", "25ml", "--plot")
    assert ran.code == 0 and ran.out.startswith("These readings give no plot; a log of them does")


def test_it_is_loaded_only_when_asked_for() -> None:
    asks = "import sys; from baybook.cli.main import run; run(['hold', '1000 bar', '900 bar', '30 s', '25 ml']); "
    done = subprocess.run(
        [sys.executable, "-c", asks + "print('baybook.plot_text' in sys.modules)"], capture_output=True, text=True
    )
    assert done.stdout.splitlines()[-1] == "False"
