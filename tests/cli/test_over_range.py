"""`OL`, a meter beyond its range, is taken by `reading` as a bound. That it is more than the range's end: common practice."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest

Command = Callable[..., Any]
WIRE = ("reading", "wire end to end")
PLACE = ("--place", "tank pump wiring")


@pytest.mark.parametrize("typed", ["OL", "O.L", "ol"])
@pytest.mark.parametrize(
    ("limit", "word"), [("max 1 ohm", "outside"), ("min 1 Mohm", "within"), ("2 to 3 ohm", "outside"), ("max 0 bar", "outside")]
)
def test_it_is_more_than_the_end_of_the_range(typed: str, limit: str, word: str, command: Command) -> None:
    told = json.loads(command(*WIRE, typed, "--limit", limit, *PLACE, "--json").out)
    assert [verdict["verdict"] for verdict in told["verdicts"]] == [word]
    assert told["outputs"] == {} and told["inputs"]["over_range"]["value"] is True
    assert told["notes"][0]["text"].startswith("OL was taken as more than ")


def test_it_counts_in_a_job_and_in_german(command: Command, tmp_path: Any) -> None:
    sheet = tmp_path / "job.toml"
    assert command("job", "new", sheet).code == 0
    assert command("job", "add", sheet, *WIRE, "OL", "--limit", "max 1 ohm", *PLACE).code == 0
    told = json.loads(command("job", "run", sheet, "--json").out)
    assert told["places"]["places"][0]["place"]["name"] == "tank pump wiring"
    german = " ".join(command(*WIRE, "OL", "--limit", "max 1 ohm", *PLACE, "--language", "de").out.split())
    assert "OL wurde als mehr als 1 ohm genommen" in german


@pytest.mark.parametrize(
    ("typed", "line"),
    [
        (("OL",), "--limit: is missing, and OL has no number; give the range, such as max 1 ohm"),
        ((), "VALUE: is missing; give what it showed, such as 4.1 bar, or OL for a meter beyond its range"),
        (("3 ohm", "--over-range", "--limit", "max 4 ohm"),
         '--over-range: "yes" and a number for value cannot both be; leave one of them out'),
    ],
)  # fmt: skip
def test_what_says_nothing_is_refused_in_a_line(typed: tuple[str, ...], line: str, command: Command) -> None:
    ran = command(*WIRE, *typed, *PLACE)
    assert (ran.code, ran.out, ran.err.strip()) == (2, "", line)
