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
from typing import NamedTuple

from baybook.api import Message, Word

from . import next_tests as tests
from . import statements as say
from .model import Valve
from .statements import INDICATES, Says
from .states import Asks, Current, Pressure


class Pointer(NamedTuple):
    """What the readings say: side (None if they do not tell), strength, words, tests to do next.

    control_does_its_part: the right correction is asked for and the coil gets its current; sensor_open: the pressure itself
    is in doubt first; stage_open: hydraulic, and any stage can be at its root.
    """

    side: str | None
    strength: str
    statement: Message
    test_next: tuple[str, ...]
    control_does_its_part: bool
    sensor_open: bool
    stage_open: bool

    @property
    def points_at(self) -> str:
        """The side in words, with what its strength allows."""
        return "neither yet" if self.side is None else self.side if self.strength == INDICATES else f"perhaps {self.side}"


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
    whose: str | Sequence[Word] = ""
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

    def asked_word(self) -> Word:
        """What is asked for, as it stands in a message."""
        return Word(self.asked, "inlet_asks")

    def said(self, says: Says, *test_next: str) -> Pointer:
        """It said of these readings."""
        words = {
            "pressure": Word(self.pressure, "pressure_state"), "asked": self.asked_word(), "valves": self.whose,
            "causes": tests.joined([say.STICKING[valve.place] for valve in self.valves], ", "), "sensor": say.SENSOR_OPEN,
        }  # fmt: skip
        statement = Message(says.template, **{name: word for name, word in words.items() if f"{{{name}}}" in says.template})
        hydraulic = says.side == "hydraulic"
        return Pointer(
            says.side, says.strength, statement, test_next, control_does_its_part=hydraulic and says.strength == INDICATES,
            sensor_open=says is say.DOUBTED, stage_open=hydraulic and self.pressure is not Pressure.HIGH,
        )  # fmt: skip


def together_asks(each: Sequence[Asks]) -> Asks:
    """Join what the valves ask: a correction by one is a correction, opposite ones a conflict; usual only where all are."""
    if Asks.MORE in each and Asks.LESS in each:
        return Asks.CONFLICT
    return next((asked for asked in (Asks.MORE, Asks.LESS, Asks.UNDECIDED, Asks.UNKNOWN) if asked in each), Asks.USUAL)


def together_current(each: Sequence[Current], pressure: Pressure) -> Current:
    """Join the currents: one that explains the pressure comes first, then any other that is off, then what is not known."""
    off = (Current.RAISES, Current.LOWERS) if pressure is Pressure.HIGH else (Current.LOWERS, Current.RAISES)
    return next((state for state in (*off, Current.UNDECIDED, Current.UNKNOWN) if state in each), Current.AS_EXPECTED)


def point(seen: Picture) -> Pointer:
    """Say which side the readings point at, how strongly, and what to test next."""
    if seen.asked is Asks.CONFLICT:
        return seen.said(say.CONFLICT, *((tests.SCOPE, tests.POLARITY) if seen.under_control else seen.electrical()))
    if seen.pressure in (Pressure.ON_TARGET, Pressure.UNDECIDED):
        return _near_target(seen)
    right, explains = (Asks.MORE, Current.LOWERS) if seen.pressure is Pressure.LOW else (Asks.LESS, Current.RAISES)
    if seen.current is explains:
        return seen.said(say.NOT_CARRIED_OUT if seen.asked is right else say.CURRENT_EXPLAINS, *seen.electrical())
    if seen.asked in (Asks.UNKNOWN, Asks.UNDECIDED):
        return seen.said(say.NOBODY_KNOWS, *seen.find_asks, *seen.find_current)
    sensor = () if seen.sensor_checked else (tests.SENSOR,)
    if seen.asked is not right:
        return seen.said(say.NOT_ASKED, *sensor, tests.TARGET)
    hydraulic = tests.hydraulic(seen.valves, seen.pressure, seen.bleed)
    if seen.current in (Current.UNKNOWN, Current.UNDECIDED):
        says = say.OBEYS_UNDECIDED if seen.current is Current.UNDECIDED else say.OBEYS_UNKNOWN
        return seen.said(says, *sensor, *seen.find_current, *hydraulic)
    if seen.current is not Current.AS_EXPECTED:
        return seen.said(say.CONTRARY, *sensor, *hydraulic, tests.COIL)
    high = say.CARRIED_OUT_HIGH if seen.sensor_checked else say.DOUBTED
    return seen.said(say.CARRIED_OUT if seen.pressure is Pressure.LOW else high, *sensor, *hydraulic)


def _near_target(seen: Picture) -> Pointer:
    on_target = seen.pressure is Pressure.ON_TARGET
    if on_target and seen.asked is Asks.MORE:
        return seen.said(say.COMPENSATES, tests.SUPPLY, tests.RETURNS, tests.HOLD)
    if on_target and seen.asked is Asks.LESS:
        return seen.said(say.COMPENSATES, tests.RETURN_FREE, tests.INLET_LEAK)
    if seen.current in (Current.LOWERS, Current.RAISES):
        return seen.said(say.CURRENT_OFF if on_target else say.CURRENT_OFF_PRESSURE_OPEN, *seen.electrical())
    return (
        seen.said(say.NOTHING_WRONG, tests.OTHER_CONDITION) if on_target else seen.said(say.PRESSURE_OPEN, tests.FINER_PRESSURE)
    )
