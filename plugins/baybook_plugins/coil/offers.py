"""What the plugin offers: the calculator, and the general card that draws on it."""

from __future__ import annotations

from baybook.api import Calculator, CardOffer, hookimpl

from .calculator import coil


@hookimpl
def baybook_calculators() -> list[Calculator]:
    """Offer the calculator."""
    return [coil]


@hookimpl
def baybook_cards() -> list[CardOffer]:
    """Offer the card."""
    return [CardOffer("coil-table", "Coil resistance, cold and hot", f"{__package__}.table_card:card", fills="coil")]
