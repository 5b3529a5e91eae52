"""Where the readings point: the hydraulic side or the control side, and what to test next.

common practice, no source. Three questions, in this order:

1. Is the pressure away from its target, and which way?
2. Does the control ask for a correction (duty beyond what is usual in this running condition)?
3. Does the coil get the current that goes with it?

Asked and carried out, and pressure still wrong: hydraulic, if the pressure is really what the sensor says. Asked and not
carried out: electrical. Not asked: the control does not see the fault, so look at what it sees.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from . import next_tests as tests
from . import statements as words
from .model import Valve
from .states import Asks, Current, Pressure

OPEN = "open"
CONSISTENT = "consistent with"
INDICATES = "indicates"


@dataclass(frozen=True)
class Pointer:
    """What the readings say: side (None if they do not tell), strength, words, tests to do next.

    control_does_its_part: the right correction is asked for and the coil gets its current; sensor_open: the pressure itself
    is in doubt first; stage_open: hydraulic, and any stage can be at its root.
    """

    side: str | None
    strength: str
    statement: str
    test_next: tuple[str, ...]
    control_does_its_part: bool = False
    sensor_open: bool = False
    stage_open: bool = False

    @property
    def points_at(self) -> str:
        """The side in words, with what its strength allows."""
        if self.side is None:
            return "neither yet"
        return self.side if self.strength == INDICATES else f"perhaps {self.side}"


class Picture(NamedTuple):
    """All that was read, put together.

    whose: the valves whose current is off, in words; find_asks, find_current: what is still to be found out, first to last,
    before it is known what is asked for, and whether the coils obey; sensor_checked: the rail sensor was looked at;
    current_flows: some current flows wherever one is due.
    """

    valves: Sequence[Valve]
    pressure: Pressure
    asked: Asks
    current: Current
    bleed: bool = False
    sensor_checked: bool = False
    whose: str = ""
    find_asks: tuple[str, ...] = ()
    find_current: tuple[str, ...] = ()
    current_flows: bool = True

    @property
    def under_control(self) -> bool:
        """Whether nothing drives the pressure up beyond its target: no coil's current is off in the sense that raises it."""
        return self.pressure is not Pressure.HIGH or self.current is not Current.RAISES

    def electrical(self) -> tuple[str, ...]:
        """What to test at coils and wiring."""
        return tests.electrical(current_flows=self.current_flows, under_control=self.under_control)


def together_asks(each: Sequence[Asks]) -> Asks:
    """Join what the valves ask: a correction by one is a correction, opposite ones a conflict; usual only where all are."""
    if Asks.MORE in each and Asks.LESS in each:
        return Asks.CONFLICT
    for asked in (Asks.MORE, Asks.LESS, Asks.UNDECIDED, Asks.UNKNOWN):
        if asked in each:
            return asked
    return Asks.USUAL


def together_current(each: Sequence[Current], pressure: Pressure) -> Current:
    """Join the currents: one that explains the pressure comes first, then any other that is off, then what is not known."""
    explains = Current.RAISES if pressure is Pressure.HIGH else Current.LOWERS
    contrary = Current.LOWERS if pressure is Pressure.HIGH else Current.RAISES
    for state in (explains, contrary, Current.UNDECIDED, Current.UNKNOWN):
        if state in each:
            return state
    return Current.AS_EXPECTED


def point(seen: Picture) -> Pointer:
    """Say which side the readings point at, how strongly, and what to test next."""
    if seen.asked is Asks.CONFLICT:
        return Pointer(None, OPEN, words.CONFLICT, (tests.SCOPE, tests.POLARITY) if seen.under_control else seen.electrical())
    if seen.pressure in (Pressure.ON_TARGET, Pressure.UNDECIDED):
        return _near_target(seen)
    right = Asks.MORE if seen.pressure is Pressure.LOW else Asks.LESS
    explains = Current.LOWERS if seen.pressure is Pressure.LOW else Current.RAISES
    if seen.current is explains:
        said = words.not_carried_out(seen.pressure, seen.asked is right, seen.whose)
        return Pointer("control", INDICATES, said, seen.electrical())
    if seen.asked in (Asks.UNKNOWN, Asks.UNDECIDED):
        return Pointer(None, OPEN, words.nobody_knows(seen.pressure), (*seen.find_asks, *seen.find_current))
    if seen.asked is not right:
        sees = (tests.TARGET,) if seen.sensor_checked else (tests.SENSOR, tests.TARGET)
        return Pointer("control", CONSISTENT, words.not_asked(seen.pressure, seen.asked), sees)
    return _asked(seen)


def _asked(seen: Picture) -> Pointer:
    """The right correction is asked for, and no current explains that it does not come about."""
    hydraulic = tests.hydraulic(seen.valves, seen.pressure, seen.bleed)
    sensor = () if seen.sensor_checked else (tests.SENSOR,)
    stage_open = seen.pressure is Pressure.LOW
    if seen.current in (Current.UNKNOWN, Current.UNDECIDED):
        said = words.asked_only(seen.pressure, seen.asked, seen.current)
        return Pointer(None, OPEN, said, (*sensor, *seen.find_current, *hydraulic))
    if seen.current is not Current.AS_EXPECTED:
        said = words.contrary(seen.pressure, seen.whose)
        return Pointer("hydraulic", CONSISTENT, said, (*sensor, *hydraulic, tests.COIL), stage_open=stage_open)
    said = words.carried_out(seen.pressure, seen.asked, seen.valves, seen.sensor_checked)
    if seen.pressure is Pressure.HIGH and not seen.sensor_checked:
        return Pointer(None, OPEN, said, (*sensor, *hydraulic), sensor_open=True)
    return Pointer("hydraulic", INDICATES, said, (*sensor, *hydraulic), True, stage_open=stage_open)


def _near_target(seen: Picture) -> Pointer:
    off = seen.current in (Current.LOWERS, Current.RAISES)
    if seen.pressure is Pressure.UNDECIDED:
        if off:
            return Pointer("control", CONSISTENT, words.current_off(seen.pressure, seen.whose), seen.electrical())
        return Pointer(None, OPEN, words.PRESSURE_OPEN, (tests.FINER_PRESSURE,))
    if seen.asked in (Asks.MORE, Asks.LESS):
        more = (tests.SUPPLY, tests.RETURNS, tests.HOLD)
        next_tests = more if seen.asked is Asks.MORE else (tests.RETURN_FREE, tests.INLET_LEAK)
        return Pointer("hydraulic", CONSISTENT, words.compensates(seen.asked), next_tests, stage_open=True)
    if off:
        return Pointer("control", CONSISTENT, words.current_off(seen.pressure, seen.whose), seen.electrical())
    return Pointer(None, OPEN, words.NOTHING_WRONG, (tests.OTHER_CONDITION,))
