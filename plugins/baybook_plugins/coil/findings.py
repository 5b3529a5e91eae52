"""What a coil's resistance and current say in words."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from baybook.api import Estimate, Finding, Message, Reading, Result, SpecRange, Verdict

PART_STAGE = {"injector": "delivery", "inlet-valve": "generation", "outlet-valve": "generation", "supply-valve": "supply"}
OF_PART = {
    "injector": "Injector coil: {said}",
    "inlet-valve": "Inlet valve coil: {said}",
    "outlet-valve": "Outlet valve coil: {said}",
    "supply-valve": "Supply valve coil: {said}",
    None: "Coil: {said}",
}
OF_NUMBER = {
    "injector": "Injector {number} coil: {said}",
    "inlet-valve": "Inlet valve {number} coil: {said}",
    "outlet-valve": "Outlet valve {number} coil: {said}",
    "supply-valve": "Supply valve {number} coil: {said}",
}

CONTACT = Message("touch the lead tips together to prove the meter, then measure at the coil's own pins, key off")
WIRING = (
    "load the circuit and measure the voltage drop along both wires and at the plug, at the control unit's end too, on leads "
    "fitted with the key off"
)
DRIVE = (
    "look at the drive with an oscilloscope: pulses, supply while loaded, and the current with a clamp round one wire, on "
    "leads fitted with the key off"
)
FINER = Message("measure with a finer range or four wires, and take the coil's temperature more closely")
FINER_DIGITS = Message(
    "type in every digit that the meter shows; measure with a finer range or four wires, and take the coil's temperature more "
    "closely"
)
NEED_LIMIT = Message("find the range and its temperature in the maker's data, and type it in with its source")
LEADS_FIRST = "touch the lead tips together, read, and give it as leads: they may have all of the difference; {then}"
WHICH_KIND = Message(
    "find out in the maker's data whether it is a piezo injector, which no ohmmeter judges; of a solenoid one type in the "
    "limit, prove the leads tip to tip and measure at its own pins, key off"
)
DEAD = Message(
    "key off: fit insulated leads and a clamp, prove the clamp on a wire that carries current; then look whether supply, "
    "ground and drive are there; key off again: see whether both wires lead through; along a dead wire a voltage drop reads "
    "0 V and clears nothing"
)
UNTESTED_NEXT = Message(
    "measure from each pin to the housing, key off: it should show over-range; then wiring and driver, then the moving part"
)
DRIVEN_NEXT = Message(
    "measure from each pin to the housing, key off: it should show over-range; test the moving part and the hydraulic side"
)
DEAD_BELOW = 0.95
"""Where this share of the expected current lacks, none flows. common practice, no source."""
MOVING = Message("test the moving part and the hydraulic side")
STATES = {
    "open": Message("No current path: the winding, a pin or the measuring lead is broken."),
    "piezo": Message("No current path that a coil has. A piezo injector reads so when it is sound, and is no coil."),
    "short": Message("Next to no resistance: the winding or the plug is bridged, or the lead tips touch."),
    "unresolved": Message("This reading cannot be told from zero: a short, or a coil finer than this meter resolves."),
}
WITHIN_DRIVEN = (
    "{found} at the spec's temperature, this coil's resistance is within {limit}. Insulation and the moving part are untested."
)
WITHIN = (
    "{found} at the spec's temperature, this coil's resistance is within {limit}. Wiring, driver, insulation and the moving "
    "part are untested."
)
TOO_LOW = (
    "{found} at the spec's temperature is outside {limit}: too low: turns shorted, another part number, or more taken off for "
    "the leads than they have."
)
TOO_HIGH = (
    "{found} at the spec's temperature is outside {limit}: too high: a corroded pin or plug, a strand breaking, another part "
    "number, or a coil hotter than was taken."
)
NO_CURRENT = (
    "no current flows where {expected} is due: an open circuit in plug, wire or coil, no supply or ground, no drive, or a "
    "clamp that is not round one wire."
)
LESS = (
    "{size} A less than the {expected} expected: resistance in wiring, plugs or driver, a lower supply at the coil, or a "
    "shorter duty than was taken."
)
MORE = (
    "{size} A more than the {expected} expected: shorted turns, a longer duty than was taken, or a clamp that was not zeroed."
)


class Whose(NamedTuple):
    """Whose coil it is, and which one; None where it was not said."""

    part: str | None
    number: int | None

    def finding(self, said: Message, strength: str, next_test: str) -> Finding:
        """A finding on its part's stage, control side."""
        if self.part and self.number is not None:
            words = Message(OF_NUMBER[self.part], number=self.number, said=said)
        else:
            words = Message(OF_PART[self.part], said=said)
        stage = PART_STAGE.get(self.part or "", "generation")  # `placed` takes it off again where it was not said
        return Finding(stage, "control", words, strength, next_test)  # type: ignore[arg-type]  # (of the words above)


