"""The current part of the coil calculator: what supply, coil and duty give, against what was measured."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from baybook.api import (
    Estimate,
    Finding,
    InputError,
    Message,
    Problem,
    Reading,
    Result,
    SpecRange,
    Step,
    Verdict,
    judge,
    propagate,
)
from baybook_physics.coil import circuit_resistance, mean_current, ripple

from .findings import Whose, current_finding, range_finding
from .meter import Winding
from .model import currents, ripples

CONTINUOUS = Message(
    "The mean current holds while the current never falls to zero between pulses; give coil_inductance and frequency "
    "to have that checked."
)
BROKEN = Message("The current falls to zero between pulses; the mean current takes that into account.")
TOO_SHORT = Message(
    "The duty is too short for a current that never falls to zero: give coil_inductance and frequency for the mean current."
)
BY_CURRENT = Message(
    "Coil, plugs, wiring and driver together, as warm as they are, for a current that never falls to zero between pulses: "
    "compare it with a like coil in the same condition, not with a range for the coil alone."
)
WARMS = Message("A coil that carries current warms up: its current falls by about 0.4 % for each kelvin.")
MEASURED = Message("measured current")
EXPECTED = Message("expected mean current")


class Drive(NamedTuple):
    """What drives the coil: the winding as measured, the circuit's other resistance, supply, duty, diode; what is known."""

    winding: Winding
    circuit: Reading
    supply: Reading
    duty: Reading
    diode: Reading
    inductance: Reading | None
    frequency: Reading | None
    measured: Reading | None

    def inputs(self) -> dict[str, Reading | float]:
        """The same in ohm, V, A and shares of one, by the names of the model."""
        return {
            **self.winding.inputs(), "circuit": self.circuit.to("ohm"), "supply": self.supply.to("V"),
            "duty": self.duty.to("1"), "diode": self.diode.to("V"),
            "measured": self.measured.to("A") if self.measured else 0.0,
        }  # fmt: skip

    @property
    def numbers(self) -> tuple[float, float, float, float]:
        """Duty, supply in V, resistance of the whole circuit in ohm, diode in V."""
        whole = self.winding.alone + self.circuit.number("ohm")
        return self.duty.number("1"), self.supply.number("V"), whole, self.diode.number("V")

    @property
    def pulsed(self) -> bool:
        """Whether the supply is switched off for part of the time."""
        return self.duty.number("1") < 1

    @property
    def continuous(self) -> bool:
        """Whether the current never falls to zero, as far as the inductance is known."""
        if self.inductance and self.frequency:
            return ripple(*self.numbers, self.inductance.number("H"), self.frequency.number("Hz")).continuous
        return mean_current(*self.numbers).continuous

    def result(self, limit: SpecRange | None, whose: Whose) -> Result:
        """Outputs, verdict, finding, notes and steps of the current."""
        found = self.expected()
        mean = found.get("mean_current")
        verdicts, findings = against_limit(self.measured, mean, limit, whose)
        if mean and "current_difference" in found:
            findings = (current_finding(whose, found["current_difference"], mean), *findings)
        whole = {"R_c": f"{self.numbers[2]:.4g} ohm"}
        steps = [Step("full_current", numbers=whole)]
        if self.pulsed and mean and found.get("lowest_current", mean).value > 0:
            steps.append(Step("mean_current", numbers={**whole, "D": f"{self.numbers[0]:g}"}))
        return Result({**found}, verdicts, findings, self.notes(), tuple(steps))

    def expected(self) -> dict[str, Estimate]:
        """The currents with their intervals; the mean is left out where it takes inductance and frequency to know it."""
        difference = ("current_difference",) if self.measured else ()
        units = dict.fromkeys(("full_current", "mean_current", *difference), "A")
        found = propagate(currents, units, **self.inputs())
        if self.inductance and self.frequency and self.pulsed:
            units = dict.fromkeys(("lowest_current", "highest_current", "mean_current", *difference), "A")
            given = {"inductance": self.inductance.to("H"), "frequency": self.frequency.to("Hz")}
            return found | propagate(ripples, units, **self.inputs(), **given)
        if self.pulsed and not self.continuous:
            return {"full_current": found["full_current"]}
        return found

    def notes(self) -> tuple[str, ...]:
        """What the currents take for granted."""
        if not self.pulsed:
            return (WARMS,)
        if self.inductance is None or self.frequency is None:
            return (WARMS, CONTINUOUS if self.continuous else TOO_SHORT)
        return (WARMS,) if self.continuous else (WARMS, BROKEN)


def against_limit(
    measured: Reading | None, mean: Estimate | None, limit: SpecRange | None, whose: Whose
) -> tuple[tuple[Verdict, ...], tuple[Finding, ...]]:
    """The measured current, or the expected one where none was measured, against the user's range."""
    judged = Estimate.from_reading(measured.to("A")) if measured else mean
    if limit is None or judged is None:
        return (), ()
    verdict = judge(MEASURED if measured else EXPECTED, judged, limit)
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
        hint = "give the mean current that flows, and a duty at which it does not rest; else measure the resistance"
        raise InputError([Problem("measured_current", str(measured), "says no resistance at this duty", hint)]) from error
    verdicts, findings = against_limit(measured, None, limit, whose)
    numbers = {"D": f"{duty.number('1'):g}", "U": supply, "U_f": diode, "I": measured}
    what = Message("coil and circuit together, from the mean current")
    step = Step(what, "R_c = (D · U − (1 − D) · U_f) / I", numbers, found)
    return Result({"circuit_resistance": found, "state": "not measured"}, verdicts, findings, (BY_CURRENT,), (step,))


def joined(first: Result, second: Result) -> Result:
    """Both results in one, the second's after the first's."""
    return replace(
        first, outputs={**first.outputs, **second.outputs}, verdicts=first.verdicts + second.verdicts,
        findings=first.findings + second.findings, notes=first.notes + second.notes, steps=first.steps + second.steps,
    )  # fmt: skip
