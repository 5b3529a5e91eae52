"""What the plugin offers: the calculator, and the general card that draws on it."""

from __future__ import annotations

from baybook.api import Calculator, CardOffer, hookimpl

from .calculator import regulator


@hookimpl
def baybook_calculators() -> list[Calculator]:
    """Offer the calculator."""
    return [regulator]


@hookimpl
def baybook_cards() -> list[CardOffer]:
    """Offer the card."""
    return [
        CardOffer("regulators", "Pressure valves: which way they work", f"{__package__}.kinds_card:card", fills="regulator")
    ]
