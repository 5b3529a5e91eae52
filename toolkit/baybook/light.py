"""Public names for a calculator's quick function. Nothing here imports more than the unit table; keep it so."""

from __future__ import annotations

from .assumption import assumed_notes
from .errors import Refused
from .numbers import assumed_shown, show
from .reading import COVERAGE, Reading, find_unit, parse
from .text import output_rows, wrap
from .units import Unit, convert, convert_width, find, in_family

__all__ = [
    "COVERAGE", "Reading", "Refused", "Unit", "assumed_notes", "assumed_shown", "convert", "convert_width", "find",
    "find_unit", "in_family", "output_rows", "parse", "show", "usual_units", "wrap",
]  # fmt: skip


def usual_units(reading: Reading) -> list[Unit]:
    """The usual workshop units of the reading's kind, its own left out."""
    shown = [find(symbol, reading.unit.family) for symbol in reading.kind.shown]
    return [unit for unit in shown if unit is not reading.unit]
