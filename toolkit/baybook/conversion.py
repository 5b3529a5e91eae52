"""Conversion of a reading between units of its kind, and a plain `baybook convert READING [UNIT]` answered at once.

Light: the program's entry uses it before anything else is loaded; nothing here imports more than readings and the unit table.
"""

from __future__ import annotations

from .assumption import assumed_notes
from .columns import output_rows, wrap
from .errors import Refused
from .numbers import assumed_shown, show
from .reading import Reading, find_unit, parse
from .units import Unit, convert, families, find, in_family

__all__ = ["Reading", "Unit", "convert", "converted", "families", "find_unit", "in_family", "plain_answer", "usual_units"]


def usual_units(reading: Reading) -> list[Unit]:
    """The usual workshop units of the reading's kind, its own left out."""
    shown = [find(symbol, reading.unit.family) for symbol in reading.kind.shown]
    return [unit for unit in shown if unit is not reading.unit]


def converted(reading: Reading, targets: list[Unit]) -> list[Reading]:
    """The reading in each of the target units, all of its own family. Raises ValueError for a unit of another."""
    return [reading.to(unit) for unit in targets]


def plain_answer(words: list[str]) -> str | None:
    """What the calculator `convert` prints for a reading and perhaps a unit; None where it has to say more, or to refuse."""
    if len(words) > 2 or words[0].isdigit():  # in pieces
        from .words import grouped

        words = grouped(words)
        if len(words) == 3 and words[1] in ("to", "in"):
            del words[1]
    try:
        reading = parse(words[0])
        targets = usual_units(reading)
        if len(words) == 2:
            unit, reference = find_unit(words[1], reading.unit.family)
            if reference or unit.family != reading.unit.family:
                return None
            targets = [unit]
    except Refused:
        return None
    if reading.kind.reference or len(words) > 2:
        return None
    lines = output_rows([_row(found) for found in converted(reading, targets)])
    notes = assumed_notes([("reading", reading)])
    if notes:
        lines += ["", "Notes", *(line for note in notes for line in wrap(note, "    ", "  - "))]
    return "\n".join(lines) + "\n"


def _row(reading: Reading) -> tuple[str, str, str]:
    width, symbol = reading.half_width, reading.unit.symbol
    if reading.assumed:
        return symbol, assumed_shown(reading.value, reading.widest, symbol), ""
    interval = f"{show(reading.value - width, width)} … {show(reading.value + width, width)}" if width > 0 else ""
    return symbol, f"{show(reading.value, width)} {symbol}", interval
