"""Conversion of a reading between units of its kind. Light: the quick command uses it."""

from __future__ import annotations

from baybook.light import Reading, Unit


def convert(reading: Reading, targets: list[Unit]) -> list[Reading]:
    """The reading in each of the target units, all of its own family. Raises ValueError for a unit of another."""
    return [reading.to(unit) for unit in targets]
