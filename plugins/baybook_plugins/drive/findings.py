"""What a current outside its range says: at which part, which side, and what next."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Literal

from baybook.api import WIRES, Estimate, Finding, Message, SpecRange, Verdict, Word
from baybook_physics.coil import NO_CURRENT, undriven

COIL = Message(
    "engine stopped, rail seen to fall to zero, key off: measure the coil at its own pins (calculator coil), clean its contacts"
)
DROP = Message(
    "engine stopped, rail seen to fall to zero, key off: both wires end to end and to ground, {wires}; then the supply under "
    "load",
    wires=WIRES,
)
DRIVER = Message("the same at a like part: where that is right, coil and wiring; where it is alike, driver and control unit")
SAYS: Mapping[tuple[str, str], tuple[str, Message]] = {
    ("resistance_at_20", "above"): ("a contact, a breaking strand, a driver that drops too much, or the coil", COIL),
    ("resistance_at_20", "below"): ("shorted turns, another part, or a coil that is colder than typed", COIL),
    ("mean_current", "above"): ("more duty, more supply, or a coil with shorted turns", COIL),
    ("mean_current", "below"): ("less duty, less supply, or resistance in coil, contacts or wires", DROP),
    ("peak_current", "above"): ("shorted turns in the coil, a driver that lets it rise too far, or the clamp is off", DRIVER),
    ("peak_current", "below"): ("resistance in coil, contacts or wires, a weak boost, or the clamp is off", DROP),
    ("hold_current", "above"): ("the driver holds too much", DRIVER),
    ("hold_current", "below"): ("the driver holds too little, or resistance in the circuit", DROP),
    ("inductance", "above"): ("another part, or a supply that is lower than typed", COIL),
    ("inductance", "below"): ("shorted turns, or a supply that is higher than typed", COIL),
    ("frequency", "above"): ("the control unit pulses it otherwise than stated: the data may be of another part", DRIVER),
    ("frequency", "below"): ("the control unit pulses it otherwise than stated: the data may be of another part", DRIVER),
    ("duty", "above"): ("the control asks for more than stated: see what it reacts to", DRIVER),
    ("duty", "below"): ("the control asks for less than stated: see what it reacts to", DRIVER),
}
OUT = "{what} of {value} is outside {limit}: {says}."
OPEN = "whether {what} of {value} is within {limit} cannot be told."
IN = "{what} of {value} is within {limit}: the circuit does its part here. Whether anything moves, this does not tell."
UNDRIVEN = "{current} at a duty of {duty}: no current flows where some is due: open coil, wire or plug, or not driven."
AS_STATED = "{what} of {value} is within {limit}: the control unit pulses it as stated, which clears no circuit by itself."
NO_PULSE = "{what} of {current}: no current flows where some is due: open coil, wire or plug, or not driven."
OPEN_FIRST = Message(
    "engine stopped, rail seen to fall to zero, key off: the clamp zeroed and round one wire, the coil at its own pins "
    "(calculator coil), both wires end to end and to ground, {wires}; then whether the others are driven, and its driver",
    wires=WIRES,
)
NONE = 0.05
"""Below this share of the least that it should be a current is none. Common practice, no source."""
DEAD = 0.05
"""The chance that such a circuit is sound after all. common practice, no source."""
UNJUDGED = (
    "{what} does not follow from these readings, and its limit judged nothing: a resistance needs duty, mean current, supply "
    "and temperature."
)
FINER = Message("a clamp that is zeroed and finer, a supply read at the coil, a temperature known better")


PULSES = ("duty", "frequency")
"""What the control unit makes of its own, whatever the circuit does."""


def dead(found: Mapping[str, Estimate], limits: Mapping[str, SpecRange | None]) -> str | None:
    """Which current shows that none flows: a mean at the duty that was read, or a peak or mean that is next to nothing of the
    least that it should be; a peak also where nothing is known of what it should be. None where some flows."""
    duty, mean = found.get("duty"), found.get("mean_current")
    if duty is not None and mean is not None and undriven(duty.to("1").value, mean.to("A").value):
        return "mean_current"
    for name, least in (("peak_current", NO_CURRENT), ("mean_current", 0.0)):
        limit = limits.get(name)
        due = limit.to("A").low if limit else None
        if name in found and found[name].to("A").value < max(least, NONE * (due or 0.0)):
            return name
    return None


def not_driven(found: Mapping[str, Estimate], what: str) -> Finding:
    """That no current flows; nothing else is to be said of such a circuit."""
    if what == "mean_current" and "duty" in found:
        told = Message(UNDRIVEN, current=found[what], duty=found["duty"])
        return Finding(statement=told, strength="indicated", next_test=DROP)
    told = Message(NO_PULSE, what=Word(what), current=found[what])
    return Finding(statement=told, strength="indicated", next_test=OPEN_FIRST)


def findings(verdicts: Iterable[Verdict]) -> Iterator[Finding]:
    """One for each verdict that may decide; duty and frequency accuse nothing for certain and clear nothing."""
    for verdict in verdicts:
        if verdict.probability is None:
            continue
        told: dict[str, Any] = {"what": Word(verdict.what), "value": verdict.measured, "limit": verdict.range}
        if verdict.way:
            says, following = SAYS[verdict.what, verdict.way]
            strength: Literal["undecided", "indicated"] = "undecided" if verdict.what in PULSES else "indicated"
            yield Finding(statement=Message(OUT, says=Message(says), **told), strength=strength, next_test=following)
        elif verdict.verdict == "within" and verdict.what in PULSES:
            yield Finding(statement=Message(AS_STATED, **told))
        elif verdict.verdict == "within":
            yield Finding(statement=Message(IN, **told), strength="cleared")
        else:
            yield Finding(statement=Message(OPEN, **told), next_test=FINER)
