"""What a workshop keeps: settings, instruments, usual units, and the book of its ranges."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from baybook.registry import registry
from baybook.settings_folder import settings_folder

Command = Callable[..., Any]


@pytest.fixture(autouse=True)
def own_settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of settings that is empty."""
    registry()
    monkeypatch.setenv("BAYBOOK_CONFIG", str(tmp_path / "settings"))
    return tmp_path / "settings"


def test_settings_are_kept_shown_and_put_into_a_new_sheet(command: Command, tmp_path: Path) -> None:
    for key, text in (("workshop", "Wren Lane"), ("technician", "R. Finch"), ("instrument gauge", "1 %; rail gauge")):
        assert command("shop", "set", key, text).code == 0
    shown = command("shop", "show").out
    assert "technician        R. Finch" in shown and "instrument gauge  1 %  rail gauge" in shown
    assert command("job", "new", tmp_path / "a.toml").code == 0
    sheet = tomllib.loads((tmp_path / "a.toml").read_text(encoding="utf-8"))
    assert (sheet["job"]["workshop"], sheet["job"]["technician"]) == ("Wren Lane", "R. Finch")
    assert sheet["instruments"] == {"gauge": {"what": "rail gauge", "uncertainty": "1 %"}}


@pytest.mark.parametrize(
    ("key", "text", "line"),
    [
        (
            "colour",
            "red",
            'KEY: "colour" is not a setting; use workshop, technician, language, "unit KIND", "instrument NAME"\n',
        ),
        ("language", "xx", 'language: "xx" is not a language that is there; use en, de\n'),
        ("unit flow", "ml/mim", 'unit flow: "ml/mim" is not a unit; did you mean mL/min?\n'),
        ("unit flow", "widget", 'unit flow: "widget" is not a unit; see baybook units\n'),
        ("unit flow", "bar", 'unit flow: "bar" is not a unit of flow; give one, such as mL/min\n'),
        ("instrument gauge", "1", 'instrument gauge: "1" has no unit; give one in a unit or in %, such as 0.05 bar or 1 %'),
        ("technician", "R.\nFinch", 'technician: "R. Finch" has a line break or another character that cannot be printed'),
        ("instrument gauge", "good", 'instrument gauge: "good" is not an uncertainty; give one in a unit or in %'),
    ],
)
def test_what_is_no_setting_is_refused(key: str, text: str, line: str, command: Command, own_settings: Path) -> None:
    ran = command("shop", "set", key, text)
    assert (ran.code, ran.out) == (2, "") and ran.err.startswith(line)
    assert not own_settings.exists()


def test_bare_numbers_take_the_units_that_are_kept(command: Command) -> None:
    command("shop", "set", "unit volume", "mL")
    command("shop", "set", "unit returns.time", "s")
    kept = command("returns", "30", "31", "29", "60", "--time", "60", "--json").out
    typed = command("returns", "30", "31", "29", "60", "ml", "60s", "--json").out
    assert json.loads(kept)["outputs"] == json.loads(typed)["outputs"]


def test_an_instrument_behind_an_at_gives_its_uncertainty(command: Command) -> None:
    """1 % of 1000 bar either way: 10 bar, of 900 bar: 9 bar."""
    command("shop", "set", "instrument gauge", "1 %")
    named = command("hold", "1000bar@gauge", "900", "bar", "@gauge", "30s", "25ml", "--json").out
    typed = command("hold", "1000 ± 10 bar", "900 ± 9 bar", "30s", "25ml", "--json").out
    assert json.loads(named)["outputs"] == json.loads(typed)["outputs"]
    ran = command("hold", "1000bar@gouge", "900bar", "30s", "25ml")
    assert (ran.code, ran.err) == (2, '--start: "gouge" is no instrument of the shop; did you mean gauge?\n')


def test_percentages_of_an_instrument_are_of_the_reading_of_a_share_too(command: Command) -> None:
    command("shop", "set", "instrument meter", "2 %")
    told = json.loads(command("coil", "3 ohm", "20 °C", "--supply", "14 V", "--duty", "25%@meter", "--json").out)
    assert told["inputs"]["duty"]["low"] == pytest.approx(24.5)


