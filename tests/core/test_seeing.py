"""What is seen in a terminal: its width, the answer last, words of the workshop, and what only a class needs."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tests.cli.terminal import shown

from baybook.columns import table, wrap

Command = Callable[..., Any]

LINES = {
    "returns": ("returns 30 31 29 60 31 30 ml 60s --median-limit max 150 %", "outside", "% (19", "exchange hoses"),
    "returns, two limits": (
        "returns 30 31 29 60 ml 60s --median-limit max 150 % --flow-limit max 45 mL/min", "outside", "(196", "exchange hoses",
    ),
    "hold": ("hold 1000 900 bar 30s 25ml --limit max 0.2 mL/min", "undecided", "(0.00 … 0.2", "hold for longer"),
    "coil": ("coil 3.3 ohm 40 °C --limit 2.2-2.8 ohm --part injector", "undecided", "(2.75 … 3.10)", "touch the lead tips"),
    "regulator": (
        "regulator --where inlet --pressure 200 ± 2 bar --target 300 bar --inlet-duty 12 % --meter-counts low "
        "--inlet-usual-duty 18 to 30 % --inlet-current 0.480A --inlet-expected-current 0.50A",
        "[ok] generation", "95 %: ", "next: ",
    ),
}  # fmt: skip


def screen(line: str, rows: int = 24, columns: int = 80, folder: Path | None = None) -> list[str]:
    """The lines that a real terminal of that size shows after the command."""
    lines = shown(line.split(), rows=rows, columns=columns, folder=folder)
    assert max(map(len, lines)) <= columns, [text for text in lines if len(text) > columns]
    return lines


@pytest.mark.parametrize("name", LINES)
def test_verdict_interval_and_next_test_are_on_a_screen_of_24_lines(name: str) -> None:
    line, verdict, interval, next_test = LINES[name]
    shown = "\n".join(screen(line)[-23:])  # the last line is the prompt's
    assert [part for part in (verdict, interval, next_test) if part not in shown] == [], shown


@pytest.mark.parametrize("columns", [60, 80, 110])
@pytest.mark.parametrize("name", LINES)
def test_no_line_is_wider_than_the_terminal_and_no_value_leaves_its_unit(name: str, columns: int) -> None:
    lines = screen(LINES[name][0], columns=columns)
    for line in lines:
        last = line.rstrip().rpartition(" ")[2]
        if "95 %: " not in line:  # whose unit is the value's
            assert not (last.replace(".", "").isdigit() and "." in last), line
        assert not last.endswith(("±", "…")), line


def test_the_width_follows_the_terminal_within_limits_and_is_80_elsewhere(command: Command, monkeypatch: Any) -> None:
    def widest(columns: str) -> int:
        monkeypatch.setenv("COLUMNS", columns)
        return max(map(len, command("returns", *LINES["returns"][0].split()[1:]).out.splitlines()))

    assert widest("40") <= 60 < widest("100") <= 100
    assert widest("500") <= 120
    monkeypatch.delenv("COLUMNS")
    assert 70 < max(map(len, command("returns", *LINES["returns"][0].split()[1:]).out.splitlines())) <= 80


def test_a_value_is_not_broken_from_its_unit() -> None:
    for columns in range(1, 40):
        text = "x" * columns + " 12.5 mL/min and 3 to 7 bar (0.9 … 3.1) is at most 150 %, 900 bar (± 0.5 assumed)"
        for line in wrap(text, ""):
            assert line.rstrip().rpartition(" ")[2] not in (
                "12.5",
                "3",
                "7",
                "to",
                "…",
                "150",
                "900",
                "±",
                "most",
                "0.9",
                "0.5",
            )


def test_a_table_breaks_its_last_column() -> None:
    lines = table([("one", "word " * 40), ("two", "short")])
    assert max(map(len, lines)) <= 80 and lines[1].startswith("       word")


def test_names_of_the_program_are_words_of_the_workshop_on_the_screen(command: Command) -> None:
    out = command("hold", *LINES["hold"][0].split()[1:]).out
    outputs = out.partition("Verdicts")[0]
    assert "leak at the rail's pressure " in outputs and "leak_at_line  " not in outputs
    assert not [line for line in command("returns", "30", "31", "ml", "60s").out.splitlines() if "_" in line]


def test_the_textbook_comes_where_it_is_asked_for(command: Command) -> None:
    arguments = ("returns", "30", "31", "29", "60", "ml", "60s")
    plain, explained = command(*arguments).out, command(*arguments, "--explain").out
    assert "rubbs" not in plain and "ixon" not in plain
    for part in ("grubbs g", "dixon q", "Grubbs", "q_i = V_i / t", "Sources", "Technometrics"):
        assert part in explained


def test_verdicts_that_are_alike_are_told_in_one_line(command: Command) -> None:
    out = command("returns", "30", "31", "29", "60", "ml", "60s", "--flow-limit", "max", "45", "mL/min").out
    verdicts = [line for line in out.splitlines() if line.startswith(("  [ok] ", "  [out]"))]
    assert [line[:42] for line in verdicts] == [
        "  [ok]  injector 1, 2, 3, flow: within, ag",
        "  [out] injector 4, flow: 60.00 mL/min (59",
    ]