def state_finding(whose: Whose, state: str, limit: SpecRange | None) -> Finding:
    """The finding for a coil that is open, short or unresolved; limit: which an injector that is a coil has in ohm."""
    if state == "open" and whose.part == "injector" and limit is None:
        return whose.finding(STATES["piezo"], "undecided", WHICH_KIND)
    if state == "unresolved":
        return whose.finding(STATES[state], "undecided", FINER_DIGITS)
    return whose.finding(STATES[state], "indicated", CONTACT)


def resistance_finding(whose: Whose, found: Estimate, verdict: Verdict | None, *, driven: bool, leads_known: bool) -> Finding:
    """The finding for a coil that has a resistance, by its verdict.

    driven: its current was measured and is right. Only then does a good resistance clear the control side at this coil: by
    itself it leaves wiring and driver open.
    """
    if verdict is None:
        words = Message("{found} at the spec's temperature; without a limit it has no verdict.", found=found)
        return whose.finding(words, "undecided", NEED_LIMIT)
    limit = verdict.range
    if verdict.verdict == "within":
        words = Message(WITHIN_DRIVEN if driven else WITHIN, found=found, limit=limit)
        return whose.finding(words, "cleared" if driven else "undecided", DRIVEN_NEXT if driven else UNTESTED_NEXT)
    then = FINER if verdict.verdict == "undecided" else CONTACT
    tests = then if leads_known else Message(LEADS_FIRST, then=then)
    if verdict.verdict == "undecided":
        unsure = Message(
            "{found} at the spec's temperature: a limit of {limit} lies within the uncertainty.", found=found, limit=limit
        )
        return whose.finding(unsure, "undecided", tests)
    low = limit.to(found.unit).low
    too_low = low is not None and found.value < low
    return whose.finding(Message(TOO_LOW if too_low else TOO_HIGH, found=found, limit=limit), "indicated", tests)


def current_finding(whose: Whose, difference: Estimate, expected: Estimate) -> Finding:
    """The finding for a measured current against the expected one."""
    if difference.low <= 0 <= difference.high:
        words = Message("the measured current agrees with the {expected} that supply, coil and duty give.", expected=expected)
        agreed = Message("the coil is driven as asked: test the moving part and the hydraulic side")
        return whose.finding(words, "cleared", agreed)
    if -difference.value > DEAD_BELOW * expected.value:
        return whose.finding(Message(NO_CURRENT, expected=expected), "indicated", DEAD)
    size = float(f"{abs(difference.value):.2g}")
    if difference.value < 0:
        return whose.finding(Message(LESS, size=size, expected=expected), "indicated", Message(WIRING))
    return whose.finding(Message(MORE, size=size, expected=expected), "indicated", Message(DRIVE))


def range_finding(whose: Whose, measured: Reading, verdict: Verdict) -> Finding:
    """The finding for a measured current against the user's range."""
    told: dict[str, Reading | SpecRange] = {"measured": measured, "limit": verdict.range}
    if verdict.verdict == "within":
        return whose.finding(Message("the measured current of {measured} is within {limit}.", **told), "cleared", MOVING)
    if verdict.verdict == "undecided":
        words = Message("the measured current of {measured}: a limit of {limit} lies within the uncertainty.", **told)
        finer = Message("measure the current more closely, the clamp zeroed, round one wire")
        return whose.finding(words, "undecided", finer)
    low = verdict.range.to("A").low
    dead = low is not None and measured.number("A") < (1 - DEAD_BELOW) * low
    tests = DEAD if dead else Message("{wiring}; {drive}", wiring=Message(WIRING), drive=Message(DRIVE))
    return whose.finding(Message("the measured current of {measured} is outside {limit}.", **told), "indicated", tests)


def placed(result: Result, part: str | None) -> Result:
    """The result as it is where it was said whose coil it is; else its findings as notes, for no stage may be guessed."""
    if part is not None or not result.findings:
        return result
    words = [
        Message("{said} Next: {tests}.", said=Message.of(finding.statement), tests=Message.of(finding.next_test))
        for finding in result.findings
    ]
    why = Message("Whose coil it is was not said (part), so this is no finding on any stage.")
    return replace(result, findings=(), notes=(*words, why, *result.notes))
