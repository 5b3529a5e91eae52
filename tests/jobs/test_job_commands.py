"""The job commands as their user types them."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

Command = Callable[..., Any]
RETURNS = ["--volumes", "30 mL; 31 mL; 60 mL; 29 mL", "--time", "2 min", "--median-limit", "<= 150 %; workshop sheet 3"]


@pytest.fixture
def sheet(tmp_path: Path, command: Command) -> Path:
    """A new sheet with one step taken and one planned."""
    path = tmp_path / "job.toml"
    assert command("job", "new", path, "--set", "vehicle=van", "--set", "number=17").code == 0
    assert command("job", "add", path, "returns", *RETURNS, "--title", "Returns at idle").code == 0
    assert command("job", "add", path, "coil").code == 0
    return path


def test_a_step_is_added_without_losing_a_remark(sheet: Path) -> None:
    text = sheet.read_text(encoding="utf-8")
    assert text.startswith("# Baybook job sheet.")
    assert "# Limits are yours" in text
    assert text.count("\n[[steps]]") == 2


def test_run_tells_verdicts_findings_and_what_is_open(sheet: Path, command: Command) -> None:
    ran = command("job", "run", sheet)
    assert ran.code == 0
    assert "[out]" in ran.out
    assert "workshop sheet 3" in ran.out
    assert "Step 2: Coil resistance and current (coil)\n  planned, not taken yet" in ran.out
    assert "  [ ]  supply      hydraulic  untested\n" in ran.out.replace("[ ]   ", "[ ]  ")
    assert ran.out.index("By stage and side") < ran.out.index("Test next") < ran.out.index("Conclusion")


def test_run_as_json_has_the_results_in_their_one_shape(sheet: Path, command: Command) -> None:
    told = json.loads(command("job", "run", sheet, "--json").out)
    assert told["job"]["vehicle"] == "van"
    assert [step["taken"] for step in told["steps"]] == [True, False]
    assert {"stage": "supply", "side": "hydraulic"} in told["untested"]
    assert told["steps"][0]["result"]["verdicts"][2]["verdict"] == "outside"


def test_a_step_that_cannot_be_used_leaves_the_sheet_as_it_was(sheet: Path, command: Command) -> None:
    before = sheet.read_bytes()
    ran = command("job", "add", sheet, "returns", "--volumes", "30 bar; 31 mL", "--time", "-2 min")
    assert ran.code == 2
    assert ran.err.splitlines()[-2:] == [
        '--volumes: "30 bar; 31 mL" has a reading 1 that is a pressure; give a volume, such as 25 mL',
        '--time: "-2 min" is not possible here; give a value above 0 s',
    ]
    assert sheet.read_bytes() == before


def test_every_wrong_input_of_every_step_is_told_at_once(tmp_path: Path, command: Command) -> None:
    path = tmp_path / "job.toml"
    path.write_text(
        '[[steps]]\ncalculator = "returns"\n[steps.inputs]\ntime = "2 bar"\n'
        '[[steps]]\ncalculator = "coyl"\n[steps.inputs]\na = "1"\n',
        encoding="utf-8",
    )
    ran = command("job", "run", path)
    assert ran.code == 2
    where = [line.partition(":")[0] for line in ran.err.splitlines()]
    assert where[-3:] == ["step 1 (returns), volumes", "step 1 (returns), time", "step 2 (coyl)"]
    assert "did you mean coil?" in ran.err


def test_an_existing_sheet_is_not_written_over_unless_told(sheet: Path, command: Command) -> None:
    before = sheet.read_bytes()
    ran = command("job", "new", sheet)
    assert (ran.code, sheet.read_bytes()) == (2, before)
    assert "exists already; give another name, or --force" in ran.err
    assert command("job", "new", sheet, "--force").code == 0


def test_the_report_holds_every_input_the_verdicts_and_the_limits_source(sheet: Path, command: Command, tmp_path: Path) -> None:
    target = tmp_path / "report.pdf"
    assert command("job", "report", sheet, "--pdf", target).code == 0
    text = " ".join(page.extract_text() for page in PdfReader(target).pages)
    for part in ("van", "Returns at idle", "60.00 ± 0.57 mL", "workshop sheet 3", "outside", "untested"):
        assert part in text, part


def test_no_report_is_left_behind_when_the_sheet_is_wrong(tmp_path: Path, command: Command) -> None:
    path, target = tmp_path / "job.toml", tmp_path / "report.pdf"
    path.write_text('[[steps]]\ncalculator = "returns"\n[steps.inputs]\ntime = "2 bar"\n', encoding="utf-8")
    assert command("job", "report", path, "--pdf", target).code == 2
    assert sorted(tmp_path.iterdir()) == [path]
