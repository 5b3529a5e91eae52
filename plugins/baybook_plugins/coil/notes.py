"""What inputs have to fulfil together, notes and steps: what the declaration calls on."""

from __future__ import annotations

from collections.abc import Iterator

from baybook.api import Message, Problem, Reading, Step, Verdict, Word

from .meter import Meter, Winding

LEADS_LEFT_IN = Message(
    "What the leads have was not said: 0 to 0.3 ohm was taken (common practice). Touch the tips together, read, and give it as "
    "leads (0 ohm if the meter was zeroed so, 0 ± 0 ohm with four wires)."
)
STANDS_IN = Message("The meter's accuracy stands in for the last digit of what it showed.")
SAME_METER = Message("Coil and leads were taken as read on the same meter: its error counts once in their difference.")
LOOSELY = Message(
    "The coil's temperature was taken as ± 5 °C (common practice): a coil is seldom known to half a degree. Type its ± where "
    "it is, as after a night's standing."
)
FOUR_WIRES = Message(
    "Below 1 ohm the contact of two tips is as large as a fault: judge such a coil with four wires only (leads 0 ± 0 ohm), and "
    "take this for no more than a first look."
)
PIEZO = Message("Not for piezo injectors: they are no coil, hold their charge, and are not measured with an ohmmeter.")
TRAP = (
    "The bare reading of {raw} ohm, leads and warmth left in and without its uncertainty, would have been called {bare}: it is "
    "{verdict}."
)


def one_reading(
    reading: Reading | None, over_range: bool, supply: Reading | None, measured_current: Reading | None
) -> Iterator[Problem]:
    """A resistance, or over-range, or the current alone."""
    if not over_range and reading is None and not (supply and measured_current):
        would_do = "give what the meter shows, such as 3.1 ohm, or over_range; or supply, duty and measured_current alone"
        yield Problem("reading", None, "is missing", would_do)


def notes(
    reading: Reading, leads: Reading | None, meter: Meter, winding: Winding, part: str | None, verdict: Verdict | None
) -> Iterator[Message]:
    """What was taken for granted, and what the bare reading would have been taken for."""
    if part == "injector":
        yield PIEZO
    if winding.is_first_look(verdict.way if verdict else ""):
        yield FOUR_WIRES
    if leads is None:
        yield LEADS_LEFT_IN
    elif meter.accuracy or meter.digits:
        yield SAME_METER
    if (meter.digits or meter.resolution) and (reading.assumed or (leads and leads.assumed)):
        yield STANDS_IN
    if verdict and winding.state == "readable":
        yield from trap(reading.number("ohm"), verdict)


def trap(raw: float, verdict: Verdict) -> Iterator[Message]:
    """Say what the bare reading, in ohm, would have been taken for, where that is another verdict."""
    ohm = verdict.range.to("ohm")
    inside = (ohm.low is None or raw >= ohm.low) and (ohm.high is None or raw <= ohm.high)
    bare = "within" if inside else "outside"
    if bare != verdict.verdict:
        yield Message(TRAP, raw=raw, bare=Word(bare, "verdict"), verdict=Word(verdict.verdict, "verdict"))


def resistance_steps(winding: Winding, temperature: Reading, spec_temperature: Reading) -> tuple[Step, ...]:
    """Leads taken off, then copper corrected."""
    t, t_s = (f"{each.number('°C'):g}" for each in (temperature, spec_temperature))
    read = {"reading": winding.reading, "leads": winding.leads}
    return Step("R", numbers=read), Step("R_s", numbers={"t": t, "t_s": t_s})
