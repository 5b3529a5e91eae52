"""Where the readings point: the hydraulic side or the control side, and what to test next.

common practice, no source. Three questions, in this order:

1. Is the pressure away from its target, and which way?
2. Does the control ask for a correction (duty beyond what is usual in this running condition)?
3. Does the coil get the current that goes with it?

Asked and carried out, and pressure still wrong: hydraulic. Asked and not carried out: electrical.
Not asked: the control does not see the fault, so look at what it sees.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from .model import Place, Valve

# Beyond these the drive is at its end whatever is usual. common practice, no source
LOW_END, HIGH_END = 0.05, 0.95


class Pressure(StrEnum):
    """Rail pressure against its target."""

    LOW = "low"
    ON_TARGET = "on target"
    HIGH = "high"


class Asks(StrEnum):
    """What the drive of the valves asks for, against what is usual."""

    MORE = "more pressure"
    LESS = "less pressure"
    USUAL = "no more and no less than usual"
    CONFLICT = "opposite things of the two valves"
    UNKNOWN = "unknown"


class Current(StrEnum):
    """The coils' current against what is expected at the present drive."""

    AS_EXPECTED = "as expected"
    LOWERS = "off in the sense that lowers pressure"
    RAISES = "off in the sense that raises pressure"
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class Pointer:
    """What the readings say: side (None if they do not tell), strength, words, tests to do next."""

    side: str | None
    strength: str
    statement: str
    test_next: tuple[str, ...]
    control_does_its_part: bool = False


class Span(NamedTuple):
    """A range given by the user; None leaves a side open."""

    low: float | None
    high: float | None


def pressure_state(measured: float, u: float, target: float, tolerance: float) -> Pressure:
    """Compare pressure and target, same unit; beyond tolerance and its own 95 % is away."""
    error = measured - target
    if abs(error) <= tolerance + 1.96 * u:
        return Pressure.ON_TARGET
    return Pressure.LOW if error < 0 else Pressure.HIGH


def asks(valve: Valve, drive: float | None, usual: Span | None) -> Asks:
    """Say what one valve's drive (share of time on) asks for.

    Without a usual range only a drive at its end says anything.
    """
    if drive is None:
        return Asks.UNKNOWN
    low = LOW_END if usual is None or usual.low is None else usual.low
    high = HIGH_END if usual is None or usual.high is None else usual.high
    if low <= drive <= high:
        return Asks.USUAL if usual else Asks.UNKNOWN
    more = (drive > high) == valve.current_raises_pressure
    return Asks.MORE if more else Asks.LESS


def current_state(valve: Valve, measured: float | None, expected: float | None, u: float, tolerance: float) -> Current:
    """Compare a coil's current with what its drive should give, in A; u covers both."""
    if measured is None or expected is None:
        return Current.UNKNOWN
    error = measured - expected
    if abs(error) <= tolerance + 1.96 * u:
        return Current.AS_EXPECTED
    return Current.RAISES if (error > 0) == valve.current_raises_pressure else Current.LOWERS


def together_asks(each: Sequence[Asks]) -> Asks:
    """Join what the valves ask: a correction by one is a correction, opposite ones a conflict."""
    if Asks.MORE in each and Asks.LESS in each:
        return Asks.CONFLICT
    for asked in (Asks.MORE, Asks.LESS, Asks.USUAL):
        if asked in each:
            return asked
    return Asks.UNKNOWN


def together_current(each: Sequence[Current], pressure: Pressure) -> Current:
    """Join the currents: one that explains the pressure comes first, then any other that is off."""
    explains = Current.RAISES if pressure is Pressure.HIGH else Current.LOWERS
    contrary = Current.LOWERS if pressure is Pressure.HIGH else Current.RAISES
    for state in (explains, contrary, Current.UNKNOWN):
        if state in each:
            return state
    return Current.AS_EXPECTED


def point(valves: Sequence[Valve], pressure: Pressure, asked: Asks, current: Current, bleed: bool) -> Pointer:
    """Say which side the readings point at, how strongly, and what to test next."""
    if asked is Asks.CONFLICT:
        return Pointer(None, OPEN, CONFLICT, (SCOPE, POLARITY))
    if pressure is Pressure.ON_TARGET:
        return _on_target(asked, current)
    right = Asks.MORE if pressure is Pressure.LOW else Asks.LESS
    explains = Current.LOWERS if pressure is Pressure.LOW else Current.RAISES
    if current is explains:
        return Pointer("control", INDICATES, _not_carried_out(pressure, asked is right), ELECTRICAL)
    if asked is Asks.UNKNOWN:
        return Pointer(None, OPEN, _nobody_knows(pressure), (USUAL_DUTY, CURRENT_TEST))
    if asked is not right:
        return Pointer("control", CONSISTENT, _not_asked(pressure, asked), CONTROLLER_SEES)
    hydraulic = _hydraulic_tests(valves, pressure, bleed)
    if current is Current.UNKNOWN:
        return Pointer(None, OPEN, _asked_only(pressure, asked), (CURRENT_TEST, *hydraulic))
    if current is Current.AS_EXPECTED:
        return Pointer("hydraulic", INDICATES, _carried_out(pressure, asked), hydraulic, True)
    return Pointer("hydraulic", CONSISTENT, _contrary(pressure), (*hydraulic, COIL))


