"""Steps listed, shown, filled, corrected, moved and removed; what a person wrote beside them stays."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Command = Callable[..., Any]
REMARK = "# the van stood in the sun\n"


@pytest.fixture
def sheet(tmp_path: Path, command: Command) -> Path:
    """A sheet with a return test, a planned coil, and a remark of a person's between them."""
    path = tmp_path / "van.toml"
    assert command("job", "new", path).code == 0
    assert command("job", "add", path, *["returns", "30", "31", "29", "60", "ml", "60s"], "--title", "at idle").code == 0
    path.write_text(path.read_text(encoding="utf-8") + "\n" + REMARK, encoding="utf-8")
    assert command("job", "add", path, "coil").code == 0
    return path


def steps(path: Path) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = tomllib.loads(path.read_text(encoding="utf-8")).get("steps", [])
    return found


def test_steps_are_listed_with_their_state(sheet: Path, command: Command) -> None:
    assert command("job", "list", sheet).out == "  1  returns  at idle  taken\n  2  coil              planned\n"


def test_a_planned_step_is_filled_and_a_taken_one_corrected(sheet: Path, command: Command) -> None:
    ran = command("job", "edit", sheet, "2", "--reading", "3", "ohm", "--temperature", "20 °C", "--title", "injector 3")
    assert (ran.code, ran.out, ran.err) == (0, "step 2 (coil) changed\n", "")
    assert command("job", "edit", sheet, "1", "--time", "2", "min").code == 0
    assert [step["inputs"] for step in steps(sheet)] == [
        {"volumes": ["30 ml", "31 ml", "29 ml", "60 ml"], "time": "2 min"},
        {"reading": "3 ohm", "temperature": "20 °C"},
    ]
    assert steps(sheet)[1]["title"] == "injector 3" and REMARK in sheet.read_text(encoding="utf-8")


def test_a_planned_step_is_named_without_being_taken(sheet: Path, command: Command) -> None:
    assert command("job", "edit", sheet, "2", "--title", "injector 3").code == 0
    assert command("job", "list", sheet).out.splitlines()[1].split() == ["2", "coil", "injector", "3", "planned"]


def test_a_repair_and_the_complaint_are_listed_as_what_happened(sheet: Path, command: Command) -> None:
    assert command("job", "mark", sheet, "--repair", "injector 3", "--note", "new").code == 0
    assert command("job", "mark", sheet, "--complaint", "gone").code == 0
    listed = [line.split() for line in command("job", "list", sheet).out.splitlines()]
    assert listed[2:] == [["3", "repair", "injector", "3", "new"], ["4", "complaint", "gone"]]


def test_what_cannot_be_worked_out_leaves_the_sheet_as_it_was(sheet: Path, command: Command) -> None:
    before = sheet.read_bytes()
    for arguments, line in (
        (["edit", sheet, "1", "--time", "2 bar"], '--time: "2 bar" is a pressure; give a time'),
        (["edit", sheet, "7", "--time", "2 s"], '"7" is not a step of the sheet; use 1, 2'),
        (["edit", sheet, "1"], "nothing is given to change"),
        (["remove", sheet, "3"], 'STEP: "3" is not a step of the sheet'),
        (["remove", sheet, "one"], 'STEP: "one" is not a step\'s number; give one, such as 2'),
        (["move", sheet, "1", "5"], 'STEP: "5" is not a step of the sheet'),
    ):
        ran = command("job", *arguments)
        assert (ran.code, ran.out) == (2, ""), arguments
        assert ran.err.startswith(line)
    assert sheet.read_bytes() == before


def test_a_step_is_moved_and_removed(sheet: Path, command: Command) -> None:
    assert command("job", "move", sheet, "2", "1").out == "step 2 (coil) is step 1 now\n"
    assert [step["calculator"] for step in steps(sheet)] == ["coil", "returns"]
    assert command("job", "remove", sheet, "1").code == command("job", "remove", sheet, "1").code == 0
    assert steps(sheet) == [] and "# Limits are yours" in sheet.read_text(encoding="utf-8")
    assert command("job", "add", sheet, "coil").code == 0


def test_steps_in_one_list_are_changed_too(tmp_path: Path, command: Command) -> None:
    path = tmp_path / "short.toml"
    path.write_text('steps = [{calculator = "coil"}, {calculator = "hold"}]  # two\n', encoding="utf-8")
    assert command("job", "edit", path, "1", "--reading", "3 ohm", "--temperature", "20 °C").code == 0
    assert command("job", "move", path, "2", "1").code == 0
    assert [step["calculator"] for step in steps(path)] == ["hold", "coil"]
    assert steps(path)[1]["inputs"]["reading"] == "3 ohm" and "# two" in path.read_text(encoding="utf-8")


def test_a_step_is_shown_with_the_line_that_adds_it(sheet: Path, command: Command) -> None:
    out = command("job", "show", sheet, "1").out
    line = out.splitlines()[-1].strip()
    assert line == f'baybook job add {sheet} returns --volumes "30 ml; 31 ml; 29 ml; 60 ml" --time 60s'


