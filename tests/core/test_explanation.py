"""`baybook explain`: what a trainer shows a class."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from baybook.registry import registry

Command = Callable[..., Any]
HEADS = [
    "What it proves",
    "Cautions",
    "Formulas",
    "What goes in, and its range",
    "What comes out",
    "A worked example",
    "Sources",
]


@pytest.mark.parametrize("name", ["returns", "coil", "regulator", "hold", "convert"])
def test_it_tells_what_is_declared_and_works_the_example_out(name: str, command: Command) -> None:
    ran = command("explain", name)
    calculator = registry().calculator(name)
    assert ran.code == 0
    text = " ".join(ran.out.split())
    heads = [head for head in HEADS if calculator.cautions or head != "Cautions"]
    assert [head for head in heads if f"\n{head}\n" not in f"\n{ran.out}"] == []
    for part in (calculator.proves, *calculator.formulas, *calculator.sources, calculator.examples[0].source):
        assert " ".join(part.split()) in text
    assert max(map(len, ran.out.splitlines())) <= 100  # a formula is not broken


def test_the_limits_and_the_working_are_told(command: Command) -> None:
    out = command("explain", "coil").out
    assert "(of at least -50 °C, of at most 200 °C)" in " ".join(out.split())
    assert "0.41480" in out  # 0.480 · (234.5 + 20) / (234.5 + 60), copper handbooks' rule


def test_it_is_written_as_markdown_once(command: Command, tmp_path: Path) -> None:
    file = tmp_path / "hold.md"
    assert command("explain", "hold", "--md", file).code == 0
    text = file.read_text(encoding="utf-8")
    assert text.startswith("# Pressure hold\n\n## What it proves\n\n") and "## Sources\n\n- " in text
    assert command("explain", "hold", "--md", file).code == 2
    assert file.read_text(encoding="utf-8") == text


def test_in_german_its_heads_are_too(command: Command) -> None:
    out = command("explain", "returns", "--language", "de").out
    assert [head for head in HEADS if f"\n{head}\n" in out] == []
    assert "\nWas sie beweist\n" in out


def test_an_unknown_calculator_is_told(command: Command) -> None:
    ran = command("explain", "hodl")
    assert (ran.code, ran.err) == (2, '"hodl" is not a calculator; did you mean hold?\n')


@pytest.mark.parametrize("code", ["en", "de"])
def test_it_is_written_as_pdf_with_every_part(code: str, command: Command, tmp_path: Path) -> None:
    from pypdf import PdfReader

    file = tmp_path / "coil.pdf"
    assert command("explain", "coil", "--pdf", file, "--language", code).code == 0
    text = "".join(page.extract_text() for page in PdfReader(file).pages)
    for head in HEADS if code == "en" else ("Was sie beweist", "Quellen"):
        assert head in text
    assert "41480" in text.replace(" ", "")
    assert command("explain", "coil", "--pdf", file).code == 2  # nothing is written over
    assert command("explain", "coil", "--pdf", tmp_path / "coil.txt").code == 2
