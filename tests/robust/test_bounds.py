"""Files that have no end, no bottom or no sense are refused at once, in a line."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from .processes import baybook

DEEP = "more than 50 deep; write them plainly"
HOLD = ["hold", "--start", "350 bar", "--end", "320 bar", "--time", "30 s", "--volume", "25 mL"]
FILES = {
    "dots.toml": "format = 2\n[job]\nnumber = 1\n" + ".".join("a" * 40_000) + " = 1\n",
    "deep.toml": '[job]\nnumber = "1"\nx = ' + "[" * 90 + "]" * 90 + "\n",
    "digits.toml": "name = 'x'\ndensity_15C = " + "9" * 400 + "\nviscosity_40C = 2.7\nsources = ['s']\n",
    "deep.json": '{"reading": ' + "[" * 900 + "]" * 900 + "}",
}
TRIED = {
    "keys of 40 000 dots": (["job", "run", "dots.toml"], DEEP),
    "lists in lists": (["job", "run", "deep.toml"], DEEP),
    "a number of 400 digits": ([*HOLD, "--fuel", "digits.toml"], "density_15C: 1e+300 is not possible"),
    "lists in JSON": (["coil", "--from", "deep.json"], "has lists within lists too deep"),
    "a pipe as a sheet": (["job", "run", "pipe.toml"], "is no file: it may have no end"),
    "a pipe as JSON": (["coil", "--from", "pipe.toml"], "is no file: it may have no end"),
    "a pipe as a fuel": ([*HOLD, "--fuel", "pipe.toml"], "is no file: it may have no end"),
    "a device": (["job", "run", "endless.toml"], "is no file: it may have no end"),
    "a pipe as a capture": (["hold", "--capture", "pipe.toml", "--volume", "25 mL"], "is not a file: it may have no end"),
    "a device as a capture": (["capture", "endless.toml"], "is not a file: it may have no end"),
    "a date that there is not": (["card", "print", "coil", "--out", "c.html"], ""),
}


@pytest.mark.parametrize("name", TRIED)
def test_it_is_refused_at_once(tmp_path: Path, name: str) -> None:
    for file, text in FILES.items():
        (tmp_path / file).write_text(text)
    os.mkfifo(tmp_path / "pipe.toml")
    (tmp_path / "endless.toml").symlink_to("/dev/zero")
    arguments, why = TRIED[name]
    ran = baybook(*arguments, cwd=tmp_path, seconds=30, SOURCE_DATE_EPOCH="9" * 20)
    assert (ran.returncode, why in ran.stderr) == (2 if why else 0, True), ran.stderr
    assert "fault" not in ran.stderr


@pytest.mark.parametrize(
    "more",
    [
        ["--reading", "0.2 ± 0 ohm", "--leads", "0.2 ± 0 ohm"],
        ["--reading", "2.5 ± 0.01 ohm", "--leads", "0 ± 0 ohm", "--duty", "25 ± 200 %", "--frequency", "200 Hz"],
        ["--reading", "2.5 ± 0.01 ohm", "--leads", "0 ± 0 ohm", "--duty", "95 ± 20 %", "--frequency", "0.1 Hz"],
    ],
    ids=["a dead short", "a duty beyond all", "a slow pulse"],
)
def test_what_no_coil_does_is_worked_out_within_what_coils_do(tmp_path: Path, more: list[str]) -> None:
    """No current is larger than supply over resistance, 14 V over 2.5 ohm and its uncertainty: Ohm's law."""
    inductance = ["--coil-inductance", "10 mH"] if "--duty" in more else []
    ran = baybook("coil", *more, *inductance, "--temperature", "20 °C", "--supply", "14 V", "--json", cwd=tmp_path)
    assert ran.returncode == 0, ran.stderr
    told = json.loads(ran.stdout)["outputs"]
    currents = [part["high"] for name, part in told.items() if name.endswith("_current")]
    assert len(currents) == (4 if inductance else 0)
    assert all(0 <= high < 5.9 for high in currents)
