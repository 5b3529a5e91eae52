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
from math import hypot
from typing import Literal, NamedTuple

from baybook.api import Finding, Message, Reading, Word, joined
from baybook_physics.pressure_valve import Valve

from . import next_tests as tests
from . import statements as say
from .fitted import Fitted
from .statements import DOES_ITS_PART, INDICATES, SENSOR_OPEN, STAGE_OPEN, Says
from .states import Asks, Current, Pressure, pressure_state, together_asks, together_current


class Pointer(NamedTuple):
    """What the readings say, in words, and the tests to do next."""

    says: Says
    statement: Message
    test_next: tuple[str, ...]
    stage_open: bool  # (hydraulic, and any stage can be at its root)

    @property
    def side(self) -> str | None:
        """hydraulic or control; None where the readings do not tell."""
        return self.says.side

    @property
    def strength(self) -> str:
        """How surely."""
        return self.says.strength

    @property
    def sensor_open(self) -> bool:
        """Whether the pressure itself is in doubt first."""
        return self.says is say.DOUBTED

    @property
    def control_does_its_part(self) -> bool:
        """Whether the right correction is asked for and the coil gets its current."""
        return self.side == "hydraulic" and self.strength == INDICATES

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

    @classmethod
    def of(cls, fitted: list[Fitted], pressure: Reading, target: Reading, tolerance: Reading) -> Picture:
        """Of readings at all fitted valves. tolerance: of the pressure, as a share of the target."""
        shown, due = pressure.to("bar"), target.to("bar")
        state = pressure_state(shown.value, hypot(shown.u, due.u), due.value, tolerance.number("1") * due.value)
        current = together_current([each.current for each in fitted], state)
        return cls(
            [each.valve for each in fitted], state, together_asks([each.asks for each in fitted]), current,
            whose=[each.name() for each in fitted if each.current is current],
            find_asks=tuple(dict.fromkeys(test for each in fitted for test in each.find_asks())),
            find_current=tuple(dict.fromkeys(test for each in fitted for test in each.find_current())),
            current_flows=not any(each.no_current for each in fitted),
        )  # fmt: skip

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
            "causes": joined([say.STICKING[valve.place] for valve in self.valves], ", "), "sensor": say.SENSOR_OPEN,
        }  # fmt: skip
        statement = Message(says.template, **{name: word for name, word in words.items() if f"{{{name}}}" in says.template})
        return Pointer(says, statement, test_next, says.side == "hydraulic" and self.pressure is not Pressure.HIGH)


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


MADE_UP_FOR = ((Asks.MORE, Current.LOWERS), (Asks.LESS, Current.RAISES))
"""What the control asks for because the current is off the other way: the loop makes up for what the circuit loses."""


def _near_target(seen: Picture) -> Pointer:
    on_target = seen.pressure is Pressure.ON_TARGET
    if on_target and (seen.asked, seen.current) in MADE_UP_FOR:
        return seen.said(say.MADE_UP_FOR, *seen.electrical())
    says, sensor = (say.COMPENSATES, ()) if seen.sensor_checked else (say.COMPENSATES_OR_SENSOR, (tests.SENSOR,))
    if on_target and seen.asked is Asks.MORE:
        return seen.said(says, *sensor, tests.SUPPLY, tests.RETURNS, tests.HOLD)
    if on_target and seen.asked is Asks.LESS:
        return seen.said(says, *sensor, tests.RETURN_FREE, tests.INLET_LEAK)
    if seen.current in (Current.LOWERS, Current.RAISES):
        return seen.said(say.CURRENT_OFF if on_target else say.CURRENT_OFF_PRESSURE_OPEN, *seen.electrical())
    return (
        seen.said(say.NOTHING_WRONG, tests.OTHER_CONDITION) if on_target else seen.said(say.PRESSURE_OPEN, tests.FINER_PRESSURE)
    )


def pointed(pointer: Pointer, seen: Picture, *, accused: bool = False) -> list[Finding]:
    """The pointer as findings, no stronger than it is; where the control does its part, that is a finding of its own.

    Hydraulic with the stage open stands as undecided: any of the four stages may be at its root. accused: whether a valve's own
    readings point at its circuit, which a pressure on target does not clear.
    """
    following = joined(pointer.test_next)
    if pointer.sensor_open:
        return [
            Finding("storage", "control", SENSOR_OPEN, "undecided", pointer.test_next[0]),
            Finding("generation", "hydraulic", pointer.statement, "undecided", following),
        ]
    sure = pointer.strength == INDICATES and not pointer.stage_open
    statement = joined([pointer.statement, STAGE_OPEN], " ") if pointer.stage_open else pointer.statement
    side: Literal["hydraulic", "control"] = "hydraulic" if pointer.side == "hydraulic" else "control"
    strength: Literal["indicated", "undecided", "cleared"] = (
        "cleared" if pointer.says is say.NOTHING_WRONG and not accused else "indicated" if sure else "undecided"
    )
    whose = seen.whose if side == "control" and "valves" in pointer.statement.arguments else ()
    part = str(whose[0].word) if len(whose) == 1 and isinstance(whose[0], Word) else ""
    found = [Finding("", side, statement, strength, following, part=part)]
    if pointer.control_does_its_part:
        part = Message(DOES_ITS_PART, asked=seen.asked_word())
        judged = [] if seen.sensor_checked else [Message("The sensor is not judged here.")]
        found.append(Finding("generation", "control", joined([part, *judged], " "), "cleared"))
    return found
