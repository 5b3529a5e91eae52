"""The cards that need no calculator, offered through the same door as anyone's."""

from __future__ import annotations

from baybook.api import CardOffer, hookimpl
from baybook.cards.data import Card


def _safety() -> Card:
    from baybook_cards.general import safety

    return safety.card()


@hookimpl
def baybook_cards() -> list[CardOffer]:
    """The general cards of the handbook."""
    return [CardOffer("safety", "Before touching high-pressure fuel", _safety)]
