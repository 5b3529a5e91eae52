"""What is fitted and has to come off again is counted among what a card needs."""

from __future__ import annotations

import re

import pytest

from .conftest import CARDS


def plugged() -> list[str]:
    """The cards by which a line is plugged."""
    return sorted(
        name for name, make in CARDS.items() if any(line.text.startswith("Plug open tank line") for line in make().lines)
    )


@pytest.mark.parametrize("name", plugged())
def test_the_plugs_are_counted(name: str) -> None:
    """A plug left in a return backs fuel up to the injectors: it is counted in and out (common practice, no source)."""
    [plug] = [need for need in CARDS[name]().needs if "plug" in need]
    assert re.match(r"1 plug for (the|each) open end of the line to the tank, counted again at the end$", plug)


def test_some_card_plugs_a_line() -> None:
    assert {"returns", "static-return", "common-return", "return-parts"} <= set(plugged())
