"""What the plugin offers: the calculator, and the general card that draws on it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from baybook.api import Calculator, CardOffer, hookimpl

from .calculator import hold

if TYPE_CHECKING:
    from baybook.cards.data import Card


@hookimpl
def baybook_calculators() -> list[Calculator]:
    """Offer the calculator."""
    return [hold]


@hookimpl
def baybook_cards() -> list[CardOffer]:
    """Offer the card."""
    return [CardOffer("leak-chart", "Shut rail: the most that it leaks, from the pressure drop", _made, fills="hold")]


def _made(**inputs: Any) -> Card:
    from .card.leak_chart import card

    return card(inputs)
