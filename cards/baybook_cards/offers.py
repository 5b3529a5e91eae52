"""The cards that need no calculator, offered through the same door as anyone's."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import Any

from baybook.api import CardOffer, hookimpl
from baybook.cards.data import Card

CARDS: dict[str, str] = {
    "safety": "Before touching high-pressure fuel",
    "stages": "Where the fault lies: four stages, two sides",
    "words": "Signs and words",
    "units": "Units: pressure and flow, side by side",
    "regulators": "Pressure valves: which way they work",
    "balance": "Return balance sheet, 3 to 8 injectors",
    "leak-chart": "Shut rail: leak against pressure drop",
    "coil-table": "Coil resistance, cold and hot",
}
"""Name and title; each is made by `card()` of the module of that name in `baybook_cards.general`."""


FILLS = {"leak-chart": "hold", "coil-table": "coil", "balance": "returns"}
"""Cards that show a calculator's numbers for what is known of the vehicle; their modules have a `known_of`."""


def _maker(name: str) -> Callable[..., Card]:
    def make(**inputs: Any) -> Card:
        module = import_module(f"baybook_cards.general.{name.replace('-', '_')}")
        card: Card = module.card(module.known_of(inputs)) if inputs else module.card()
        return card

    return make


@hookimpl
def baybook_cards() -> list[CardOffer]:
    """The general cards of the handbook."""
    return [CardOffer(name, title, _maker(name), FILLS.get(name, "")) for name, title in CARDS.items()]
