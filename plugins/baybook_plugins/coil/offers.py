"""What the plugin offers: the calculator, and the general card that draws on it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from baybook.api import Calculator, CardOffer, hookimpl

from .calculator import coil

if TYPE_CHECKING:
    from baybook.cards.data import Card


@hookimpl
def baybook_calculators() -> list[Calculator]:
    """Offer the calculator."""
    return [coil]


@hookimpl
def baybook_cards() -> list[CardOffer]:
    """Offer the card."""
    return [CardOffer("coil-table", "Coil resistance, cold and hot", _made, fills="coil")]


def _made(**inputs: Any) -> Card:
    from .table_card import card

    return card(inputs)
