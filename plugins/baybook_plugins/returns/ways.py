"""What the plugin offers beside the balance: further ways to collect returns, apart, so that the balance starts as it did."""

from __future__ import annotations

from baybook.api import Calculator, hookimpl

from .common import common_return
from .parts import return_parts
from .static import static_return


@hookimpl
def baybook_calculators() -> list[Calculator]:
    """Offer the calculators."""
    return [static_return, common_return, return_parts]
