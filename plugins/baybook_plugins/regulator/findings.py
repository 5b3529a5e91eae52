"""The readings at all fitted valves put together, and what they point at as findings."""

from __future__ import annotations

from math import hypot
from typing import Literal

from baybook.api import Finding, Message, Reading

from .fitted import Fitted
from .next_tests import joined
from .pointing import Picture, Pointer, together_asks, together_current
from .statements import INDICATES, SENSOR_OPEN, STAGE_OPEN
from .states import pressure_state

Side = Literal["hydraulic", "control"]
DOES_ITS_PART = "The drive asks for {asked} and the coil gets the current for it: drive and coil do their part."


def picture(fitted: list[Fitted], pressure: Reading, target: Reading, tolerance: Reading) -> Picture:
    """All that was read, put together. tolerance: of the pressure, as a share of the target."""
    shown, due = pressure.to("bar"), target.to("bar")
    state = pressure_state(shown.value, hypot(shown.u, due.u), due.value, tolerance.number("1") * due.value)
    current = together_current([each.current for each in fitted], state)
    return Picture(
        [each.valve for each in fitted], state, together_asks([each.asks for each in fitted]), current,
        whose=[each.name() for each in fitted if each.current is current],
        find_asks=tuple(dict.fromkeys(test for each in fitted for test in each.find_asks())),
        find_current=tuple(dict.fromkeys(test for each in fitted for test in each.find_current())),
        current_flows=not any(each.no_current for each in fitted),
    )  # fmt: skip


def pointed(pointer: Pointer, seen: Picture) -> list[Finding]:
    """The pointer as findings, no stronger than it is; where the control does its part, that is a finding of its own.

    Hydraulic with the stage open stands as undecided: any of the four stages may be at its root.
    """
    following = joined(pointer.test_next)
    if pointer.sensor_open:
        return [
            Finding("storage", "control", SENSOR_OPEN, "undecided", pointer.test_next[0]),
            Finding("generation", "hydraulic", pointer.statement, "undecided", following),
        ]
    sure = pointer.strength == INDICATES and not pointer.stage_open
    statement = joined([pointer.statement, STAGE_OPEN], " ") if pointer.stage_open else pointer.statement
    side: Side = "hydraulic" if pointer.side == "hydraulic" else "control"
    found = [Finding("generation", side, statement, "indicated" if sure else "undecided", following)]
    if pointer.control_does_its_part:
        part = Message(DOES_ITS_PART, asked=seen.asked_word())
        judged = [] if seen.sensor_checked else [Message("The sensor is not judged here.")]
        found.append(Finding("generation", "control", joined([part, *judged], " "), "cleared"))
    return found
