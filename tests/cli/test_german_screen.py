"""German on the screen: what every calculator shows, and no sentence of English is left in it."""

from __future__ import annotations

import re
import shlex
from collections.abc import Callable
from typing import Any

import pytest
from tests.cli.test_screen_of_24_lines import LINES

Command = Callable[..., Any]
ENGLISH = re.compile(
    r"\b(the|is|are|of|and|with|against|within|outside|undecided|next|limits|typed|found|pressure|flow|than|from|not)\b"
)
QUOTED = re.compile(r"bubbles in the clear hose|feed pressure|baybook [a-z -]+")
"""What the user typed, or would type."""


@pytest.mark.parametrize("name", LINES)
def test_the_answer_is_german_throughout(name: str, command: Command) -> None:
    out = command(*shlex.split(LINES[name][0]), "--explain", "--language", "de").out
    shown = out.partition("Quellen")[0] + "".join(out.partition("Quellen")[2].partition("\n\n")[2:])  # titles stay as printed
    left = [line for line in shown.splitlines() if ENGLISH.search(QUOTED.sub("", line))]
    assert left == []


def test_duty_is_named_both_ways(command: Command) -> None:
    out = command("explain", "regulator", "--language", "de").out
    assert "Tastgrad" in out and "Tastverhältnis" in out
