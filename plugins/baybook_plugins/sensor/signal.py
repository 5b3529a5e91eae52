"""Whether the voltage of a signal can be a pressure at all; where not, what that says of wire, plug and sensor."""

from __future__ import annotations

from typing import NamedTuple

from baybook.api import WIRES, Answer, Estimate, Finding, Message, Reading, Word, propagate

from .method import NO_SIGNAL, SHORTED
from .model import Line

EMPTIED = Message(
    "this sensor cannot prove zero: key off, full waiting time, rail emptied the maker's way, a second means shows zero"
)
BROKEN = Message(
    "{first}; plug, wires end to end, to ground and to supply, {wires}; then the sensor by exchange", first=EMPTIED, wires=WIRES
)
WHERE_FROM = Message(
    "{first}; sensor's plug off; then, key on, engine stopped, the volts on its signal wire: where they stay the wire is "
    "shorted, where they go the plug or the sensor",
    first=EMPTIED,
)
OUT_OF_RANGE = "The signal is {share} of the supply, {state}: no pressure gives that. A wire, a plug, or the sensor."
ABOVE = (
    "The signal of {volts} lies above the sensor's own supply, which no sensor gives: its wire is shorted to the battery's "
    "supply, or wires are changed over."
)
SURE = 0.999
"""How sure it is that such a voltage is none of a pressure, which no meter mistakes. Common practice, no source."""


class Signal(NamedTuple):
    """Its state, with what it says where no pressure gives it."""

    state: str = "not measured"
    findings: tuple[Finding, ...] = ()
    answers: tuple[Answer, ...] = ()

    @classmethod
    def of(cls, line: Line, each: tuple[Reading | None, ...], seen_by: Reading) -> Signal:
        """Of one or more voltages of the same wire: the first that is out of range, else the first."""
        found = [cls._of(line, volts, seen_by) for volts in each if volts is not None]
        return next((one for one in found if one.findings), found[0] if found else cls())

    @classmethod
    def _of(cls, line: Line, volts: Reading, seen_by: Reading) -> Signal:
        share = propagate(lambda u, ref: 100 * u / ref, "%", u=volts.to("V"), ref=seen_by.to("V"))
        state = line.state(share.value / 100)
        if state == "in range":
            return cls(state)
        if state == "above supply":
            statement, then, question = Message(ABOVE, volts=Estimate.from_reading(volts)), WHERE_FROM, SHORTED
        else:
            statement, then, question = Message(OUT_OF_RANGE, share=share, state=Word(state, "state")), BROKEN, NO_SIGNAL
        finding = Finding("", "", statement, "indicated", then, part="rail sensor")
        return cls(state, (finding,), (Answer(question, 1 - SURE, said=Message("a signal that no pressure gives")),))
