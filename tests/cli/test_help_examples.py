"""Every example that a help page prints is typed as it stands there, quotes and all, beside readings of a sound vehicle."""

from __future__ import annotations

import json
import re
import shlex
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from baybook.cli.options import command_options
from baybook.registry import registry

Command = Callable[..., Any]

DATA = Path(__file__).parents[1] / "captures" / "data"
HOLD = "--start '1000 bar' --end '950 bar' --time '30 s' --volume '25 mL'"
SENSOR = "--signal '2.5 V' --supply '5 V' --full-scale '2000 bar'"
SOUND = {
    "coil": "--reading '3.1 ohm' --leads '0.2 ohm' --temperature '40 °C' --part injector",
    "convert": "'300 bar' psi",
    "cranking": "--speed '220 rpm' --battery '10.2 V' --pressure '260 bar' --time '1.2 s' --supply '4 bar'",
    "delivery": "--corrections '0.4 mm3/stroke; 0.4 mm3/stroke' --peaks '310 A; 310 A'",
    "drive": "--part inlet-valve --duty '25 %' --mean-current '0.95 A' --supply '13.5 V' --temperature '60 °C'",
    "drop": "--part tank-pump --current '5.0 A' --drops '0.05 V; 0.05 V'",
    "fuel": "--density '830 ± 1 kg/m3' --temperature '20 ± 0.5 °C'",
    "hold": HOLD,
    "observation": "'bubbles in the clear hose'",
    "pump": "--displacement '0.6 cm3/rev' --drive-ratio '50 %' --engine-speed '2000 rpm' --returns '120 mL/min' "
    "--quantity '30 mm3/stroke' --cylinders 4 --control '250 mL/min'",
    "reading": "'feed pressure' '4.1 bar'",
    "regulator": "--where both --meter-counts low",
    "static-return": "--volumes '2.0 mL; 2.2 mL; 2.1 mL; 2.0 mL' --time '60 s'",
    "common-return": "--total '480 mL; 484 mL' --time '120 s' --without '400 mL; 402 mL; 396 mL; 398 mL'",
    "return-parts": "--injectors '120 mL' --valve '20 mL' --pump-own '900 mL' --time '60 s' --outlet-valve driven-shut",
    "returns": "--volumes '30 mL; 31 mL; 29 mL; 33 mL' --time '120 s'",
    "ripple": "--amplitudes '1.0 0.8 12 0.5 0.4 3.0 bar' --elements 3 --speed '800 rpm'",
    "sensor": SENSOR,
    "supply": "--load '3.8 bar'",
    "line": "--flow '120 L/h' --temperature '20 ± 5 °C' --drop '10 kPa' --drop-flow '100 L/h' --drop-temperature '20 ± 5 °C'",
    "target": "--actual '350 bar; 800 bar' --target '350 bar; 800 bar'",
}
"""Readings of a sound vehicle, that an example is typed beside."""

