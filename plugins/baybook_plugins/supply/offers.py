"""What the plugin offers."""

from __future__ import annotations

from baybook.api import Calculator, hookimpl

from .calculator import supply
from .line import line


@hookimpl
def baybook_calculators() -> list[Calculator]:
    """Offer the calculators."""
    return [supply, line]
