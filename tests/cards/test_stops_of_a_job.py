"""A card filled from a job whose engine must not run says so above all else, in every size and language."""

from __future__ import annotations

from pathlib import Path

import pytest
from pypdf import PdfReader

SYSTEM = """
[job]
number = "D-9"
[complaint]
kind = "lacks power"
[system]
low_pressure = ["tank pump"]
inlet_valve = true
outlet_valve = "rail"
injectors = 4
"""
COIL = """
[[steps]]
calculator = "coil"
[steps.inputs]
reading = "3.3 ohm"
part = "inlet-valve"
"""
FUEL = """
[[steps]]
calculator = "fuel"
[steps.inputs]
density = "{density} kg/m3"
temperature = "20 °C"
grade = "en590"
look = "clear"
smell = "{smell}"
"""
PETROL = FUEL.format(density="772 ± 1", smell="petrol")
DIESEL = FUEL.format(density="832 ± 1", smell="diesel")
SAID = {"en": "STOP Do not start or crank the engine (Step 2)", "de": "STOP Motor nicht starten oder durchdrehen (Schritt 2)"}


def printed(path: Path) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in PdfReader(path).pages]


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize(
    ("size", "card"), [("A4", "coil"), ("A5", "coil"), ("A6", "coil"), ("A6", "hold"), ("ID-1", "regulators")]
)
def test_the_front_says_first_that_the_engine_must_not_run(
    tmp_path: Path, command, size: str, card: str, language: str
) -> None:  # type: ignore[no-untyped-def]
    """Petrol in the fuel destroys a pump that it is to lubricate (common practice, no source)."""
    sheet, out = tmp_path / "job.toml", tmp_path / "cards.pdf"
    sheet.write_text(SYSTEM + COIL + PETROL, encoding="utf-8")
    ran = command("card", "print", card, "--job", sheet, "--size", size, "--language", language, "--out", out)
    assert ran.code == 0, ran.err
    front, back = printed(out)[:2]
    assert front.startswith(SAID[language])
    assert "STOP" not in back


def test_a_job_whose_engine_may_run_has_no_such_bar(tmp_path: Path, command) -> None:  # type: ignore[no-untyped-def]
    sheet, out = tmp_path / "job.toml", tmp_path / "cards.pdf"
    sheet.write_text(SYSTEM + COIL + DIESEL, encoding="utf-8")
    assert command("card", "print", "coil", "--job", sheet, "--out", out).code == 0
    assert "STOP" not in " ".join(printed(out))


def test_one_step_alone_carries_what_another_found(tmp_path: Path, command) -> None:  # type: ignore[no-untyped-def]
    sheet, out = tmp_path / "job.toml", tmp_path / "cards.pdf"
    sheet.write_text(SYSTEM + COIL + PETROL, encoding="utf-8")
    assert command("card", "print", "coil", "--job", sheet, "--step", "1", "--out", out).code == 0
    assert printed(out)[0].startswith(SAID["en"])


def test_what_was_mended_is_no_longer_said(tmp_path: Path, command) -> None:  # type: ignore[no-untyped-def]
    sheet, out = tmp_path / "job.toml", tmp_path / "cards.pdf"
    sheet.write_text(SYSTEM + PETROL + '[[steps]]\nrepair = ["tank fuel"]\n' + COIL, encoding="utf-8")
    assert command("card", "print", "coil", "--job", sheet, "--out", out).code == 0
    assert "STOP" not in " ".join(printed(out))


def test_a_screen_says_it_whole(tmp_path: Path, command) -> None:  # type: ignore[no-untyped-def]
    sheet, out = tmp_path / "job.toml", tmp_path / "cards.html"
    sheet.write_text(SYSTEM + COIL + PETROL, encoding="utf-8")
    assert command("card", "print", "coil", "words", "--job", sheet, "--out", out).code == 0
    page = out.read_text(encoding="utf-8")
    assert (
        page.count("<b>STOP</b> do not start or crank the engine: drain, flush and fill") == 1
    )  # (a list of words has nothing to stop)
