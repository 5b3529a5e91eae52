"""General cards that show a calculator's numbers are filled from a job sheet like the calculator's own card."""

from __future__ import annotations

from pathlib import Path

from pypdf import PdfReader

from baybook.cards.build import card_of
from baybook.registry import registry

SHEET = """
[[steps]]
calculator = "hold"
[steps.inputs]
volume = "31 ± 1 mL"
[[steps]]
calculator = "coil"
[steps.inputs]
limit = "2.15 to 2.85 ohm"
"""


def printed(path: Path) -> str:
    return " ".join(page.extract_text() for page in PdfReader(path).pages)


def test_the_leak_chart_and_the_coil_table_are_for_this_vehicle(tmp_path: Path, command) -> None:  # type: ignore[no-untyped-def]
    """The rail's volume heads the chart's column, the range's ends head the table's."""
    sheet, out = tmp_path / "job.toml", tmp_path / "cards.pdf"
    sheet.write_text(SHEET, encoding="utf-8")
    assert command("card", "print", "leak-chart", "coil-table", "--size", "A4", "--job", sheet, "--out", out).code == 0
    text = printed(out)
    assert all(part in text for part in ("31 mL", "2.15", "2.85"))
    assert "40 mL" not in text


def test_a_value_that_cannot_be_used_is_named_by_its_card(tmp_path: Path, command) -> None:  # type: ignore[no-untyped-def]
    values = tmp_path / "values.toml"
    values.write_text('[hold]\nvolume = "31 bar"\n', encoding="utf-8")
    ran = command("card", "print", "leak-chart", "--values", values, "--out", tmp_path / "cards.pdf")
    assert (ran.code, ran.err) == (2, 'leak-chart, volume: "31 bar" is a pressure; give a volume, such as 25 mL\n')


def test_a_value_of_this_vehicle_is_never_the_row_that_is_cut_off() -> None:
    """A card has room for nine rows and hold has more inputs; the one that was typed stands first."""
    card = card_of(registry().calculator("hold"), {"back_pressure": "0.5 ± 0.1 bar"})
    assert card.record[0].value == "0.5 ± 0.1 bar"