def test_the_sheets_own_limits_and_instruments_are_taken_by_name(sheet: Path, command: Command) -> None:
    text = sheet.read_text(encoding="utf-8")
    own = '[specs.ratio]\nrange = "max 150 %"\nsource = "sheet 3"\n[instruments.cup]\nuncertainty = "± 1 mL"\n'
    sheet.write_text(f"{own}\n{text}".replace("format = 2  #", "#"), encoding="utf-8")
    words = ["--volumes", "30", "31", "60", "ml@cup", "--time", "60s", "--median-limit", "ratio"]
    assert command("job", "add", sheet, "returns", *words).code == 0
    assert steps(sheet)[-1]["inputs"] == {
        "volumes": {"reading": ["30 ml", "31 ml", "60 ml"], "instrument": "cup"},
        "time": "60s", "median_limit": {"spec": "ratio"},
    }  # fmt: skip
    assert "sheet 3" in command("job", "run", sheet).out
    ran = command("job", "add", sheet, "returns", "30", "31", "ml@cop", "60s")
    assert (ran.code, ran.err) == (
        2,
        '--volumes: "cop" is no instrument of the shop; baybook spec list and baybook shop show tell them\n',
    )


FAULTS = {
    'reading = "3,4 ohm': ("a quote is missing", 'text stands in straight quotes: "3,4 ohm"'),
    "reading = „3,4 ohm“": ("use straight quotes",),
    "reading = 3,4": ("a number with a unit or a comma is text",),
    'reading = "3.4" ohm': ("the unit belongs inside the quotes",),
    "// remark": ("a remark begins with #",),
    'title = "a"\ntitle = "b"': ("title is there twice",),
    "[specs.rücklauf]": ('put a name with other letters than a to z into quotes: [specs."rücklauf"]',),
    'rücklauf = "a"': ('put a name with other letters than a to z into quotes: "rücklauf"',),
    '"title" = 3,4': ("a number with a unit or a comma is text",),
    "[steps]": ("each step begins with [[steps]]",),
    "reading = yes please": ("text stands in straight quotes",),
}


@pytest.mark.parametrize("lines", FAULTS)
def test_a_sheet_that_cannot_be_read_shows_the_line_and_the_cure(lines: str, tmp_path: Path, command: Command) -> None:
    path = tmp_path / "bad.toml"
    path.write_text(f'[job]\nnumber = "1"\n[[steps]]\ncalculator = "coil"\n{lines}\n', encoding="utf-8")
    ran = command("job", "run", path)
    assert ran.code == 2 and ran.err.count("\n") == 1
    assert f'line {6 if chr(10) in lines else 5}, "{lines.splitlines()[-1]}"' in ran.err
    assert [part for part in FAULTS[lines] if part not in ran.err] == [], ran.err


def test_a_text_that_is_never_closed_is_told_at_the_last_line_that_says_something(tmp_path: Path, command: Command) -> None:
    path = tmp_path / "bad.toml"
    path.write_text('[job]\nnumber = "1"\nnote = """a\n\n\n', encoding="utf-8")
    ran = command("job", "run", path)
    assert ran.code == 2 and 'cannot be read at line 3, "note = """a"; a quote is missing' in ran.err


def test_a_job_keeps_fields_of_its_own_and_refuses_misspelt_ones_and_no_dates(tmp_path: Path, command: Command) -> None:
    path = tmp_path / "a.toml"
    assert command("job", "new", path, "--set", "km=125000", "--set", "plate=AB 12", "--set", "date=28.11.2026").code == 0
    assert tomllib.loads(path.read_text(encoding="utf-8"))["job"]["km"] == "125000"
    shown = command("job", "run", path).out
    assert "km" in shown and "125000" in shown
    for field, line in (
        ("custommer=x", '--set: "custommer" is not known there; did you mean customer?\n'),
        ("date=2026-13-40", '--set: "2026-13-40" is not a date; give year, month, day, such as 2026-11-28, or 28.11.2026\n'),
    ):
        ran = command("job", "new", tmp_path / "b.toml", "--set", field)
        assert (ran.code, ran.err) == (2, line)
    path.write_text('[job]\ndate = "yesterday"\nvehicel = "van"\n', encoding="utf-8")
    assert command("job", "run", path).err.splitlines() == [
        '[job]: "vehicel" is not known there; did you mean vehicle?',
        '[job], date: "yesterday" is not a date; give year, month, day, such as 2026-11-28, or 28.11.2026',
    ]


def test_a_step_shows_its_limits_with_their_source_and_a_planned_one_its_name_alone(sheet: Path, command: Command) -> None:
    assert command("job", "show", sheet, "2").out == "  calculator  coil\n"
    typed = ["--reading", "3 ohm", "--temperature", "20 °C", "--limit", "2.9 to 3.5 ohm; sheet 4"]
    assert command("job", "edit", sheet, "2", *typed).code == 0
    text = sheet.read_text(encoding="utf-8")
    own = text.replace('"2.9 to 3.5 ohm; sheet 4"', '{ range = "2.9 to 3.5 ohm", source = "sheet 4" }')
    own = own.replace('"3 ohm"', '{ text = "3 ohm" }')
    assert own.count("{") == text.count("{") + 2
    sheet.write_text(own, encoding="utf-8")
    lines = command("job", "show", sheet, "2").out.splitlines()
    assert "  limit        2.9 to 3.5 ohm; sheet 4" in lines and "  reading      3 ohm" in lines
    assert (
        lines[-1].strip()
        == f'baybook job add {sheet} coil --reading "3 ohm" --temperature "20 °C" --limit "2.9 to 3.5 ohm; sheet 4"'
    )
