"""The cards that need no calculator, offered through the same door as anyone's."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module

from baybook.api import CardOffer, hookimpl
from baybook.cards.data import Card

CARDS: dict[str, str] = {
    "first-aid": "Fuel went through the skin?",
    "safety": "Safety: before touching high-pressure fuel",
    "stages": "Where the fault lies: four stages, two sides",
    "words": "Signs and words",
    "units": "Units: pressure and flow, side by side",
}
"""Name and title; each is made by `card()` of the module of that name in `baybook_cards.general`."""


def _maker(name: str) -> Callable[[], Card]:
    def make() -> Card:
        card: Card = import_module(f"baybook_cards.general.{name.replace('-', '_')}").card()
        return card

    return make


@hookimpl
def baybook_cards() -> list[CardOffer]:
    """The general cards of the handbook."""
    return [CardOffer(name, title, _maker(name)) for name, title in CARDS.items()]
