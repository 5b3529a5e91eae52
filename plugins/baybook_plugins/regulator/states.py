"""What pressure, drive and current are against what they should be: each decided with 95 %, or left undecided.

A tolerance is not widened by the reading's own uncertainty: within it, or beyond it on one side, is said only where the reading
shows that with a probability of at least 0.95 (ISO 14253-1:2017 with its default).
"""

from __future__ import annotations

from enum import StrEnum
from math import erfc, sqrt
from typing import NamedTuple

from .model import Valve

# Beyond these the drive is at its end whatever is usual. common practice, no source
LOW_END, HIGH_END = 0.05, 0.95
SURE = 0.95


class Pressure(StrEnum):
    """Rail pressure against its target."""

    LOW = "low"
    ON_TARGET = "on target"
    HIGH = "high"
    UNDECIDED = "undecided: the tolerance ends within the uncertainty"


class Asks(StrEnum):
    """What the drive of the valves asks for, against what is usual."""

    MORE = "more pressure"
    LESS = "less pressure"
    USUAL = "no more and no less than usual"
    CONFLICT = "opposite things of the two valves"
    UNDECIDED = "undecided: an end of what is usual lies within the uncertainty"
    UNKNOWN = "unknown"


class Current(StrEnum):
    """The coils' current against what is expected at the present drive."""

    AS_EXPECTED = "as expected"
    LOWERS = "off in the sense that lowers pressure"
    RAISES = "off in the sense that raises pressure"
    UNDECIDED = "undecided: the tolerance ends within the uncertainty"
    UNKNOWN = "unknown"


class Span(NamedTuple):
    """A range given by the user; None leaves a side open."""

    low: float | None
    high: float | None


def against(value: float, u: float, span: Span) -> int | None:
    """Tell where a value lies: -1 below the span, 0 within, 1 above, each with at least 95 %; None where that is not shown.

    u: the value's standard uncertainty, taken as normal; all in one unit.
    """
    below = 0.0 if span.low is None else less(value, u, span.low)
    above = 0.0 if span.high is None else less(-value, u, -span.high)
    if below >= SURE or above >= SURE:
        return -1 if below >= SURE else 1
    return 0 if 1 - below - above >= SURE else None


def less(value: float, u: float, limit: float) -> float:
    """The probability that the true value of a reading lies below the limit."""
    if u <= 0:
        return float(value < limit)
    return 0.5 * erfc((value - limit) / (u * sqrt(2)))


def pressure_state(measured: float, u: float, target: float, tolerance: float) -> Pressure:
    """Compare pressure and target, same unit; u covers both."""
    side = against(measured - target, u, Span(-tolerance, tolerance))
    return {-1: Pressure.LOW, 0: Pressure.ON_TARGET, 1: Pressure.HIGH, None: Pressure.UNDECIDED}[side]


def asks(valve: Valve, drive: float | None, usual: Span | None, u: float = 0.0) -> Asks:
    """Say what one valve's drive (share of time on, with its u) asks for.

    Without a usual range only a drive at its end says anything.
    """
    if drive is None:
        return Asks.UNKNOWN
    low = LOW_END if usual is None or usual.low is None else usual.low
    high = HIGH_END if usual is None or usual.high is None else usual.high
    side = against(drive, u, Span(low, high))
    if not side:
        return Asks.UNKNOWN if usual is None else Asks.UNDECIDED if side is None else Asks.USUAL
    return Asks.MORE if (side > 0) == valve.current_raises_pressure else Asks.LESS


def current_state(valve: Valve, measured: float | None, expected: float | None, u: float, tolerance: float) -> Current:
    """Compare a coil's current with what its drive should give, in A; u covers both."""
    if measured is None or expected is None:
        return Current.UNKNOWN
    side = against(measured - expected, u, Span(-tolerance, tolerance))
    if not side:
        return Current.UNDECIDED if side is None else Current.AS_EXPECTED
    return Current.RAISES if (side > 0) == valve.current_raises_pressure else Current.LOWERS
