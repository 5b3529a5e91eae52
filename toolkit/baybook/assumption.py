"""What is said of readings that were typed without an uncertainty. Light: it is on the fastest path."""

from __future__ import annotations

from . import numbers
from .reading import Reading

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable

ASSUMED = "Typed without an uncertainty, so half a unit of the last digit was taken: {}."
TAKEN = "{} was taken as ± {}, {} % of it; type {} if it is known so well, or give its ±."
COARSE = 0.05
"""Half a unit that is a larger share of the reading than this is said with its size."""
NEAR = 60.0
"""A smaller unit is proposed where the reading's own has up to so many of it (min and s, MPa and bar)."""


def assumed_notes(given: Iterable[tuple[str, Reading]]) -> tuple[str, ...]:
    """The inputs that were typed without an uncertainty, by name, and the coarsest reading among them where it matters."""
    found = [(name, reading) for name, reading in given if reading.assumed]
    if not found:
        return ()
    names = ", ".join(dict.fromkeys(name for name, _ in found))
    coarse = dict.fromkeys(taken_as(reading) for _, reading in found if share(reading) > COARSE)
    return (ASSUMED.format(names), *coarse)


def share(reading: Reading) -> float:
    """Half a unit of the last digit as a share of the reading; 0 for zero, and for a temperature."""
    return 0.0 if reading.unit.family == "temperature" or not reading.value else reading.widest / abs(reading.value)


def taken_as(reading: Reading) -> str:
    """How widely the reading was taken, and what to type instead."""
    width = f"{numbers.plain(reading.widest, 2)} {reading.unit.symbol}"
    return TAKEN.format(reading.text, width, numbers.plain(100 * share(reading), 2), _closer(reading))


def _closer(reading: Reading) -> str:
    """The same reading as it could be typed more closely: in whole numbers of a smaller unit, else with one digit more."""
    for symbol in reading.kind.shown:
        other = reading.to(symbol)
        near = 1 < reading.unit.factor / other.unit.factor <= NEAR
        if near and abs(other.value - round(other.value)) < 1e-9 * abs(other.value):
            return f"{round(other.value)} {symbol}"
    decimals = numbers.decimals_for(2 * reading.widest)  # one more than the last digit's
    return f"{numbers.unmistakable(numbers.fixed(reading.value, max(decimals, 0)))} {reading.unit.symbol}"
