"""The current part of the coil calculator: what supply, coil and duty give, against what was measured."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from baybook.api import Estimate, Finding, InputError, Problem, Reading, Result, SpecRange, Step, Verdict, judge, propagate
from baybook_physics.coil import circuit_resistance, mean_current, ripple

from .findings import Whose, current_finding, range_finding
from .meter import Winding
from .model import currents, ripples

CONTINUOUS = (
    "The mean current holds while the current never falls to zero between pulses; give coil_inductance and frequency "
    "to have that checked."
)
BROKEN = "The current falls to zero between pulses; the mean current takes that into account."
TOO_SHORT = (
    "The duty is too short for a current that never falls to zero: give coil_inductance and frequency for the mean current."
)
BY_CURRENT = (
    "Coil, plugs, wiring and driver together, as warm as they are, for a current that never falls to zero between pulses: "
    "compare it with a like coil in the same condition, not with a range for the coil alone."
)
WARMS = "A coil that carries current warms up: its current falls by about 0.4 % for each kelvin."


class Drive(NamedTuple):
    """What drives the coil: the winding as it was measured, the circuit's other resistance, supply, duty and diode."""

    winding: Winding
    circuit: Reading
    supply: Reading
    duty: Reading
    diode: Reading

    def inputs(self) -> dict[str, Reading | float]:
        """The same in ohm, V and shares of one, by the names of the model."""
        return {
            **self.winding.inputs(), "circuit": self.circuit.to("ohm"), "supply": self.supply.to("V"),
            "duty": self.duty.to("1"), "diode": self.diode.to("V"),
        }  # fmt: skip

    @property
    def resistance(self) -> float:
        """Of the coil and the rest of the circuit, in ohm."""
        return self.winding.alone + self.circuit.number("ohm")

    @property
    def pulsed(self) -> bool:
        """Whether the supply is switched off for part of the time."""
        return self.duty.number("1") < 1


def current_part(
    drive: Drive,
    inductance: Reading | None,
    frequency: Reading | None,
    measured: Reading | None,
    limit: SpecRange | None,
    whose: Whose,
) -> Result:
    """Outputs, verdict, finding, notes and steps of the current."""
    found = expected(drive, inductance, frequency, measured)
    mean = found.get("mean_current")
    verdicts, findings = against_limit(measured, mean, limit, whose)
    if mean and "current_difference" in found:
        findings = (current_finding(whose, found["current_difference"], mean), *findings)
    return Result({**found}, verdicts, findings, notes(drive, inductance, frequency), steps(drive, found))


def against_limit(
    measured: Reading | None, mean: Estimate | None, limit: SpecRange | None, whose: Whose
) -> tuple[tuple[Verdict, ...], tuple[Finding, ...]]:
    """The measured current, or the expected one where none was measured, against the user's range."""
    judged = Estimate.from_reading(measured.to("A")) if measured else mean
    if limit is None or judged is None:
        return (), ()
    verdict = judge("measured current" if measured else "expected mean current", judged, limit)
    return (verdict,), ((range_finding(whose, measured, verdict),) if measured else ())


def by_current(
    supply: Reading, duty: Reading, diode: Reading, measured: Reading, limit: SpecRange | None, whose: Whose
) -> Result:
    """Without an ohmmeter: the resistance of coil and circuit together that mean current and duty say.

    Raises InputError where there is no current, or a duty too short for the formula.
    """
    given = {"supply": supply.to("V"), "duty": duty.to("1"), "diode": diode.to("V"), "measured": measured.to("A")}
    try:
        found = propagate(lambda **each: {"r": circuit_resistance(**each)}, {"r": "ohm"}, **given)["r"]
    except (ArithmeticError, ValueError) as error:
        would_do = "give the mean current that flows, and a duty at which it does not rest; else measure the resistance"
        raise InputError([Problem("measured_current", str(measured), "says no resistance at this duty", would_do)]) from error
    verdicts, findings = against_limit(measured, None, limit, whose)
    numbers = {"D": f"{duty.number('1'):g}", "U": supply, "U_f": diode, "I": measured}
    step = Step("coil and circuit together, from the mean current", "R_c = (D · U - (1 - D) · U_f) / I", numbers, found)
    return Result({"circuit_resistance": found, "state": "not measured"}, verdicts, findings, (BY_CURRENT,), (step,))


def expected(
    drive: Drive, inductance: Reading | None, frequency: Reading | None, measured: Reading | None
) -> dict[str, Estimate]:
    """The currents with their intervals; the mean is left out where it cannot be known without inductance and frequency."""
    units = {"full_current": "A", "mean_current": "A"} | ({"current_difference": "A"} if measured else {})
    inputs = drive.inputs()
    found = propagate(currents, units, **inputs, measured=measured.to("A") if measured else 0.0)
    if inductance and frequency and drive.pulsed:
        return found | rippled(drive, inductance, frequency, measured)
    if drive.pulsed and not _continuous(drive):
        return {"full_current": found["full_current"]}
    return found


def rippled(drive: Drive, inductance: Reading, frequency: Reading, measured: Reading | None) -> dict[str, Estimate]:
    """Lowest, highest and mean current of a period, and the difference of the measured one from that mean."""
    names = ("lowest_current", "highest_current", "mean_current") + (("current_difference",) if measured else ())
    return propagate(
        ripples, dict.fromkeys(names, "A"), **drive.inputs(), inductance=inductance.to("H"), frequency=frequency.to("Hz"),
        measured=measured.to("A") if measured else 0.0,
    )  # fmt: skip


def _continuous(drive: Drive) -> bool:
    duty, supply, diode = drive.duty.number("1"), drive.supply.number("V"), drive.diode.number("V")
    return mean_current(duty, supply, drive.resistance, diode).continuous


def notes(drive: Drive, inductance: Reading | None, frequency: Reading | None) -> tuple[str, ...]:
    """What the currents take for granted."""
    if not drive.pulsed:
        return (WARMS,)
    if inductance is None or frequency is None:
        return (WARMS, CONTINUOUS if _continuous(drive) else TOO_SHORT)
    duty, supply, diode = drive.duty.number("1"), drive.supply.number("V"), drive.diode.number("V")
    period = ripple(duty, supply, drive.resistance, diode, inductance.number("H"), frequency.number("Hz"))
    return (WARMS,) if period.continuous else (WARMS, BROKEN)


def steps(drive: Drive, found: dict[str, Estimate]) -> tuple[Step, ...]:
    """U over R, then the mean at the duty where the current is continuous."""
    whole = f"{drive.resistance:.4g} ohm"
    worked = [Step("current with the supply held on", "I_full = U / R", {"U": drive.supply, "R": whole}, found["full_current"])]
    if drive.pulsed and "mean_current" in found and found.get("lowest_current", found["mean_current"]).value > 0:
        share = f"{drive.duty.number('1'):g}"
        numbers: dict[str, Reading | str] = {"D": share, "U": drive.supply, "U_f": drive.diode, "R": whole}
        worked.append(Step("mean current at the duty", "I = (D · U - (1 - D) · U_f) / R", numbers, found["mean_current"]))
    return tuple(worked)


def add(first: Result, second: Result) -> Result:
    """Both results in one, the second's after the first's."""
    return replace(
        first, outputs={**first.outputs, **second.outputs}, verdicts=first.verdicts + second.verdicts,
        findings=first.findings + second.findings, notes=first.notes + second.notes, steps=first.steps + second.steps,
    )  # fmt: skip