OPEN = "open"
CONSISTENT = "consistent with"
INDICATES = "indicates"

SCOPE = "look at the switched wire with an oscilloscope, in the same running condition"
POLARITY = "make sure which part of the period the duty meter counts"
COIL = "measure the coil's resistance and current (calculator coil)"
WIRE = "key off: measure the coil, the switched wire end to end and to ground; key on: whether the coil has its supply"
CURRENT_TEST = "measure the coil's current with a clamp and compare it with what the drive should give"
USUAL_DUTY = "find the usual duty for this running condition in the maker's data"
SENSOR = "compare the rail sensor with an independent gauge, and its supply, ground and signal"
TARGET = "read which target and which operating mode the control unit is in, and its stored faults"
SUPPLY = "measure supply pressure or suction depression under load"
RETURNS = "compare the injectors' returns (calculator returns)"
HOLD = "test whether the closed rail holds its pressure (calculator hold)"
OUTLET_RETURN = "collect the outlet valve's own return, on the low-pressure side, hose fitted with the engine stopped"
INLET_LEAK = "check whether the inlet valve still passes fuel when driven shut"
RETURN_FREE = "check that the return is free: back pressure holds rail pressure up"
VALVE_MOVES = "check that the valve itself moves freely, engine stopped and pressure proved zero"
ELECTRICAL = (
    COIL,
    "measure voltage drop along the wiring and plugs of the coil, under current",
    "look at the drive on the switched wire with an oscilloscope",
)
CONTROLLER_SEES = (SENSOR, TARGET)
CONFLICT = (
    "One valve is driven for more pressure and the other for less: a duty read in the wrong "
    "polarity, or readings from two different moments, is more likely than a fault."
)


def _hydraulic_tests(valves: Sequence[Valve], pressure: Pressure, bleed: bool) -> tuple[str, ...]:
    places = {valve.place for valve in valves}
    if pressure is Pressure.LOW:
        outlet = (OUTLET_RETURN,) if Place.OUTLET in places else ()
        return (SUPPLY, RETURNS, *outlet, HOLD)
    inlet = (INLET_LEAK,) if Place.INLET in places else ()
    bleeding = ("see whether the injector bleed works: returns rise while it does",) if bleed else ()
    return (*inlet, RETURN_FREE, VALVE_MOVES, *bleeding)


def _carried_out(pressure: Pressure, asked: Asks) -> str:
    return (
        f"The drive asks for {asked}, the coil gets the current that goes with it, and pressure "
        f"stays {pressure}: the control does its part, so the cause is hydraulic. The valve's own "
        "mechanical part counts as hydraulic here."
    )


def _not_carried_out(pressure: Pressure, asked: bool) -> str:
    begin = "The drive asks for the right correction, but the" if asked else "The"
    return (
        f"{begin} coil's current is not what its drive should give, in the very sense that makes "
        f"pressure {pressure}: look at coil, plugs, wiring and driver before any hydraulic part."
    )


def _not_asked(pressure: Pressure, asked: Asks) -> str:
    return (
        f"Pressure is {pressure}, yet the drive asks for {asked}: the control does not see the "
        "fault, or does not mean to correct it. Look at what it sees and what it aims at."
    )


def _asked_only(pressure: Pressure, asked: Asks) -> str:
    return (
        f"The drive asks for {asked} and pressure stays {pressure}. Whether the coil obeys is not "
        "known: without its current this may be hydraulic or electrical."
    )


def _contrary(pressure: Pressure) -> str:
    return (
        f"Pressure is {pressure} although the drive asks for the correction and the coil's current "
        "goes even further than expected: that speaks for a hydraulic cause, but the current is "
        "not right either and has to be explained."
    )


def _nobody_knows(pressure: Pressure) -> str:
    return (
        f"Pressure is {pressure}. Which way the control is pulling is not known, so the readings "
        "do not tell the sides apart."
    )


def _on_target(asked: Asks, current: Current) -> Pointer:
    if asked in (Asks.MORE, Asks.LESS):
        tests = (SUPPLY, RETURNS, HOLD) if asked is Asks.MORE else (RETURN_FREE, INLET_LEAK)
        return Pointer("hydraulic", CONSISTENT, _compensates(asked), tests)
    if current in (Current.LOWERS, Current.RAISES):
        return Pointer("control", CONSISTENT, CURRENT_OFF, ELECTRICAL)
    return Pointer(None, OPEN, NOTHING_WRONG, (OTHER_CONDITION,))


def _compensates(asked: Asks) -> str:
    return (
        f"Pressure is on target, but only because the drive asks for {asked} than is usual: the "
        "control is making up for something, and has less in reserve."
    )


CURRENT_OFF = (
    "Pressure is on target and the coil's current is not what its drive should give: the control "
    "makes up for it, or the expected current is wrong."
)
NOTHING_WRONG = "These readings show no pressure fault in this running condition."
OTHER_CONDITION = "repeat in the running condition in which the complaint shows"
