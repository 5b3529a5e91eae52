"""What several general cards share: cautions, and a place for the emergency number."""

from __future__ import annotations

from baybook.cards.data import Blank, Caution

DATA_FIRST = Caution(
    "notice",
    "This card holds no maker's limits. The maker's data, local rules and licensed practice come first.",
    ("M002",),
    "The maker's data come first.",
)
PRACTICE = "Common practice, no source."
NUMBER = Blank("Emergency number", symbols=("E004",))
