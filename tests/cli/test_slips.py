"""Slips that new users made at the command line: each is understood, or told in a line that leads to the fix."""

from __future__ import annotations

import shlex
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Command = Callable[..., Any]
LOG = Path(__file__).parents[2] / "data_demo" / "heath_hold.csv"
WORDS = '"pressure" is one word too many for this command; '
HOLD = "hold --start 1000bar --end 900bar --time 30s --volume 25mL"
UNDERSTOOD = [
    "hold --start 1000 bar --end 900 bar --time 30 s --volume 25 mL",
    "convert 300 bar psi",
    "convert '300 bar' to psi",
    "convert 300 bar",
    "convert -- '300 bar' psi",
    "returns --volumes 30ml 31ml 29ml --time 60s",
    "hold '1000 bar' '900 bar' '30 s' '25 ml'",
    "returns --volumes '30 ml, 31 ml, 29 ml' --time 60s",
    "returns --volumes '30 ml 31 ml' --time 60s",
    "returns --volumes '30 ml / 31 ml' --time 60s",
    "returns --volumes '30; -; 31; 60 ml' --time 60s",
    "returns --volumes '30 ml; > 100 ml' --time 60s",
    "returns --volumes '0;0;14;0 ml' --time 30s --flow-limit 'max 6 mL/min'",
    "returns --volumes '1;1;14;1 ml' --time 30s --median-limit 'max 150 %'",
    "coil '3.1 ohm' '20 °C' --limit '2,9-3,5 ohm'",
    "coil '3.1 ohm' '20 °C' --limit '2,9/3,5 ohm'",
    f"{HOLD} --limit 'höchstens 6 mL/min'",
    f"{HOLD} --limit 'max 6 mL/min'",
    f"{HOLD} --limit '<= 6 mL/min'",
    f"{HOLD} --limit '6 mL/min'",
    "hold --start '1000 ~10 bar' --end 900bar --time 30s --volume 25mL",
    "hold --start 1000bar --end 900bar --time 0:30 --volume 25mL",
    "hold --start 1000bar --end 900bar --time '1:30 min' --volume 25mL",
    "coil --reading OL",
    "coil --over-range",
    f"{HOLD} --fuel Diesel",
    "convert '20 mm3/Hub' mm3/stroke",
    "convert '30 S' min",
    "convert '900 BAR' MPa",
    "convert '25 ML' L",
    "target --actual '300; 310; 305 bar' --target '300; 300; 300 bar' --band '+-30 bar'",
    "delivery --corrections '0,4; -0,3; 2,8; -0,5 mm3/H' --correction-limit '± 2 mm3/Hub'",
    "hold --start 280bar --end 3bar --time 2s --fall-limit 'max 100 bar' --after 60s",
    "-h",
]
TOLD = {
    f"capture {LOG} --column Rail pressure": WORDS,
    "hold --start '1000 bar --end 900 bar'": '--start: "1000 bar --end 900 bar" holds an option; a quote is missing',
    "returns --volumes '30 31 29 60' --time 60s": '--volumes: "30 31 29 60" has a reading 1 that has no unit; give one',
    "returns 30 31 ml 60s --median-limit '150 %'": '--median-limit: "150 %" is a single value; write "max 150 %"',
    "returns 30 31 ml 60s --median-limit '<= 1,5'": '--median-limit: "<= 1,5" has no unit; write 150 % or 1.5 x',
    "hold --start '1000 (10) bar' --end 900bar": '--start: "1000 (10) bar" has "(10)" behind its number; write 1000 +- 10 bar',
    f"hold --capture {LOG} --volume '25 mL' --window-start '15 s' --window-end '9 s'": '--window-end: "9 s" is not after',
    f"hold --capture {LOG} --volume '25 mL' --window-start '4 h'": '--window-start: "4 h" is after the end of the capture',
    "coil --reading '2.9-3.5 ohm'": '--reading: "2.9-3.5 ohm" is a range, and one reading is wanted here; give the middle',
    "hold --start '900 to 950 bar' --end 900bar": '--start: "900 to 950 bar" is a range, and one reading is wanted here; give',
    "hold --start '900 bis 950 bar' --end 900bar": '--start: "900 bis 950 bar" is a range, and one reading is wanted here;',
    "hold --start '900 bar..950 bar' --end 900bar": '--start: "900 bar..950 bar" is a range, and one reading is wanted here;',
    f"hold --capture {LOG} --rate -5Hz": f'--capture: "{LOG}" has a sample rate "-5Hz" that is not above zero; give one, such',
    "hold --volume": "--volume: is given without a value; give it behind --volume, such as",
    "job report": "SHEET: is missing; ",
    "hold --capture log.csv --from leer.csv": '--from: "leer.csv" is not JSON in line 1; give {"start": "350 bar", …}',
    "job add hold m.toml --start 1000bar": '"m.toml" is not a calculator that is known; the sheet comes first',
    "job add m.toml --title Test hold": '"--title" is not a calculator that is known; options stand',
    "job delete m.toml 1": '"delete" is not a command; ',
    "job rmove m.toml 1": '"rmove" is not a command; did you mean remove',
    f"{HOLD} --start 900bar": "--start: is given twice; leave one of them out",
    "convert '1.200 bar' psi": 'READING: "1.200 bar" could be read in two ways; write 1200 or 1.2',
    "convert '1,300 bar' psi": 'READING: "1,300 bar" could be read in two ways; write 1300 or 1.3',
    "returns --volumes '30; 31; ; 60 ml' --time 60s": '--volumes: "30; 31; ; 60 ml" has nothing at place 3; write - for one',
    "coil '3.1 ohm' '20 °C' --limit '± 0.3 ohm'": '--limit: "± 0.3 ohm" is not possible here; give limits of at least 0 ohm',
    "convert '45 mg/stroke' mm3/stroke": 'READING: "45 mg/stroke" is a mass for each stroke (mg/stroke), and a',
    "hold 1000 900": '"1000 900" has no unit; write it behind, or put the option before it',
    f"{HOLD} --after 60s 5": '"5" is one word too many for this command; ',
    f"capture {LOG} --column rail": '--column: "rail" is not a channel and its label; give both, such as rail="Rail pressure"',
    "job new n.toml --set vehicle": '--set: "vehicle" has no =; give both, such as --set vehicle="van"',
    "job new m.toml --force=yes": '--force: "yes" is not wanted: the option takes no value; give --force alone',
    "job report m.toml": "--pdf: is missing; give --pdf FILE or --html FILE",
    "job mark m.toml": "--repair: is missing; give --repair PART, --complaint WORD or --outcome PLACE",
    "job show m.toml 1": 'STEP: "1" is not a step of the sheet; m.toml has 0 steps',
    f"{HOLD} --language xx": '--language: "xx" is not a language that is there; use de, en',
    "card print hold --out a.pdf --orientation sideways": '--orientation: "sideways" is not a way to lay a card; use portrait',
    "card print holt --out a.pdf": 'NAME: "holt" is not a card; did you mean hold',
    "card print --out a.pdf": "NAME: is missing; give a card's name, or --all",
    "card print hold": "--out: is missing; give a file, such as cards.pdf",
    "card print hold --out a.txt": '--out: "a.txt" ends in neither .pdf nor .html; give a file, such as cards.pdf',
    "card print hold --out a.pdf --step 1": '--step: "1" is a step of no job sheet; give --job SHEET too',
    "card print hold --out a.pdf --values flat.toml": '--values: "hold" is not a table; write [hold] and below it volume = …',
    "hodl": '"hodl" is not a command or calculator; did you mean hold',
}


