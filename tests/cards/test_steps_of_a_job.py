"""A card filled from a job is one step's and no other's; nothing that was typed is lost; no card's fault is another's."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from pypdf import PdfReader

SHEET = """
[job]
number = "D-777"
[[steps]]
calculator = "coil"
title = "Inlet valve, cold"
[steps.inputs]
reading = "3.3171 ohm"
leads = "0.2131 ohm"
limit = { range = "2.9 to 3.5 ohm", source = "inlet sheet" }
part = "inlet-valve"
[[steps]]
calculator = "coil"
title = "Second of four"
[steps.inputs]
reading = "0.5273 ohm"
part = "injector"
meter_digits = 7
[[steps]]
calculator = "returns"
title = "Before the repair"
[steps.inputs]
volumes = ["30 mL", "31 mL", "61 mL", "29 mL"]
time = "60 s"
[[steps]]
calculator = "returns"
title = "After the repair"
[steps.inputs]
volumes = ["30 mL", "31 mL", "33 mL", "28 mL"]
time = "60 s"
"""


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    path = tmp_path / "job.toml"
    path.write_text(SHEET, encoding="utf-8")
    return path


def printed(path: Path) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in PdfReader(path).pages]


@pytest.mark.parametrize("size", ["A5", "A6"])
def test_each_step_has_a_card_of_its_own_and_says_whose_it_is(tmp_path: Path, sheet: Path, command, size: str) -> None:  # type: ignore[no-untyped-def]
    """Job, number and title of the step, and the part, on every face that is not an empty back."""
    out = tmp_path / "cards.pdf"
    ran = command("card", "print", "coil", "coil-table", "units", "--job", sheet, "--size", size, "--out", out)
    assert (ran.code, "5 cards" in ran.out) == (0, True)
    faces = [text for text in printed(out) if text]
    alone = [text for text in faces if "Units of pressure and flow" in text]
    assert all(("Job D-777" in text) == (text not in alone) for text in faces)  # (units are of no job)
    first = [text for text in faces if "Step 1 · Inlet valve, cold · part: inlet-valve" in text]
    second = [text for text in faces if "Step 2 · Second of four · part: injector" in text]
    assert len(first) == len(second) == 4  # (two cards, a front and a back each)
    assert len(first) + len(second) + len(alone) == len(faces)


def test_values_of_different_steps_never_stand_on_one_card(tmp_path: Path, sheet: Path, command) -> None:  # type: ignore[no-untyped-def]
    out = tmp_path / "cards.pdf"
    assert command("card", "print", "coil", "coil-table", "--job", sheet, "--size", "A4", "--out", out).code == 0
    first = " ".join(text for text in printed(out) if "Step 1" in text)
    second = " ".join(text for text in printed(out) if "Step 2" in text)
    for typed in ("2.9 to 3.5 ohm", "inlet sheet", "3.3171", "0.2131"):
        assert typed in first and typed not in second
    assert "0.5273" in second and "0.5273" not in first


def test_every_input_that_was_typed_is_on_the_card(tmp_path: Path, sheet: Path, command) -> None:  # type: ignore[no-untyped-def]
    """A count is no reading, and still was typed."""
    out = tmp_path / "cards.pdf"
    assert command("card", "print", "coil", "--job", sheet, "--step", 2, "--size", "A4", "--out", out).code == 0
    assert "Digits that the meter's accuracy adds 7" in " ".join(printed(out))


def test_one_step_is_chosen_by_its_number(tmp_path: Path, sheet: Path, command) -> None:  # type: ignore[no-untyped-def]
    out = tmp_path / "cards.pdf"
    assert "1 card;" in command("card", "print", "balance", "--job", sheet, "--step", "4", "--out", out).out
    text = " ".join(printed(out))
    assert "After the repair" in text and "Before the repair" not in text and " 61 " not in text


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (("--step", "9"), '--step: "9" is not a step of the sheet; use 1, 2, 3, 4\n'),
        (("--step", "1"), '--step: "1" is a step of coil, and none of these cards draws on it; name coil\n'),
    ],
)
def test_a_step_that_fills_nothing_is_told(tmp_path: Path, sheet: Path, command, options: tuple[str, ...], told: str) -> None:  # type: ignore[no-untyped-def]
    ran = command("card", "print", "hold", "--job", sheet, *options, "--out", tmp_path / "cards.pdf")
    assert (ran.code, ran.err) == (2, told)
    assert not (tmp_path / "cards.pdf").exists()


def test_values_of_a_file_do_not_mix_with_a_jobs(tmp_path: Path, sheet: Path, command) -> None:  # type: ignore[no-untyped-def]
    values, out = tmp_path / "values.toml", tmp_path / "cards.pdf"
    values.write_text('[coil]\nreading = "9.75 ohm"\n', encoding="utf-8")
    ran = command("card", "print", "coil", "--job", sheet, "--values", values, "--size", "A4", "--out", out)
    assert "3 cards" in ran.out
    assert not any("9.75" in text for text in printed(out) if "Step" in text and "· Inlet" in text)


def test_a_screen_has_the_steps_too(tmp_path: Path, sheet: Path, command) -> None:  # type: ignore[no-untyped-def]
    out = tmp_path / "cards.html"
    assert command("card", "print", "coil", "--job", sheet, "--out", out).code == 0
    page = out.read_text(encoding="utf-8")
    assert all(f'id="coil-step-{number}"' in page for number in (1, 2))
    assert "Job D-777 · Step 2 · Second of four · part: injector" in page


def test_a_step_that_cannot_be_used_leaves_the_others(tmp_path: Path, sheet: Path, command) -> None:  # type: ignore[no-untyped-def]
    sheet.write_text(SHEET.replace("0.5273 ohm", "0.52 bar"), encoding="utf-8")
    out = tmp_path / "cards.pdf"
    ran = command("card", "print", "coil", "units", "--job", sheet, "--out", out)
    assert ran.code == 2 and "2 cards" in ran.out
    assert [line for line in ran.err.splitlines() if "step 2" in line] == [
        'coil (step 2), reading: "0.52 bar" is a pressure; give a resistance, such as 2.6 ohm'
    ]


def baybook(folder: Path, *arguments: object, code: int, **settings: str) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "BAYBOOK_CACHE": str(folder / "cache"), "BAYBOOK_CONFIG": str(folder / "config"), **settings}
    done = subprocess.run(
        [sys.executable, "-m", "baybook", *map(str, arguments)], capture_output=True, text=True, env=environment, cwd=folder,
        check=False, timeout=120,
    )  # fmt: skip
    assert done.returncode == code and "Traceback" not in done.stderr, done.stderr
    return done


def test_a_calculator_that_is_switched_off_takes_no_other_card_with_it(tmp_path: Path, sheet: Path) -> None:
    """Its own general card goes with it; its steps are told."""
    out = tmp_path / "all.pdf"
    done = baybook(
        tmp_path, "card", "print", "--all", "--size", "A6", "--job", sheet, "--out", out, code=2, BAYBOOK_WITHOUT="coil"
    )
    assert [line for line in done.stderr.splitlines() if "switched off" in line] == [
        f'step {number}: "coil" is not a calculator that is known; the plugin coil is switched off, see baybook plugins on'
        for number in (1, 2)
    ]
    text = " ".join(printed(out))
    assert "Coil resistance" not in text and "Return balance sheet" in text and "Pressure valves" in text
    assert baybook(tmp_path, "card", "print", "--all", "--size", "A6", "--out", tmp_path / "b.pdf", code=0,
                   BAYBOOK_WITHOUT="coil,hold").stdout  # fmt: skip


WORK = """
[[steps]]
title = "New filter"
repair = ["filter"]
[[steps]]
title = "As the customer drives"
complaint = "gone"
"""


def test_no_card_is_printed_twice_for_steps_that_no_calculator_is_used_in(tmp_path: Path, sheet: Path, command) -> None:  # type: ignore[no-untyped-def]
    """A repair, a complaint fill no card; first aid and units are nobody's step and bear no job's number."""
    sheet.write_text(SHEET + WORK, encoding="utf-8")
    out = tmp_path / "cards.pdf"
    ran = command("card", "print", "first-aid", "units", "coil", "--job", sheet, "--single-sided", "--out", out)
    assert (ran.code, ran.err) == (0, "") and " 4 cards" in ran.out  # (first aid, units, two coils)
    pages = printed(out)
    assert sum("Fuel went through the skin?" in page for page in pages) == 2  # (front and back)
    assert [page for page in pages if ("skin?" in page or "Units of" in page) and "D-777" in page] == []


def test_a_job_without_names_has_a_card_for_each_step(tmp_path: Path, sheet: Path, command) -> None:  # type: ignore[no-untyped-def]
    sheet.write_text(SHEET + WORK, encoding="utf-8")
    out = tmp_path / "cards.pdf"
    ran = command("card", "print", "--job", sheet, "--out", out)
    assert (ran.code, ran.err) == (0, "") and " 4 cards" in ran.out
    ran = command("card", "print", "--job", sheet, "--step", "3", "--out", out, "--force")
    assert (ran.code, ran.err) == (0, "") and " 1 card;" in ran.out
    ran = command("card", "print", "coil", "--job", sheet, "--step", "5", "--out", out, "--force")
    assert (ran.code, ran.err) == (2, '--step: "5" is a repair or a complaint, and fills no card; leave it out\n')
    ran = command("card", "print", "--all", "--size", "A6", "--job", sheet, "--out", tmp_path / "all.html")
    assert (ran.code, ran.err) == (0, "")