COIL = SOUND["coil"]
DRAWN = "--supply '13.8 V' --duty '25 %'"
CRANK = "--capture hold.csv --volume '22 ± 2 mL' --pump-ratio '0.6667 1'"
LOGGED = "--elements 2 --capture hold.csv --pump-ratio '0.6667 1' --injection off"
PULSE = "--part injector --form pulse --supply '13.8 V' --rise-current '9 A' --coil-resistance '0.35 ohm'"
MANY = "--pressures '1000 983 966 950 935 921 907 894 bar' --times '0 5 10 15 20 25 30 35 s' --volume '25 mL'"
BORES = "--start '1000 bar' --end '950 bar' --time '30 s' --bores '10 mm; 10 mm' --lengths '400 mm; 400 mm'"
LINE = "--flow '120 L/h' --temperature '20 ± 5 °C' --length '3 m' --bore '8 mm'"
PUMPED = "--drive-ratio '50 %' --engine-speed '2000 rpm'"
BESIDE = {
    ("coil", "--meter-digits"): f"{COIL} --meter-resolution '0.1 ohm'",
    **dict.fromkeys((("coil", "--measured-current"), ("coil", "--current-limit")), f"{COIL} {DRAWN}"),
    ("cranking", "--capture"): CRANK,
    ("cranking", "--returned"): CRANK,
    ("drive", "--inductance-limit"): f"{PULSE} --rise-time '0.2 ms'",
    ("drive", "--rise-time"): PULSE,
    ("delivery", "--volumes"): "--strokes 1000",
    ("delivery", "--strokes"): "--volumes '22 mL; 22 mL'",
    ("delivery", "--quantity-limit"): "--volumes '22 mL; 22 mL' --strokes 1000",
    ("delivery", "--consumption"): "--engine-speed '800 rpm' --cylinders 4",
    ("delivery", "--mean"): "--engine-speed '800 rpm' --cylinders 4",
    ("delivery", "--engine-speed"): "--consumption '70 mL/min' --cylinders 4",
    ("delivery", "--cylinders"): "--consumption '70 mL/min' --engine-speed '800 rpm'",
    ("drive", "--capture"): "--part inlet-valve --supply '12.6 ± 0.8 V' --temperature '30 ± 15 °C'",
    ("drop", "--battery"): f"{SOUND['drop']} --at-part '13.4 V'",
    ("drop", "--at-part"): f"{SOUND['drop']} --battery '13.8 V'",
    ("drop", "--wire-length"): f"{SOUND['drop']} --wire-section '1.5 mm2'",
    ("drop", "--wire-section"): f"{SOUND['drop']} --wire-length '6.0 m'",
    ("drop", "--driver-limit"): f"{SOUND['drop']} --driver '0.4 V'",
    ("drop", "--duty"): "--part inlet-valve --driver '0.4 V'",
    ("fuel", "--viscosity"): "--viscosity-temperature '40 °C'",
    ("fuel", "--viscosity-limit"): "--viscosity '3.0 mm2/s' --viscosity-temperature '40 °C'",
    ("fuel", "--second-viscosity"): "--viscosity '3.0 mm2/s' --viscosity-temperature '40 °C' --second-temperature '60 °C'",
    ("fuel", "--there"): "--viscosity '3.0 mm2/s' --viscosity-temperature '40 °C'",
    ("hold", "--capture"): "--volume '25 mL'",
    ("hold", "--window-start"): "--capture hold.csv --volume '25 mL'",
    ("hold", "--window-end"): "--capture hold.csv --volume '25 mL'",
    **{("hold", option): MANY for option in ("--pressures", "--times", "--until")},
    **{("hold", option): BORES for option in ("--bores", "--lengths")},
    **{("hold", option): f"{HOLD} --after '30 s'" for option in ("--pressure-limit", "--fall-limit")},
    **{
        ("pump", option): f"--elements 3 --bore '6.5 mm' --stroke '6.0 mm' {PUMPED}"
        for option in ("--bore", "--stroke", "--off")
    },
    ("pump", "--dead-share"): f"{SOUND['pump']} --rail-pressure '800 bar'",
    ("pump", "--pressure-limit"): f"{SOUND['pump']} --highest '1450 bar' --outlet-shut driven-shut",
    ("pump", "--efficiency-limit"): f"{SOUND['pump']} --outlet-shut driven-shut",
    ("reading", "VALUE"): "'feed pressure'",
    ("regulator", "--pressure"): f"{SOUND['regulator']} --target '300 bar'",
    ("regulator", "--target"): f"{SOUND['regulator']} --pressure '298 bar'",
    ("regulator", "--inlet-wire-voltage"): f"{SOUND['regulator']} --supply '14 V'",
    ("regulator", "--outlet-wire-voltage"): f"{SOUND['regulator']} --supply '14 V'",
    ("ripple", "--capture"): LOGGED,
    ("ripple", "--window-start"): LOGGED,
    ("ripple", "--window-end"): LOGGED,
    ("target", "--capture"): "",
    ("supply", "--filter-limit"): f"{SOUND['supply']} --before-filter '4.0 bar'",
    ("supply", "--volume"): f"{SOUND['supply']} --time '30 s'",
    ("supply", "--time"): f"{SOUND['supply']} --volume '1000 mL'",
    ("supply", "--flow-limit"): f"{SOUND['supply']} --volume '1000 mL' --time '30 s'",
    ("supply", "--battery-voltage"): f"{SOUND['supply']} --pump-voltage '13.3 V'",
    ("supply", "--pump-voltage"): f"{SOUND['supply']} --battery-voltage '13.8 V'",
    **{
        ("line", option): LINE
        for option in ("--length", "--bore", "--height", "--viscosity", "--density", "--viscosity-temperature")
    },
}
"""Other readings, where an option goes with those alone."""


def examples() -> Iterator[tuple[str, str, str]]:
    """(calculator, option, example as it is printed, with its quotes) of every help page."""
    for listed in registry().listed():
        for option in command_options(registry().calculator(listed.name), ()):
            for printed in re.findall(r'such as ("[^"]*"|[^\s,;]+)', option.help)[-1:]:
                yield listed.name, option.spelling, printed


def line(name: str, option: str, printed: str) -> list[str]:
    """The words that a shell makes of the line: the sound readings, without the option's own, and the example."""
    words = shlex.split(BESIDE.get((name, option), SOUND[name]))
    if option in words:
        at = words.index(option)
        del words[at : at + 2]
    if not option.startswith("--"):  # a place: the first, or behind the one that stands there
        return [name, *words, *shlex.split(printed)] if (name, option) in BESIDE else [name, *shlex.split(printed), *words[1:]]
    return [name, *words, option, *shlex.split(printed)]