@pytest.mark.parametrize("line", UNDERSTOOD)
def test_it_is_understood(line: str, command: Command) -> None:
    ran = command(*shlex.split(line))
    assert (ran.code, ran.err) == (0, "")
    assert ran.out


@pytest.mark.parametrize("line", TOLD)
def test_it_is_told_in_a_line_that_leads_to_the_fix(
    line: str, command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("leer.csv").write_text("a;b\n", "utf-8")
    Path("flat.toml").write_text("hold = 3\n", "utf-8")
    assert command("job", "new", "m.toml").code == 0
    ran = command(*shlex.split(line))
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith(TOLD[line]), ran.err
    assert len(ran.err.splitlines()) == 1


def test_a_range_of_the_sheet_is_named(command: Command, tmp_path: Path) -> None:
    sheet = tmp_path / "m.toml"
    sheet.write_text('[job]\nvehicle = "van"\n[specs.return_ratio]\nrange = "max 150 %"\nsource = "sheet 2"\n', "utf-8")
    line = ["job", "add", sheet, "returns", "30", "31", "29", "60", "ml", "60s", "--median-limit", "return_ratio"]
    assert command(*line).code == 0
    assert 'spec = "return_ratio"' in sheet.read_text("utf-8")
    assert "max 150 %" in command("job", "run", sheet).out


def test_the_condition_of_a_step_is_typed_with_it_and_the_steps_options_stand_in_its_help(
    command: Command, tmp_path: Path
) -> None:
    sheet = tmp_path / "m.toml"
    assert command("job", "new", sheet).code == 0
    line = ["job", "add", sheet, "coil", "3.1 ohm", "20 °C", "--limit", "2.9 to 3.5 ohm"]
    assert command(*line, "--condition", "hot, idle").code == 0
    assert 'condition = "hot, idle"' in sheet.read_text("utf-8")
    assert command("job", "edit", sheet, "1", "--condition", "cold").code == 0
    assert 'condition = "cold"' in sheet.read_text("utf-8")
    wrong = command(*line, "--condition", "warm")
    assert (wrong.code, len(wrong.err.splitlines())) == (2, 1) and "use hot, cold, idle" in wrong.err
    for name, own in (("coil", True), ("returns", False)):
        shown = command("job", "add", sheet, name, "--help").out
        assert all(option in shown for option in ("--title", "--note", "--object", "--after-repair", "--ask", "--condition"))
        assert ("In which condition it was taken" in shown) == own


def test_a_step_that_asks_for_its_own_condition_takes_hot_or_cold_beside_it(command: Command, tmp_path: Path) -> None:
    sheet = tmp_path / "m.toml"
    assert command("job", "new", sheet).code == 0
    line = ["job", "add", sheet, "returns", "30 31 29 60 mL", "60 s", "--condition"]
    assert command(*line, "hot, cranking").code == 0
    assert 'condition = "hot"' in sheet.read_text("utf-8") and 'condition = "cranking"' in sheet.read_text("utf-8")
    assert command(*line, "hot, cold").code == 2
