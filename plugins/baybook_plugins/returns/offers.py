"""What the plugin offers: the calculator, and the general card that draws on it."""

from __future__ import annotations

from baybook.api import Calculator, CardOffer, hookimpl

from .calculator import returns


@hookimpl
def baybook_calculators() -> list[Calculator]:
    """Offer the calculator."""
    return [returns]


@hookimpl
def baybook_cards() -> list[CardOffer]:
    """Offer the card."""
    return [CardOffer("balance", "Return balance sheet, 3 to 8 injectors", f"{__package__}.sheet_card:card", fills="returns")]
