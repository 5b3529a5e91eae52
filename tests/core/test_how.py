"""How a test is done, on a terminal: `--how`, and what `--ask` says and asks in which order."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from collections.abc import Callable
from typing import Any

import pytest

from baybook.action import Action
from baybook.cli.screen_language import spoken
from baybook.how import WIDTH, before_asking, blank, how_lines
from baybook.language import language
from baybook.registry import registry

NAMES = [listed.name for listed in registry().listed()]
TOLD = [name for name in NAMES if registry().calculator(name).how]


@pytest.mark.parametrize("code", ["en", "de"])
@pytest.mark.parametrize("name", NAMES)
def test_it_fits_a_terminal(name: str, code: str) -> None:
    found = registry().calculator(name)
    lines = how_lines(found, language(code, (found.package,)))
    assert max(map(len, lines)) <= WIDTH == 80


@pytest.mark.parametrize("name", TOLD)
def test_every_step_is_there_with_its_number_its_box_and_its_blanks(name: str) -> None:
    found = registry().calculator(name)
    text = "\n".join(how_lines(found))
    numbers = [int(number) for number in re.findall(r"^ *(\d+) \[ \]", text, re.MULTILINE)]
    assert numbers == list(range(1, len(found.how.actions) + 1))
    flat = " ".join(text.split())
    for item in (*found.how.conditions, *found.how.actions):
        assert item.text in flat
        for read in item.reads:
            assert blank(found, read).replace("\u00a0", " ") in flat
        if isinstance(item, Action) and item.caution:
            assert item.caution.brief in flat
    for caution in found.cautions:
        assert caution.text in flat
    assert flat.index(found.cautions[0].text) < flat.index("All true, or hands off") < flat.index("1 [ ]")


def test_german_has_every_word_of_it() -> None:
    for name in TOLD:
        found = registry().calculator(name)
        german = spoken("de", (found.package,))  # as the screen speaks
        texts = [*found.how, *found.how.needs, *(item.otherwise for item in found.how.conditions if item.otherwise)]
        texts += [part for caution in found.how.cautions for part in (caution.text, caution.brief)]
        lacking = [text for text in (*texts, "Ready", "All true, or hands off", "End", "if not") if german.text(text) == text]
        assert lacking == [], name


def test_it_needs_no_inputs_and_starts_as_cheaply_as_an_answer(command: Callable[..., Any]) -> None:
    assert command("hold", "--how").code == 0
    heavy = "{'numpy', 'scipy', 'pint', 'typer', 'jinja2', 'weasyprint'}"
    code = (
        "import sys; sys.argv = ['baybook', 'hold', '--how']; from baybook.start import main; main();"
        f"print(sorted({heavy} & set(sys.modules)), file=sys.stderr)"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stderr.strip() == "[]" and "Hands off" in ran.stdout


def test_a_calculator_without_steps_says_so(command: Callable[..., Any]) -> None:
    assert command("convert", "--how").out.splitlines()[-1] == "Nothing is done at the vehicle."


def test_the_questions_come_in_the_order_of_the_steps() -> None:
    """Cautions and entry conditions first, then what is read, step by step; then what no step reads."""
    found = registry().calculator("coil")
    names = [parameter.name for parameter in found.in_order]
    assert names[: len(found.how.reads)] == list(found.how.reads)
    assert sorted(names) == sorted(parameter.name for parameter in found.parameters)
    said = " ".join(" ".join(before_asking(found)).split())
    assert said.index(found.cautions[-1].text) < said.index("All true, or hands off") < said.index("No piezo element")


def test_json_keeps_every_caution(command: Callable[..., Any]) -> None:
    told = json.loads(command("coil", "--reading", "5.2 ohm", "--temperature", "20 °C", "--json").out)
    assert [caution["text"] for caution in told["cautions"]] == [c.text for c in registry().calculator("coil").cautions]


@pytest.mark.parametrize("name", ["observation", "reading"])
def test_one_without_steps_that_is_looked_at_says_when_a_hand_may_go_near(command: Callable[..., Any], name: str) -> None:
    """A plug that is looked at sits on the pump: nobody is told that nothing is done at the vehicle."""
    told = " ".join(command(name, "--how").out.split())
    assert "Nothing is done at the vehicle." not in told
    assert "only with the rail seen to fall to zero, the key off, and waited as the data say" in told
