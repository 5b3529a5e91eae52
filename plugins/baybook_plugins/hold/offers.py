"""What the plugin offers: the calculator, and the general card that draws on it."""

from __future__ import annotations

from baybook.api import Calculator, CardOffer, hookimpl

from .calculator import hold


@hookimpl
def baybook_calculators() -> list[Calculator]:
    """Offer the calculator."""
    return [hold]


@hookimpl
def baybook_cards() -> list[CardOffer]:
    """Offer the card."""
    return [
        CardOffer(
            "leak-chart",
            "Shut rail: the most that it leaks, from the pressure drop",
            f"{__package__}.card.leak_chart:card",
            fills="hold",
        )
    ]
