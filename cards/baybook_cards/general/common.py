"""What several general cards share: cautions, and a number as it was given."""

from __future__ import annotations

from baybook.cards.data import Caution, Number

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
DIGITS = 6
"""Significant digits of a factor, and of a value that was typed."""


def number(value: float, unit: str = "") -> Number:
    """`value` to `DIGITS` significant digits, trailing zeros left off."""
    text = f"{value:.{DIGITS}g}"
    if "e" in text:
        text = f"{value:.10f}".rstrip("0")
    return Number(value, min(len(text.partition(".")[2]), 10), unit)
