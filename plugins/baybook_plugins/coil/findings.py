"""What a coil's resistance and current say in words."""

from __future__ import annotations

from baybook.api import OHMMETER, Estimate, Finding, Message, Reading, Result, SpecRange, Verdict, joined
from baybook.dataclass import replace

CONTACT = Message("touch the lead tips together to prove the meter, then measure at the coil's own pins, key off")
WIRING = Message(
    "load the circuit and measure the voltage drop along both wires and at the plug, at the control unit's end too, on leads "
    "fitted with the key off"
)
DRIVE = Message(
    "look at the drive with an oscilloscope: pulses, supply while loaded, and the current with a clamp round one wire, on "
    "leads fitted with the key off"
)
FINER = Message("measure with a finer range or four wires, and take the coil's temperature more closely")
FOUR_FIRST = Message(
    "measure again with four wires (leads 0 ± 0 ohm), at the coil's own pins, key off: below 1 ohm two wires prove nothing"
)
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
    "measure from each pin to the housing, key off, {ohmmeter}: it should show over-range; then wiring and driver, then the "
    "moving part",
    ohmmeter=OHMMETER,
)
DRIVEN_NEXT = Message(
    "measure from each pin to the housing, key off, {ohmmeter}: it should show over-range; test the moving part and the "
    "hydraulic side",
    ohmmeter=OHMMETER,
)
DEAD_BELOW = 0.95
"""Where this share of the expected current lacks, none flows. common practice, no source."""
MOVING = Message("test the moving part and the hydraulic side")
DRIVEN_AS_ASKED = Message("the coil is driven as asked: test the moving part and the hydraulic side")
CLOSER = Message("measure the current more closely, the clamp zeroed, round one wire")
STATES = {
    "open": Message("No current path: the winding, a pin or the measuring lead is broken."),
    "piezo": Message("No current path that a coil has. A piezo injector reads so when it is sound, and is no coil."),
    "short": Message("Next to no resistance: the winding or the plug is bridged, or the lead tips touch."),
    "unresolved": Message("This reading cannot be told from zero: a short, or a coil finer than this meter resolves."),
}
WITHOUT_LIMIT = "{found} at the spec's temperature; without a limit it has no verdict."
RESISTANCE = {
    "within": "{found} at the spec's temperature, this coil's resistance is within {limit}. Wiring, driver, insulation and the "
    "moving part are untested.",
    "below": "{found} at the spec's temperature is outside {limit}: too low: turns shorted, another part number, or more taken "
    "off for the leads than they have.",
    "above": "{found} at the spec's temperature is outside {limit}: too high: a corroded pin or plug, a strand breaking, "
    "another part number, or a coil hotter than was taken.",
    "undecided": "{found} at the spec's temperature: a limit of {limit} lies within the uncertainty.",
}
"""By verdict, or by the way in which it is outside."""
WITHIN_DRIVEN = (
    "{found} at the spec's temperature, this coil's resistance is within {limit}. Insulation and the moving part are untested."
)
RANGE = {
    "within": "the measured current of {measured} is within {limit}.",
    "outside": "the measured current of {measured} is outside {limit}.",
    "undecided": "the measured current of {measured}: a limit of {limit} lies within the uncertainty.",
}
NO_CURRENT = (
    "no current flows where {expected} is due: an open circuit in plug, wire or coil, no supply or ground, no drive, or a "
    "clamp that is not round one wire."
)
AGREES = "the measured current agrees with the {expected} that supply, coil and duty give."
LESS = (
    "{size} A less than the {expected} expected: resistance in wiring, plugs or driver, a lower supply at the coil, or a "
    "shorter duty than was taken."
)
MORE = (
    "{size} A more than the {expected} expected: shorted turns, a longer duty than was taken, or a clamp that was not zeroed."
)


def state_finding(part: str | None, state: str, limit: SpecRange | None) -> Finding:
    """The finding for a coil that is open, short or unresolved; limit: which an injector that is a coil has in ohm."""
    if state == "open" and part == "injector" and limit is None:
        return Finding(statement=STATES["piezo"], next_test=WHICH_KIND)
    if state == "unresolved":
        return Finding(statement=STATES[state], next_test=FINER_DIGITS)
    return Finding(statement=STATES[state], strength="indicated", next_test=CONTACT)


def resistance_finding(
    found: Estimate, verdict: Verdict | None, *, driven: bool, leads: Reading | None, first_look: bool
) -> Finding:
    """The finding for a coil that has a resistance, by its verdict.

    driven: its current was measured and is right. Only then does a good resistance clear the control side at this coil: by
    itself it leaves wiring and driver open. first_look: two wires on a coil below 1 ohm, which prove nothing.
    """
    if verdict is None:
        return Finding(statement=Message(WITHOUT_LIMIT, found=found), next_test=NEED_LIMIT, at_desk=True)
    told: dict[str, Estimate | SpecRange] = {"found": found, "limit": verdict.range}
    if verdict.verdict == "within" and driven:
        return Finding(statement=Message(WITHIN_DRIVEN, **told), strength="cleared", next_test=DRIVEN_NEXT)
    said = Message(RESISTANCE[verdict.way or verdict.verdict], **told)
    if verdict.verdict == "within":
        return Finding(statement=said, next_test=UNTESTED_NEXT)
    then = FOUR_FIRST if verdict.way and first_look else CONTACT if verdict.way else FINER
    tests = then if leads else Message(LEADS_FIRST, then=then)
    return Finding(statement=said, strength="indicated" if verdict.way else "undecided", next_test=tests)


def not_cleared(driven: Result) -> Result:
    """What the current says beside a winding that is outside its range: that clears nothing."""
    told = (
        replace(each, strength="undecided", next_test="") if each.strength == "cleared" else each for each in driven.findings
    )
    return replace(driven, findings=tuple(told))


def current_finding(difference: Estimate, expected: Estimate) -> Finding:
    """The finding for a measured current against the expected one."""
    if difference.low <= 0 <= difference.high:
        return Finding(statement=Message(AGREES, expected=expected), strength="cleared", next_test=DRIVEN_AS_ASKED)
    if -difference.value > DEAD_BELOW * expected.value:
        return Finding(statement=Message(NO_CURRENT, expected=expected), strength="indicated", next_test=DEAD)
    less = difference.value < 0
    said = Message(LESS if less else MORE, size=float(f"{abs(difference.value):.2g}"), expected=expected)
    return Finding(statement=said, strength="indicated", next_test=WIRING if less else DRIVE)


def range_finding(measured: Reading, verdict: Verdict) -> Finding:
    """The finding for a measured current against the user's range."""
    said = Message(RANGE[verdict.verdict], measured=measured, limit=verdict.range)
    if verdict.verdict != "outside":
        within = verdict.verdict == "within"
        return Finding(statement=said, strength="cleared" if within else "undecided", next_test=MOVING if within else CLOSER)
    low = verdict.range.to("A").low
    dead = low is not None and measured.number("A") < (1 - DEAD_BELOW) * low
    return Finding(statement=said, strength="indicated", next_test=DEAD if dead else joined([WIRING, DRIVE]))
