"""What is said of readings that were typed without an uncertainty. Light: it is on the fastest path."""

from __future__ import annotations

from . import numbers
from .reading import Reading

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable
    from typing import Any

ASSUMED = "Typed without an uncertainty, so half a unit of the last digit was taken: {inputs}."
TAKEN = "{reading} was taken as ± {width} {unit}, {share} % of it; type {closer} if it is known so well, or give its ±."
COARSE = 0.05
"""Half a unit that is a larger share of the reading than this is said with its size."""
NEAR = 60.0
"""A smaller unit is proposed where the reading's own has up to so many of it (min and s, MPa and bar)."""


def assumptions(given: Iterable[tuple[str, Reading]]) -> list[tuple[str, dict[str, Any]]]:
    """(template, arguments) of what is said: the inputs that were typed without an uncertainty, by name, and how widely the
    coarsest readings among them were taken where it matters."""
    found = [(name, reading) for name, reading in given if reading.assumed]
    if not found:
        return []
    names = list(dict.fromkeys(name for name, _ in found))
    coarse = {reading.text: reading for _, reading in found if share(reading) > COARSE}
    return [(ASSUMED, {"inputs": names}), *((TAKEN, _taken_as(reading)) for reading in coarse.values())]


def assumed_notes(given: Iterable[tuple[str, Reading]]) -> tuple[str, ...]:
    """The same as English texts, for a quick function."""
    said = assumptions(given)
    return tuple(template.format(**{name: _shown(part) for name, part in told.items()}) for template, told in said)


def _shown(part: Any) -> str:
    if isinstance(part, list):
        return ", ".join(part)
    return numbers.plain(part) if isinstance(part, float) else str(part)


def share(reading: Reading) -> float:
    """Half a unit of the last digit as a share of the reading; 0 for zero, and for a temperature."""
    return 0.0 if reading.unit.family == "temperature" or not reading.value else reading.widest / abs(reading.value)


def _taken_as(reading: Reading) -> dict[str, Any]:
    """How widely the reading was taken, and what to type instead."""
    width, part = (float(numbers.plain(value, 2)) for value in (reading.widest, 100 * share(reading)))
    unit = reading.unit.symbol
    return {"reading": reading.text, "width": width, "unit": unit, "share": part, "closer": _closer(reading)}


def _closer(reading: Reading) -> str:
    """The same reading as it could be typed more closely: in whole numbers of a smaller unit, else with one digit more."""
    for symbol in reading.kind.shown:
        other = reading.to(symbol)
        near = 1 < reading.unit.factor / other.unit.factor <= NEAR
        if near and abs(other.value - round(other.value)) < 1e-9 * abs(other.value):
            return f"{round(other.value)} {symbol}"
    decimals = numbers.decimals_for(2 * reading.widest)  # one more than the last digit's
    return f"{numbers.unmistakable(numbers.fixed(reading.value, max(decimals, 0)))} {reading.unit.symbol}"
