"""The chart of the convert card: the two pressure units that gauges show most."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from baybook.api import Plot, Series
from baybook.conversion import convert, in_family

LARGEST = 2000.0
"""Where the chart ends, in bar."""


def charts(known: Mapping[str, Any]) -> tuple[Plot, ...]:
    """psi over bar; nothing that is known changes it."""
    units = {unit.symbol: unit for unit in in_family("pressure")}
    line = Series("", (0.0, LARGEST), (0.0, convert(LARGEST, units["bar"], units["psi"])))
    return (Plot("Pressure in psi and in bar", "pressure", "bar", "pressure", "psi", (line,)),)
