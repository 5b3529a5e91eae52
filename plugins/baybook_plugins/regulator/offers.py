"""What the plugin offers: the calculator, and the general card that draws on it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from baybook.api import Calculator, CardOffer, hookimpl

from .calculator import regulator

if TYPE_CHECKING:
    from baybook.cards.data import Card


@hookimpl
def baybook_calculators() -> list[Calculator]:
    """Offer the calculator."""
    return [regulator]


@hookimpl
def baybook_cards() -> list[CardOffer]:
    """Offer the card."""
    return [CardOffer("regulators", "Pressure valves: which way they work", _made, fills="regulator")]


def _made(**inputs: Any) -> Card:
    from .kinds_card import card

    return card()
