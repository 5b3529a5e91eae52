"""General cards that show a calculator's numbers are filled from a job sheet like the calculator's own card."""

from __future__ import annotations

from pathlib import Path

import pytest
from pypdf import PdfReader

from baybook.cards.build import card_of
from baybook.cards.data import RecordRow
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


def test_what_was_typed_and_is_read_at_no_step_has_its_row() -> None:
    card = card_of(registry().calculator("hold"), {"back_pressure": "0.5 ± 0.1 bar"})
    assert card.record == (RecordRow("Back pressure where the leak ends: the return", "", "bar", "0.5", "0.10"),)


def test_every_reading_that_was_given_has_its_place() -> None:
    """Twenty-four injectors are more than a blank card has places for."""
    card = card_of(registry().calculator("returns"), {"volumes": [f"{n} mL" for n in range(1, 25)], "time": "2 min"})
    slots = [slot for line in card.lines for slot in line.slots if slot.value]
    assert [slot.value for slot in slots] == ["2", *map(str, range(1, 25))]
    assert slots[0].unit == "min"


def test_the_balance_sheet_is_filled_with_volumes_and_ratios(tmp_path: Path, command) -> None:  # type: ignore[no-untyped-def]
    """Each against the median of the others: 62 against 30 is 206.7 %. Plain arithmetic."""
    values, out = tmp_path / "values.toml", tmp_path / "cards.pdf"
    values.write_text('[returns]\nvolumes = ["30 ± 1 mL", "31 ± 1 mL", "29 ± 1 mL", "62 ± 1 mL"]\n', encoding="utf-8")
    assert command("card", "print", "balance", "--values", values, "--size", "A5", "--out", out).code == 0
    lines = [line for line in PdfReader(out).pages[0].extract_text().splitlines() if line.startswith("4")]
    assert "4 62 1 206.7" in " ".join(" ".join(lines).split())


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('[hodl]\nvolume = "25 mL"\n', '--values: "hodl" is not a calculator; did you mean hold?\n'),
        ('[hold]\nvolum = "25 mL"\nend = "banana"\n',
         'hold: "volum" is not an input of hold; did you mean volume?\n'
         'hold, end: "banana" has no number; give a reading, such as 350 bar\n'),
    ],
)  # fmt: skip
def test_wrong_values_are_told_all_at_once(tmp_path: Path, command, text: str, told: str) -> None:  # type: ignore[no-untyped-def]
    values = tmp_path / "values.toml"
    values.write_text(text, encoding="utf-8")
    ran = command("card", "print", "hold", "--values", values, "--out", tmp_path / "cards.pdf")
    assert (ran.code, ran.err) == (2, told)


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (("--size", "A7"), '--size: "A7" is not a card size; use A4, A5, A6, ID-1\n'),
        (("--sheet", "B5", "--language", "xx"),
         '--sheet: "B5" is not a sheet; use A4, A3\n--language: "xx" is not a language of the cards; use en, de\n'),
        (("--all",), 'NAME: "hold" is among --all already; leave out the names, or --all\n'),
    ],
)  # fmt: skip
def test_a_wrong_choice_names_its_option(tmp_path: Path, command, options: tuple[str, ...], told: str) -> None:  # type: ignore[no-untyped-def]
    ran = command("card", "print", "hold", *options, "--out", tmp_path / "cards.pdf")
    assert (ran.code, ran.err) == (2, told)


def test_options_for_paper_are_refused_for_a_screen(tmp_path: Path, command) -> None:  # type: ignore[no-untyped-def]
    ran = command("card", "print", "hold", "--binder", "--marks", "--out", tmp_path / "cards.html")
    assert ran.code == 2
    told = "is for paper; leave it out, or give --out a .pdf"
    assert ran.err.splitlines() == [f"{name}: {told}" for name in ("--marks", "--binder")]


@pytest.mark.parametrize(
    ("size", "way", "across"),
    [("ID-1", None, True), ("ID-1", "portrait", False), ("A5", None, False), ("A5", "landscape", True)],
)
def test_a_card_lies_as_its_size_is_held_unless_told(tmp_path: Path, command, size: str, way: str, across: bool) -> None:  # type: ignore[no-untyped-def]
    """A bank card is read across, a sheet upright: common practice, no source."""
    told = ("--orientation", way) if way else ()
    assert command("card", "print", "safety", "--size", size, *told, "--out", tmp_path / "card.pdf").code == 0
    page = PdfReader(tmp_path / "card.pdf").pages[0].mediabox
    assert (page.width > page.height) == across
