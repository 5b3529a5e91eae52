"""What a coil's resistance and current say in words."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from baybook.api import Estimate, Finding, Result, SpecRange, Verdict

PART_STAGE: dict[str, Literal["supply", "generation", "delivery"]] = {
    "injector": "delivery", "inlet-valve": "generation", "outlet-valve": "generation", "supply-valve": "supply",
}  # fmt: skip

CONTACT = "touch the lead tips together to prove the meter, then measure at the coil's own pins, key off"
HOUSING = "measure from each pin to the housing, key off: it should show over-range"
WIRING = "load the circuit and measure the voltage drop along both wires and at the plug, at the control unit's end too"
DRIVE = "look at the drive with an oscilloscope: pulses, supply while loaded, and the current with a clamp"
FINER = "measure with a finer range or four wires, and take the coil's temperature more closely"
NEED_LIMIT = "find the range and its temperature in the maker's data, and type it in with its source"
MECHANICAL = "then the drive, then the moving part"

STATE_WORDS = {
    "open": "No current path: the winding, a pin or the measuring lead is broken.",
    "short": "Next to no resistance: the winding or the plug is bridged, or the lead tips touch.",
    "unresolved": "This reading cannot be told from zero: a short, or a coil finer than this meter resolves.",
}


def state_finding(part: str | None, state: str) -> Finding:
    """The finding for a coil that is open, short or unresolved."""
    words = f"{_name(part)}: {STATE_WORDS[state]}"
    if state == "unresolved":
        return Finding(_stage(part), "control", words, "undecided", FINER)
    return Finding(_stage(part), "control", words, "indicated", CONTACT)


def resistance_finding(part: str | None, estimate: Estimate, verdict: Verdict | None) -> Finding:
    """The finding for a coil that has a resistance, by its verdict."""
    stage, name = _stage(part), f"{_name(part)}: {estimate.show()} at the spec's temperature"
    if verdict is None:
        return Finding(stage, "control", f"{name}; without a limit it has no verdict.", "undecided", NEED_LIMIT)
    if verdict.verdict == "within":
        words = f"{name} is within {verdict.range.show()}. It says nothing about insulation, wiring, drive or a stuck part."
        return Finding(stage, "control", words, "cleared", f"{HOUSING}; {MECHANICAL}")
    if verdict.verdict == "undecided":
        words = f"{name}: a limit of {verdict.range.show()} lies within the uncertainty."
        return Finding(stage, "control", words, "undecided", FINER)
    return Finding(
        stage, "control", f"{name} is outside {verdict.range.show()}: {_why(estimate, verdict.range)}", "indicated", CONTACT
    )


def _why(estimate: Estimate, limits: SpecRange) -> str:
    low = limits.to(estimate.unit).low
    if low is not None and estimate.value < low:
        return "too low: turns shorted, another part number, or more taken off for the leads than they have."
    return "too high: a corroded pin or plug, a strand breaking, another part number, or a coil hotter than was taken."


def current_finding(part: str | None, difference: Estimate, expected: Estimate) -> Finding:
    """The finding for a measured current against the expected one."""
    stage, name = _stage(part), _name(part)
    if difference.low <= 0 <= difference.high:
        words = f"{name}: the measured current agrees with the {expected.show()} that supply, coil and duty give."
        return Finding(
            stage, "control", words, "cleared", "the coil is driven as asked: test the moving part and the hydraulic side"
        )
    if difference.value < 0:
        why = "resistance in wiring, plugs or driver, a lower supply at the coil, or a shorter duty than was taken"
        words = f"{name}: {-difference.value:.2g} A less than the {expected.show()} expected: {why}."
        return Finding(stage, "control", words, "indicated", WIRING)
    why = "shorted turns, a longer duty than was taken, or a clamp that was not zeroed"
    words = f"{name}: {difference.value:.2g} A more than the {expected.show()} expected: {why}."
    return Finding(stage, "control", words, "indicated", DRIVE)


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


def _stage(part: str | None) -> Literal["supply", "generation", "delivery"]:
    return PART_STAGE[part] if part else "generation"  # `placed` takes it off again


def _name(part: str | None) -> str:
    return f"{part.replace('-', ' ').capitalize()} coil" if part else "Coil"
