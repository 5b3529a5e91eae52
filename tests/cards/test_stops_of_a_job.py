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
SAID = {
    "en": "STOP. There is petrol or another fuel in the tank (found, job step 2). Key off and out, no flame: do not switch on, "
    "start or crank.",
    "de": "STOP. Im Tank ist Benzin oder ein anderer Kraftstoff (festgestellt, Auftragsschritt 2). Zündung aus, Schlüssel ab, "
    "keine Flamme: nicht einschalten, starten oder durchdrehen.",
}
WET = """
[[steps]]
calculator = "observation"
[steps.inputs]
what = "wetness at the high-pressure side"
place = "{place}"
"""
SENSOR = """
[[steps]]
calculator = "sensor"
[steps.inputs]
standing = "-40 ± 2 bar"
zero_limit = "-10 to 10 bar"
"""


def printed(path: Path) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in PdfReader(path).pages]


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize(
    ("size", "card"), [("A4", "coil"), ("A5", "coil"), ("A6", "coil"), ("A6", "hold"), ("ID-1", "regulators")]
)
def test_the_front_says_first_that_the_engine_must_not_run(  # type: ignore[no-untyped-def]
    tmp_path: Path, command, size: str, card: str, language: str
) -> None:
    """Petrol in the fuel destroys a pump that it is to lubricate (common practice, no source)."""
    sheet, out = tmp_path / "job.toml", tmp_path / "cards.pdf"
    sheet.write_text(SYSTEM + COIL + PETROL, encoding="utf-8")
    ran = command("card", "print", card, "--job", sheet, "--size", size, "--language", language, "--out", out)
    assert ran.code == 0, ran.err
    pages = printed(out)
    assert len(pages) == (1 if card == "regulators" else 2)
    assert pages[0].startswith(SAID[language]) and all(page.count(SAID[language]) == 1 for page in pages)


def test_a_job_whose_engine_may_run_has_no_such_bar(tmp_path: Path, command) -> None:  # type: ignore[no-untyped-def]
    sheet, out = tmp_path / "job.toml", tmp_path / "cards.pdf"
    sheet.write_text(SYSTEM + COIL + DIESEL, encoding="utf-8")
    assert command("card", "print", "coil", "--job", sheet, "--out", out).code == 0
    assert "STOP. " not in " ".join(printed(out))


def test_one_step_alone_carries_what_another_found(tmp_path: Path, command) -> None:  # type: ignore[no-untyped-def]
    sheet, out = tmp_path / "job.toml", tmp_path / "cards.pdf"
    sheet.write_text(SYSTEM + COIL + PETROL, encoding="utf-8")
    assert command("card", "print", "coil", "--job", sheet, "--step", "1", "--out", out).code == 0
    assert printed(out)[0].startswith(SAID["en"])


def test_what_was_mended_is_no_longer_said(tmp_path: Path, command) -> None:  # type: ignore[no-untyped-def]
    sheet, out = tmp_path / "job.toml", tmp_path / "cards.pdf"
    sheet.write_text(SYSTEM + PETROL + '[[steps]]\nrepair = ["tank fuel"]\n' + COIL, encoding="utf-8")
    assert command("card", "print", "coil", "--job", sheet, "--out", out).code == 0
    assert "STOP. " not in " ".join(printed(out))


def test_a_screen_says_it_whole(tmp_path: Path, command) -> None:  # type: ignore[no-untyped-def]
    sheet, out = tmp_path / "job.toml", tmp_path / "cards.html"
    sheet.write_text(SYSTEM + COIL + PETROL, encoding="utf-8")
    assert command("card", "print", "coil", "words", "--job", sheet, "--out", out).code == 0
    page = out.read_text(encoding="utf-8")
    assert (
        page.count("<b>STOP.</b> There is petrol or another fuel in the tank (found, job step 2).") == 1
    )  # (a list of words has nothing to stop)
    assert page.count("do not switch on, start or crank: drain, flush and fill with known fuel") == 1


def test_one_bar_holds_every_reason_once_and_what_is_forbidden_once(tmp_path: Path, command) -> None:  # type: ignore[no-untyped-def]
    sheet, out = tmp_path / "job.toml", tmp_path / "cards.pdf"
    wet = WET.format(place="rail and joints") + WET.format(place="pump outlet")
    sheet.write_text(SYSTEM + COIL + wet + PETROL, encoding="utf-8")
    assert command("card", "print", "coil", "--job", sheet, "--out", out).code == 0
    for page in printed(out):
        assert page.startswith(
            "STOP. Fuel under pressure escapes (seen, job steps 2 and 3). There is petrol or another fuel in the tank (found, "
            "job step 4). Key off and out, no flame: do not switch on, start or crank."
        )
        assert page.count("crank.") == 1 or page.count("Key off and out") == 1


def test_cards_of_a_job_whose_rail_reading_is_false_say_that_it_proves_no_zero(tmp_path: Path, command) -> None:  # type: ignore[no-untyped-def]
    sheet, out = tmp_path / "job.toml", tmp_path / "cards.pdf"
    sheet.write_text(SYSTEM + COIL + SENSOR, encoding="utf-8")
    assert command("card", "print", "coil", "sensor", "--job", sheet, "--out", out).code == 0
    pages = printed(out)
    assert len(pages) >= 4
    assert all(page.startswith("STOP. Rail reading not to be trusted: it cannot prove zero.") for page in pages)
