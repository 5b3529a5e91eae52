"""What several general cards share: cautions, and a place for the emergency number."""

from __future__ import annotations

from baybook.cards.data import Blank, Caution

JET = Caution(
    "danger",
    "Fuel at rail pressure goes through skin and through gloves. Read the safety card before you touch anything. "
    "Never feel for a leak; open nothing before the pressure is proven to be zero.",
    ("W-JET", "M002"),
    "Fuel under pressure goes through skin. Never feel for a leak; prove zero before opening.",
)
RUNNING = Caution(
    "warning",
    "Do not unplug a pressure control or an injector on a running engine: rail pressure may rise without limit, and "
    "injector drives store dangerous voltage.",
    ("W012", "W001"),
    "Unplug no pressure control or injector on a running engine.",
)
DATA_FIRST = Caution(
    "notice",
    "This card holds no maker's limits. The maker's data, local rules and licensed practice come first.",
    ("M002",),
    "The maker's data come first.",
)
PRACTICE = "Common practice, no source."
NUMBER = Blank("Emergency number", symbols=("E004",))
