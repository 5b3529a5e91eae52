"""What pressure, drive and current are against what they should be: each decided with 95 %, or left undecided.

A tolerance is not widened by the reading's own uncertainty: within it, or beyond it on one side, is said only where the reading
shows that with a probability of at least 0.95 (ISO 14253-1:2017 with its default).
"""

from __future__ import annotations

from enum import StrEnum

from baybook.api import Estimate, side_of
from baybook_physics.pressure_valve import Valve

Ends = tuple[float | None, float | None]
"""Of a range given by the user; None leaves a side open."""
LOW_END, HIGH_END = 0.05, 0.95
"""Beyond these the drive is at its end whatever is usual. common practice, no source"""


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


def against(value: float, u: float, low: float | None, high: float | None) -> int | None:
    """-1 below a range, 0 within, 1 above, each with at least 95 %, else None. u: standard, of a normal value."""
    return side_of(Estimate.of(value, "1", u), low, high)


def pressure_state(measured: float, u: float, target: float, tolerance: float) -> Pressure:
    """Compare pressure and target, same unit; u covers both."""
    side = against(measured - target, u, -tolerance, tolerance)
    return {-1: Pressure.LOW, 0: Pressure.ON_TARGET, 1: Pressure.HIGH, None: Pressure.UNDECIDED}[side]


def asks(valve: Valve, drive: float | None, usual: Ends | None, u: float = 0.0) -> Asks:
    """Say what one valve's drive (share of time on, with its u) asks for.

    Without a usual range only a drive at its end says anything.
    """
    if drive is None:
        return Asks.UNKNOWN
    low, high = usual or (None, None)
    side = against(drive, u, LOW_END if low is None else low, HIGH_END if high is None else high)
    if not side:
        return Asks.UNKNOWN if usual is None else Asks.UNDECIDED if side is None else Asks.USUAL
    return Asks.MORE if (side > 0) == valve.current_raises_pressure else Asks.LESS


def current_state(valve: Valve, measured: float | None, expected: float | None, u: float, tolerance: float) -> Current:
    """Compare a coil's current with what its drive should give, in A; u covers both."""
    if measured is None or expected is None:
        return Current.UNKNOWN
    side = against(measured - expected, u, -tolerance, tolerance)
    if not side:
        return Current.UNDECIDED if side is None else Current.AS_EXPECTED
    return Current.RAISES if (side > 0) == valve.current_raises_pressure else Current.LOWERS


def together_asks(each: list[Asks]) -> Asks:
    """Join what the valves ask: a correction by one is a correction, opposite ones a conflict; usual only where all are."""
    if Asks.MORE in each and Asks.LESS in each:
        return Asks.CONFLICT
    return next((asked for asked in (Asks.MORE, Asks.LESS, Asks.UNDECIDED, Asks.UNKNOWN) if asked in each), Asks.USUAL)


def together_current(each: list[Current], pressure: Pressure) -> Current:
    """Join the currents: one that explains the pressure comes first, then any other that is off, then what is not known."""
    off = (Current.RAISES, Current.LOWERS) if pressure is Pressure.HIGH else (Current.LOWERS, Current.RAISES)
    return next((state for state in (*off, Current.UNDECIDED, Current.UNKNOWN) if state in each), Current.AS_EXPECTED)
