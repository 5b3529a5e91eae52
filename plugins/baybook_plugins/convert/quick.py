"""`baybook convert READING [UNIT]` without anything but the unit table; whatever is unusual is left to the calculator."""

from __future__ import annotations

from baybook.light import Reading, assumed_notes, assumed_shown, find_unit, output_rows, parse, show, usual_units, wrap

from .model import convert


def answer(arguments: list[str]) -> str | None:
    """The lines that the calculator's own command would print, or None where it has to say more than the conversion."""
    if not 1 <= len(arguments) <= 2:
        return None
    reading = parse(arguments[0])
    if reading.kind.reference:
        return None
    targets = usual_units(reading)
    if len(arguments) == 2:
        unit, reference = find_unit(arguments[1], reading.unit.family)
        if reference or unit.family != reading.unit.family:
            return None
        targets = [unit]
    rows = [_row(converted) for converted in convert(reading, targets)]
    lines = output_rows(rows)
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