def logged(name: str, file: Path) -> None:
    """A log of a sound vehicle, for the calculators that read one: made here, or of a capture with a known truth."""
    if name in ("cranking", "drive", "ripple"):
        file.write_bytes((DATA / "bramble_crank.csv").read_bytes())
    elif name in ("hold", "target"):
        rows = [f"{at / 10:.1f},{1000 - at / 20 + (at % 3):.0f},{1000 - at / 20:.0f}" for at in range(400)]
        file.write_text("\n".join(["Time [s],Rail pressure [bar],Rail pressure target [bar]", *rows]), "utf-8")


PRINTED = list(examples())


@pytest.mark.parametrize(("name", "option", "printed"), PRINTED, ids=[f"{name} {option}" for name, option, _ in PRINTED])
def test_an_example_is_typed_as_printed_and_true(
    name: str, option: str, printed: str, command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    logged(name, tmp_path / "hold.csv")
    ran = command(*line(name, option, printed), "--json")
    assert ran.code == 0, ran.err
    told = json.loads(ran.out)
    assert [warning["text"] for warning in told["warnings"]] == []
    assert [verdict["what"] for verdict in told["verdicts"] if verdict["verdict"] == "outside"] == []
    assert [found["statement"]["text"] for found in told["findings"] if found["strength"] in ("indicated", "proven")] == []


@pytest.mark.parametrize("name", SOUND)
def test_the_help_page_prints_the_examples_whole(name: str, command: Command) -> None:
    shown = " ".join(command(name, "--help").out.split())
    printed = [text for calculator, _, text in PRINTED if calculator == name]
    assert [text for text in printed if f"such as {text}" not in shown] == []
    assert "such as" not in shown or printed


def test_every_calculator_has_its_sound_readings() -> None:
    assert sorted(SOUND) == sorted(listed.name for listed in registry().listed())


COMMANDS = {
    "": [('"350 bar"', 'convert "350 bar" psi'), ('"350 ± 5 bar"', 'convert "350 ± 5 bar" psi'),
         ('"1,5 MPa ± 1 %"', 'convert "1,5 MPa ± 1 %" bar')],
    "job new": [('--set vehicle="van"', 'job new new.toml --set vehicle="van"')],
    "job run": [('--why "injector 3"', 'job run job.toml --why "injector 3"')],
    "spec add": [('"max 6 mL/min"', 'spec add a "max 6 mL/min" --source "sheet 4"'),
                 ('"2.2-2.8 ohm"', 'spec add b "2.2-2.8 ohm" --source "sheet 4"')],
    "shop set": [('baybook shop set technician "R. Finch"', 'shop set technician "R. Finch"'),
                 ('baybook shop set "instrument gauge" "1 %"', 'shop set "instrument gauge" "1 %"'),
                 ('"unit volume"', 'shop set "unit volume" mL'),
                 ('"1 %; rail gauge"', 'shop set "instrument b" "1 %; rail gauge"')],
    "capture": [('--column rail="Rail pressure"', 'capture named.csv --column rail="Rail pressure"'),
                ("1000 Hz", 'capture untimed.csv --rate "1000 Hz" --column rail="Rail pressure"')],
    "plugins new": [("lift-head", "plugins new lift-head")],
}  # fmt: skip
"""By command: what its help page prints, and the line in which that is typed."""


@pytest.mark.parametrize("page", COMMANDS)
def test_what_the_page_of_a_command_proposes_runs(
    page: str, command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("BAYBOOK_CONFIG", str(tmp_path / "settings"))
    (tmp_path / "job.toml").write_bytes((DATA.parents[2] / "data_demo" / "wagtail_uneven_idle.toml").read_bytes())
    rows = [f"{1000 - at % 3}" for at in range(40)]
    (tmp_path / "untimed.csv").write_text("\n".join(["Rail pressure [bar]", *rows]), "utf-8")
    named = [f"{at},{row}" for at, row in enumerate(rows)]
    (tmp_path / "named.csv").write_text("\n".join(["Time [s],Rail pressure [bar]", *named]), "utf-8")
    shown = " ".join(command(*page.split(), "--help").out.split())
    for printed, typed in COMMANDS[page]:
        assert printed in shown
        ran = command(*shlex.split(typed))
        assert ran.code == 0, ran.err


@pytest.mark.parametrize("group", ["job", "spec", "shop", "card", "plugins"])
def test_a_list_of_commands_cuts_no_line_within_a_word_or_name(group: str, command: Command) -> None:
    listed = command(group, "--help").out.partition("Commands:")[2].splitlines()
    assert [line for line in listed if line.endswith((' "R.', "..."))] == []