def test_the_book_keeps_ranges_with_source_and_date_for_commands_and_sheets(command: Command, tmp_path: Path) -> None:
    arguments = [
        "spec",
        "add",
        "quail-leak",
        "max 0.3 mL/min",
        "--source",
        "sheet 4",
        "--system",
        "quail",
        "--date",
        "2026-11-28",
    ]
    assert command(*arguments).code == 0
    assert command("spec", "list").out == "  quail-leak  max 0.3 mL/min  quail  sheet 4, 2026-11-28\n"
    told = json.loads(command("hold", "1000", "900", "bar", "30s", "25ml", "--limit", "quail-leak", "--json").out)
    assert (told["verdicts"][0]["range"]["high"], told["verdicts"][0]["range"]["source"]) == (0.3, "sheet 4, 2026-11-28")
    sheet = tmp_path / "a.toml"
    command("job", "new", sheet)
    assert command("job", "add", sheet, "hold", "1000", "900", "bar", "30s", "25ml", "--limit", "quail-leak").code == 0
    text = sheet.read_text(encoding="utf-8")
    assert 'range = "max 0.3 mL/min"' in text  # the sheet can be read without the book
    sheet.write_text(
        text.replace('{range = "max 0.3 mL/min", source = "sheet 4, 2026-11-28"}', '{ spec = "quail-leak" }'), "utf-8"
    )
    assert "sheet 4, 2026-11-28" in command("job", "run", sheet).out


@pytest.mark.parametrize(
    ("arguments", "line"),
    [
        (["add", "a", "banana", "--source", "x"], 'spec a: "banana" has no number where a limit should stand'),
        (["add", "a", "max 6 bar"], "--source: is missing; say where the range stands"),
        (
            ["add", "a", "max 6 bar", "--source", "x", "--date", "28.11."],
            '--date: "28.11." is not a date; give year, month, day',
        ),
        (["add", "leak", "max 6 bar", "--source", "x"], 'NAME: "leak" is in the book already; give --force'),
        (["show", "lek"], 'NAME: "lek" is not in the spec book; did you mean leak?'),
        (["remove", "zzz"], 'NAME: "zzz" is not in the spec book; see baybook spec list'),
        (["delete", "leak"], '"delete" is not a command; use one of'),
    ],
)
def test_what_the_book_cannot_take_is_refused(arguments: list[str], line: str, command: Command) -> None:
    assert command("spec", "add", "leak", "max 6 mL/min", "--source", "sheet").code == 0
    ran = command("spec", *arguments)
    assert (ran.code, ran.out) == (2, "") and ran.err.startswith(line), ran.err


