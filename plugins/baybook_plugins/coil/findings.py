"""What a coil's resistance and current say in words."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal, NamedTuple

from baybook.api import Estimate, Finding, Reading, Result, SpecRange, Verdict

PART_STAGE: dict[str, Literal["supply", "generation", "delivery"]] = {
    "injector": "delivery", "inlet-valve": "generation", "outlet-valve": "generation", "supply-valve": "supply",
}  # fmt: skip

CONTACT = "touch the lead tips together to prove the meter, then measure at the coil's own pins, key off"
HOUSING = "measure from each pin to the housing, key off: it should show over-range"
WIRING = (
    "load the circuit and measure the voltage drop along both wires and at the plug, at the control unit's end too, on leads "
    "fitted with the key off"
)
DRIVE = (
    "look at the drive with an oscilloscope: pulses, supply while loaded, and the current with a clamp round one wire, on "
    "leads fitted with the key off"
)
FINER = "measure with a finer range or four wires, and take the coil's temperature more closely"
NEED_LIMIT = "find the range and its temperature in the maker's data, and type it in with its source"
LEADS_FIRST = "touch the lead tips together, read, and give it as leads: they may have all of the difference"
WHICH_KIND = (
    "find out in the maker's data whether it is a piezo injector, which no ohmmeter judges; of a solenoid one type in the "
    "limit, prove the leads tip to tip and measure at its own pins, key off"
)
DEAD = (
    "key off: fit insulated leads and a clamp, prove the clamp on a wire that carries current; then look whether supply, "
    "ground and drive are there; key off again: see whether both wires lead through; along a dead wire a voltage drop reads "
    "0 V and clears nothing"
)
NO_CURRENT = (
    "no current flows where {} is due: an open circuit in plug, wire or coil, no supply or ground, no drive, or a clamp "
    "that is not round one wire"
)
TYPE_ALL = "type in every digit that the meter shows; "
MECHANICAL = "then wiring and driver, then the moving part"

DEAD_BELOW = 0.95
"""Where this share of the expected current lacks, none flows. common practice, no source."""
MOVING = "test the moving part and the hydraulic side"
FINER_CURRENT = "measure the current more closely, the clamp zeroed, round one wire"
UNTESTED = "Wiring, driver, insulation and the moving part are untested."
NOT_INSULATION = "Insulation and the moving part are untested."

STATE_WORDS = {
    "open": "No current path: the winding, a pin or the measuring lead is broken.",
    "piezo": "No current path that a coil has. A piezo injector reads so when it is sound, and is no coil.",
    "short": "Next to no resistance: the winding or the plug is bridged, or the lead tips touch.",
    "unresolved": "This reading cannot be told from zero: a short, or a coil finer than this meter resolves.",
}


class Whose(NamedTuple):
    """Whose coil it is, and which one; None where it was not said."""

    part: str | None
    number: int | None

    @property
    def stage(self) -> Literal["supply", "generation", "delivery"]:
        """The stage that its part belongs to."""
        return PART_STAGE[self.part] if self.part else "generation"  # `placed` takes it off again

    @property
    def name(self) -> str:
        """`Injector 3 coil`, `Inlet valve coil`, `Coil`."""
        if self.part is None:
            return "Coil"
        which = "" if self.number is None else f" {self.number}"
        return f"{self.part.replace('-', ' ').capitalize()}{which} coil"


def state_finding(whose: Whose, state: str, limit: SpecRange | None) -> Finding:
    """The finding for a coil that is open, short or unresolved; limit: which an injector that is a coil has in ohm."""
    if state == "open" and whose.part == "injector" and limit is None:
        return Finding(whose.stage, "control", f"{whose.name}: {STATE_WORDS['piezo']}", "undecided", WHICH_KIND)
    words = f"{whose.name}: {STATE_WORDS[state]}"
    if state == "unresolved":
        return Finding(whose.stage, "control", words, "undecided", f"{TYPE_ALL}{FINER}")
    return Finding(whose.stage, "control", words, "indicated", CONTACT)


def resistance_finding(whose: Whose, estimate: Estimate, verdict: Verdict | None, driven: bool, leads_known: bool) -> Finding:
    """The finding for a coil that has a resistance, by its verdict.

    driven: its current was measured and is right. Only then does a good resistance clear the control side at this coil: by
    itself it leaves wiring and driver open.
    """
    name = f"{whose.name}: {estimate.show()} at the spec's temperature"
    if verdict is None:
        return Finding(whose.stage, "control", f"{name}; without a limit it has no verdict.", "undecided", NEED_LIMIT)
    if verdict.verdict == "within":
        words = f"{name}, this coil's resistance is within {verdict.range.show()}. "
        if driven:
            return Finding(whose.stage, "control", f"{words}{NOT_INSULATION}", "cleared", f"{HOUSING}; {MOVING}")
        return Finding(whose.stage, "control", f"{words}{UNTESTED}", "undecided", f"{HOUSING}; {MECHANICAL}")
    if verdict.verdict == "undecided":
        words = f"{name}: a limit of {verdict.range.show()} lies within the uncertainty."
        return Finding(whose.stage, "control", words, "undecided", FINER if leads_known else f"{LEADS_FIRST}; {FINER}")
    words = f"{name} is outside {verdict.range.show()}: {_why(estimate, verdict.range)}"
    return Finding(whose.stage, "control", words, "indicated", CONTACT if leads_known else f"{LEADS_FIRST}; {CONTACT}")


def _why(estimate: Estimate, limits: SpecRange) -> str:
    low = limits.to(estimate.unit).low
    if low is not None and estimate.value < low:
        return "too low: turns shorted, another part number, or more taken off for the leads than they have."
    return "too high: a corroded pin or plug, a strand breaking, another part number, or a coil hotter than was taken."


def current_finding(whose: Whose, difference: Estimate, expected: Estimate) -> Finding:
    """The finding for a measured current against the expected one."""
    stage, name = whose.stage, whose.name
    if difference.low <= 0 <= difference.high:
        words = f"{name}: the measured current agrees with the {expected.show()} that supply, coil and duty give."
        return Finding(stage, "control", words, "cleared", f"the coil is driven as asked: {MOVING}")
    if -difference.value > DEAD_BELOW * expected.value:
        return Finding(stage, "control", f"{name}: {NO_CURRENT.format(expected.show())}.", "indicated", DEAD)
    if difference.value < 0:
        why = "resistance in wiring, plugs or driver, a lower supply at the coil, or a shorter duty than was taken"
        words = f"{name}: {-difference.value:.2g} A less than the {expected.show()} expected: {why}."
        return Finding(stage, "control", words, "indicated", WIRING)
    why = "shorted turns, a longer duty than was taken, or a clamp that was not zeroed"
    words = f"{name}: {difference.value:.2g} A more than the {expected.show()} expected: {why}."
    return Finding(stage, "control", words, "indicated", DRIVE)


def range_finding(whose: Whose, measured: Reading, verdict: Verdict) -> Finding:
    """The finding for a measured current against the user's range."""
    name = f"{whose.name}: the measured current of {measured}"
    if verdict.verdict == "within":
        return Finding(whose.stage, "control", f"{name} is within {verdict.range.show()}.", "cleared", MOVING)
    if verdict.verdict == "undecided":
        words = f"{name}: a limit of {verdict.range.show()} lies within the uncertainty."
        return Finding(whose.stage, "control", words, "undecided", FINER_CURRENT)
    low = verdict.range.to("A").low
    dead = low is not None and measured.number("A") < (1 - DEAD_BELOW) * low
    tests = DEAD if dead else f"{WIRING}; {DRIVE}"
    return Finding(whose.stage, "control", f"{name} is outside {verdict.range.show()}.", "indicated", tests)


def trap(raw: float, limits: SpecRange | None, verdict: Verdict | None) -> str:
    """Say what the bare reading, in ohm, would have been taken for, where that is another verdict; else ""."""
    if limits is None or verdict is None:
        return ""
    ohm = limits.to("ohm")
    inside = (ohm.low is None or raw >= ohm.low) and (ohm.high is None or raw <= ohm.high)
    word = "within" if inside else "outside"
    if word == verdict.verdict:
        return ""
    return (
        f"The bare reading of {raw:g} ohm, leads and warmth left in and without its uncertainty, would have been called "
        f"{word}: it is {verdict.verdict}."
    )


def placed(result: Result, part: str | None) -> Result:
    """The result as it is where it was said whose coil it is; else its findings as notes, for no stage may be guessed."""
    if part is not None or not result.findings:
        return result
    words = [f"{finding.statement} Next: {finding.next_test}." for finding in result.findings]
    why = "Whose coil it is was not said (part), so this is no finding on any stage."
    return replace(result, findings=(), notes=(*words, why, *result.notes))
