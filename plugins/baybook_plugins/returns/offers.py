"""What the plugin offers: the calculator, and the general card that draws on it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from baybook.api import Calculator, CardOffer, hookimpl

from .calculator import returns

if TYPE_CHECKING:
    from baybook.cards.data import Card


@hookimpl
def baybook_calculators() -> list[Calculator]:
    """Offer the calculator."""
    return [returns]


@hookimpl
def baybook_cards() -> list[CardOffer]:
    """Offer the card."""
    return [CardOffer("balance", "Return balance sheet, 3 to 8 injectors", _made, fills="returns")]


def _made(**inputs: Any) -> Card:
    from .sheet_card import card

    return card(inputs)