def test_a_book_goes_to_another_workshop(command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name, limit in (("leak", "max 6 mL/min"), ("coil", "2.2-2.8 ohm")):
        command("spec", "add", name, limit, "--source", "sheet 1")
    file = tmp_path / "book.toml"
    assert command("spec", "export", file).code == 0
    assert command("spec", "export", file).code == 2  # nothing is written over
    before = command("spec", "list").out
    monkeypatch.setenv("BAYBOOK_CONFIG", str(tmp_path / "another"))
    assert command("spec", "import", file).out == "2 taken over: leak, coil\n"
    assert command("spec", "list").out == before
    assert command("spec", "remove", "leak").code == 0
    command("spec", "add", "leak", "max 7 mL/min", "--source", "own")
    ran = command("spec", "import", file)
    assert ran.code == 2 and "has other ranges for leak; give --force to write over them" in ran.err


def test_the_language_that_is_kept_is_spoken(command: Command, process: Command) -> None:
    command("shop", "set", "language", "de")
    assert "Messwert" in process("convert", "300 bar", "psi").out or "angenommen" in process("convert", "300 bar", "psi").out
    assert "angenommen" not in process("convert", "300 bar", "psi", "--language", "en").out


def test_a_hold_into_a_sheet_takes_at_most_90_characters(
    command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With the shop's instruments and ranges."""
    command("shop", "set", "instrument g", "1 %")
    command("spec", "add", "leak", "max 6 mL/min", "--source", "sheet 1")
    monkeypatch.chdir(tmp_path)
    command("job", "new", "van.toml")
    line = "baybook job add van.toml hold 1000bar@g 900bar@g 30s 25ml --temperature 45C --limit leak"
    assert len(line) <= 90
    assert command(*line.split()[1:]).code == 0
    assert "[ok]" in command("job", "run", "van.toml").out


def test_a_unit_that_was_typed_counts_before_the_one_that_is_kept(command: Command) -> None:
    command("shop", "set", "unit volume", "L")
    typed = command("returns", "--volumes", "30 ml; 31 ml", "--time", "60 s", "--json").out
    assert json.loads(typed)["outputs"]["flow"]["values"][0]["value"] == pytest.approx(30.0)


@pytest.mark.parametrize(
    ("file", "text", "line"),
    [
        ("settings.toml", 'units = "mL"\n', 'settings.toml: "mL" is not a table; write [units]'),
        ("settings.toml", 'colour = "red"\n', 'settings.toml: "colour" is not a setting; use workshop, '),
        ("settings.toml", '[instruments]\ngauge = "good"\n', 'instrument gauge: "good" is not an uncertainty; '),
        ("specs.toml", "[leak]\nrange = 6\n", 'spec leak: has no range as text; give range = "max 6 mL/min"'),
        ("specs.toml", 'leak = "max 6 mL/min"\n', 'spec leak: has no range as text; give range = "max 6 mL/min"'),
        ("specs.toml", '[leak]\nrange = "max 6 mL/min"\nform = 3\n', 'spec leak: "form" is not known there; use range, source'),
        ("specs.toml", '[leak]\nrange = "max 6 mL/min"\n', "spec leak: says not where it comes from; give its source"),
    ],
)
def test_a_file_that_was_written_by_hand_is_looked_at(
    file: str, text: str, line: str, command: Command, own_settings: Path
) -> None:
    own_settings.mkdir()
    (own_settings / file).write_text(text, encoding="utf-8")
    ran = command(*(("shop", "show") if file == "settings.toml" else ("spec", "list")))
    assert (ran.code, ran.out) == (2, "") and ran.err.startswith(line), ran.err


def test_a_range_in_digits_is_one_of_the_book_where_that_has_it_by_name(command: Command) -> None:
    assert command("spec", "add", "leak 2", "max 6 mL/min", "--source", "sheet").code == 0
    hold = ["hold", "1000", "900", "bar", "30s", "25ml", "--json", "--limit"]
    ends = [json.loads(command(*hold, text).out)["verdicts"][0]["range"]["high"] for text in ("leak 2", "max 5 mL/min")]
    assert ends == [6.0, 5.0]


def test_settings_lie_where_the_system_keeps_such(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.delenv("BAYBOOK_CONFIG")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    assert settings_folder() == str(tmp_path / "baybook")
    monkeypatch.setattr("sys.platform", "darwin")
    monkeypatch.setattr("platformdirs.user_config_dir", lambda name, appauthor: f"/of the system/{name}")
    assert settings_folder() == "/of the system/baybook"


@pytest.mark.parametrize(
    ("name", "source", "said"),
    [
        ("a\nb", "sheet", 'NAME: "a b" has a line break or another character that cannot be printed; write it in one line'),
        ("leak", "page\n2", '--source: "page 2" has a line break or another character that cannot be printed; write it in one'),
        ("leak\x1b[2J", "sheet", "has a line break or another character that cannot be printed; write it in one line"),
        (" ", "sheet", "NAME: is empty; give a name in words, such as return flow at idle"),
    ],
)
def test_a_range_has_a_name_that_stands_in_one_line(
    command: Command, own_settings: Path, name: str, source: str, said: str
) -> None:
    ran = command("spec", "add", name, "max 6 mL/min", "--source", source)
    assert ran.code == 2 and said in ran.err
    assert not (own_settings / "specs.toml").exists()
