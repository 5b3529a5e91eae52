"""Conversion of a reading between units of its kind. Light: the quick command uses it."""

from __future__ import annotations

from baybook.light import Reading, Unit, convert_width
from baybook.light import convert as convert_value

Converted = tuple[str, float, float]  # unit's symbol, value, standard uncertainty


def convert(reading: Reading, targets: list[Unit]) -> list[Converted]:
    """The reading in each of the target units, all of its own family. Raises ValueError for a unit of another."""
    return [
        (unit.symbol, convert_value(reading.value, reading.unit, unit), convert_width(reading.u, reading.unit, unit))
        for unit in targets
    ]
