"""After any calculator the answer is on a screen of 24 lines of 80: verdict, interval, next test; at any width it is whole."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys

import pytest
from tests.cli.terminal import shown

from baybook.registry import registry

LINES = {
    "coil": ("coil 3.3 ohm 40 °C --limit 2.2-2.8 ohm --part injector", "[?]", "next: "),
    "convert": ("convert 300 ± 5 bar psi", "4351 psi", "4279 … 4424"),
    "cranking": ("cranking --speed 220rpm --battery 10.2V --pressure 160bar --time 4s --supply 4.0bar --enable 'min 180 bar' "
                 "--time-limit 'max 3 s' --speed-limit 'min 180 rpm' --battery-limit 'min 9.6 V' --supply-limit '3 to 7 bar'",
                 "[out]", "next: "),
    "delivery": (
        "delivery --corrections '0.3 mm3/stroke; -0.2 mm3/stroke; 3.1 mm3/stroke; -0.6 mm3/stroke' "
        "--correction-limit '-2 to 2 mm3/stroke'", "[out]", "next: ",
    ),
    "drive": ("drive --part inlet-valve --duty '25 %' --mean-current 0.70A --supply 13.5V --temperature '60 °C' "
              "--resistance-limit '2.9 to 3.5 ohm' --current-limit '0.8 to 1.2 A'", "[out]", "next: "),
    "drop": ("drop --part tank-pump --current 5.0A --drops '0.05 V; 0.60 V' --limit 'max 0.5 V' --section-limit 'max 0.1 V' "
             "--battery 13.8V --at-part 13.1V", "[out]", "next: "),
    "fuel": ("fuel --density '800 ± 1 kg/m3' --temperature '20 ± 0.5 °C' --density-limit '820 to 845 kg/m3' "
             "--viscosity '1.5 mm2/s' --viscosity-temperature '40 °C' --viscosity-limit '2 to 4.5 mm2/s'", "[out]", "next: "),
    "hold": ("hold 1000 900 bar 30s 25ml --limit 'max 0.2 mL/min'", "[?]", "next: "),
    "observation": ("observation 'bubbles in the clear hose'", "seen  yes", "Next: "),
    "pump": ("pump --displacement '0.7 cm3/rev' --drive-ratio '50 %' --engine-speed '2000 rpm' --returns '120 mL/min' "
             "--control '100 mL/min' --efficiency-limit 'min 75 %' --outlet-shut driven-shut --highest '900 bar' "
             "--pressure-limit 'min 1300 bar'", "[out]", "next: "),
    "reading": ("reading 'feed pressure' '0.40 ± 0.05 bar' --limit '3.5 to 5 bar; sheet 3'", "[out]", "Next: "),
    "regulator": ("regulator --where inlet --pressure '200 ± 2 bar' --target '300 bar' --inlet-duty '12 %' --meter-counts low "
                  "--inlet-usual-duty '18 to 30 %' --inlet-current 0.480A --inlet-expected-current 0.50A", "[ok]", "next: "),
    "static-return": ("static-return 2.0 3.0 11.0 2.0 ml 60s --flow-limit 'max 10 mL/min'", "[out]", "next: "),
    "common-return": ("common-return 480 484 ml 120s --without '400 402 330 398 mL' --median-limit 'max 150 %' "
                      "--total-limit 'max 180 mL/min' --rail-pressure 280bar", "[out]", "next: "),
    "return-parts": ("return-parts --injectors 120ml --valve 300ml --time 60s --outlet-valve driven-shut "
                     "--valve-limit 'max 30 mL/min' --injectors-limit 'max 180 mL/min'", "[out]", "next: "),
    "returns": ("returns 30 31 29 60 31 30 ml 60s --median-limit 'max 150 %' --flow-limit 'max 45 mL/min'", "[out]", "next: "),
    "ripple": ("ripple --amplitudes '11 8.0 12 0.5 0.4 3.0 bar' --elements 3 --speed 800rpm --share-limit 'max 20 %' "
               "--volume '22 ± 2 mL' --pump '0.7 cm3/rev'", "[", "next: "),
    "sensor": ("sensor --signal 2.8V --supply 5.00V --full-scale 2000bar --standing-signal 0.60V --zero-limit '-10 to 10 bar' "
               "--supply-limit '4.75 to 5.25 V' --second '900 ± 10 bar'", "[out]", "next: "),
    "supply": ("supply --load '2.1 bar' --load-limit 'min 3 bar' --before-filter '4.6 bar' --filter-limit 'max 0.5 bar' "
               "--volume 1000ml --time 30s --flow-limit 'min 90 L/h'", "[out]", "next: "),
    "line": ("line --flow '120 L/h' --temperature '20 ± 5 °C' --drop '40 kPa' --drop-flow '60 L/h' --drop-temperature '20 °C' "
             "--limit 'max 30 kPa'", "[out]", "next: "),
    "target": ("target --actual '250; 600 bar' --target '300; 800 bar' --band '-25 to 25 bar' --supply '4.1 bar' "
               "--supply-limit '3 to 7 bar'", "[out]", "next: "),
}  # fmt: skip
"""By calculator: a line of a vehicle with a fault, and what the screen has to show beside an interval."""
PLAIN = ("convert", "observation")  # measure nothing; a conversion has no next test either


def test_every_calculator_is_typed() -> None:
    assert sorted(LINES) == sorted(listed.name for listed in registry().listed())


@pytest.mark.parametrize("name", LINES)
def test_verdict_interval_and_next_test_are_on_the_screen(name: str) -> None:
    line, verdict, last = LINES[name]
    on_screen = "\n".join(shown(shlex.split(line))[-23:])
    assert verdict in on_screen and last in on_screen, on_screen
    if name not in PLAIN:
        assert re.search(r"\(-?[\d.]+ … -?[\d.]+\)|\(± [\d.]+ assumed\)|95 %: ", on_screen), on_screen


NUMBER_ALONE = re.compile(r"(^|[\s(])[-−]?\d+\.\d+$")
UNIT_ALONE = re.compile(r"^\s+(bar|mL/min|mL|°C|ohm|V|A|rpm|kPa|MPa|L/h|mm2/s|kg/m3|s|mH)[\s,.;:)]*($|\s)")


@pytest.mark.parametrize("columns", [60, 80, 120])
@pytest.mark.parametrize("name", LINES)
def test_no_line_is_wider_than_the_terminal_and_no_value_leaves_its_unit(name: str, columns: int) -> None:
    registry().listed()  # so that no plugin is waited for
    for line in shown(shlex.split(LINES[name][0]), columns=columns):
        assert len(line) <= columns, line
        assert not line.rstrip().endswith(("±", "…")), line
        assert not UNIT_ALONE.match(line), line
        if "95 %: " not in line:  # whose unit is the value's
            assert not NUMBER_ALONE.search(line.rstrip()), line


@pytest.mark.parametrize("encoding", ["ascii", "latin-1"])
@pytest.mark.parametrize("name", LINES)
def test_every_encoding_takes_the_answer(name: str, encoding: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """What the encoding has not is told in plain letters: no sign is given up."""
    words = shlex.split(LINES[name][0])
    monkeypatch.setenv("PYTHONIOENCODING", "utf-8")
    here = subprocess.run([sys.executable, "-m", "baybook", *words], capture_output=True, check=True).stdout.decode()
    monkeypatch.setenv("PYTHONIOENCODING", encoding)
    there = subprocess.run([sys.executable, "-m", "baybook", *words], capture_output=True, check=True)
    assert there.stderr == b""
    assert there.stdout.decode(encoding).count("?") == here.count("?")
    assert "95 %: " not in here or "95 %: " in there.stdout.decode(encoding)


@pytest.mark.parametrize("name", LINES)
def test_a_closed_pipe_is_no_failure(name: str) -> None:
    reader, writer = os.pipe()
    os.close(reader)
    done = subprocess.run(
        [sys.executable, "-m", "baybook", *shlex.split(LINES[name][0])], stdout=writer, stderr=subprocess.PIPE,
        stdin=subprocess.DEVNULL, check=False, timeout=60,
    )  # fmt: skip
    os.close(writer)
    assert (done.returncode, done.stderr) == (0, b"")
