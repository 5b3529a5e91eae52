"""The current part of the coil calculator: what supply, coil and duty give, against what was measured."""

from __future__ import annotations

from typing import NamedTuple

from baybook.api import Estimate, InputError, Message, Problem, Reading, Result, SpecRange, Step, judge, propagate
from baybook_physics.coil import circuit_resistance, mean_current, ripple

from .findings import current_finding, range_finding
from .meter import Winding

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


def currents(supply: float, duty: float, diode: float, measured: float, **circuit: float) -> dict[str, float]:
    """The currents in A by the names of the outputs; with `inductance` and `frequency` (H, Hz) the lowest and highest too.

    circuit: in ohm, what was read of the coil (`reading`, `leads`, and the meter's `error` in their difference), and `series`.
    """
    whole = circuit["reading"] - circuit["leads"] - circuit["error"] + circuit["series"]
    found = {"full_current": supply / whole}
    if "inductance" in circuit:
        low, high, mean, _ = ripple(duty, supply, whole, diode, circuit["inductance"], circuit["frequency"])
        found |= {"lowest_current": low, "highest_current": high}
    else:
        mean = mean_current(duty, supply, whole, diode).mean
    return {**found, "mean_current": mean, "current_difference": measured - mean}


class Drive(NamedTuple):
    """What drives the coil: the winding as measured, the resistance in series, supply, duty, diode; what else is known."""

    winding: Winding
    series: Reading
    supply: Reading
    duty: Reading
    diode: Reading
    inductance: Reading | None
    frequency: Reading | None
    measured: Reading | None

    def inputs(self) -> dict[str, Reading | float]:
        """The same in ohm, V, A, H, Hz and shares of one, by the names of `currents`."""
        given: dict[str, Reading | float] = {
            **self.winding.inputs(), "series": self.series.to("ohm"), "supply": self.supply.to("V"), "duty": self.duty.to("1"),
            "diode": self.diode.to("V"), "measured": self.measured.to("A") if self.measured else 0.0,
        }  # fmt: skip
        if self.pulsed and self.inductance and self.frequency:
            given |= {"inductance": self.inductance.to("H"), "frequency": self.frequency.to("Hz")}
        return given

    @property
    def whole(self) -> float:
        """The resistance of the whole circuit, in ohm."""
        return self.winding.alone + self.series.number("ohm")

    @property
    def pulsed(self) -> bool:
        """Whether the supply is switched off for part of the time."""
        return self.duty.number("1") < 1

    @property
    def continuous(self) -> bool:
        """Whether the current never falls to zero, as far as the inductance is known."""
        numbers = self.duty.number("1"), self.supply.number("V"), self.whole, self.diode.number("V")
        if self.inductance and self.frequency:
            return ripple(*numbers, self.inductance.number("H"), self.frequency.number("Hz")).continuous
        return mean_current(*numbers).continuous

    def result(self, limit: SpecRange | None) -> Result:
        """Outputs, verdict, finding, notes and steps of the current."""
        found = self.expected()
        mean = found.get("mean_current")
        result = against_limit(self.measured, mean, limit)
        differs = (current_finding(found["current_difference"], mean),) if mean and "current_difference" in found else ()
        whole = {"R_c": f"{self.whole:.4g} ohm"}
        steps = [Step("full_current", numbers=whole)]
        if self.pulsed and mean and found.get("lowest_current", mean).value > 0:
            steps.append(Step("mean_current", numbers={**whole, "D": f"{self.duty.number('1'):g}"}))
        return Result(found, result.verdicts, (*differs, *result.findings), self.notes(), tuple(steps))

    def expected(self) -> dict[str, Estimate]:
        """The currents with their intervals; the mean is left out where it takes inductance and frequency to know it."""
        given = self.inputs()
        known = ["full_current"]
        if "inductance" in given:
            known += ["lowest_current", "highest_current", "mean_current"]
        elif self.continuous or not self.pulsed:
            known.append("mean_current")
        if self.measured and "mean_current" in known:
            known.append("current_difference")
        return propagate(currents, dict.fromkeys(known, "A"), **given)

    def notes(self) -> tuple[str, ...]:
        """What the currents take for granted."""
        if not self.pulsed:
            return (WARMS,)
        if self.inductance is None or self.frequency is None:
            return (WARMS, CONTINUOUS if self.continuous else TOO_SHORT)
        return (WARMS,) if self.continuous else (WARMS, BROKEN)


def against_limit(measured: Reading | None, mean: Estimate | None, limit: SpecRange | None) -> Result:
    """The measured current, or the expected one where none was measured, against the user's range."""
    judged = Estimate.from_reading(measured.to("A")) if measured else mean
    if limit is None or judged is None:
        return Result({})
    verdict = judge(Message("measured current") if measured else Message("expected mean current"), judged, limit)
    return Result({}, (verdict,), (range_finding(measured, verdict),) if measured else ())


def by_current(supply: Reading, duty: Reading, diode: Reading, measured: Reading, limit: SpecRange | None) -> Result:
    """Without an ohmmeter: the resistance of coil and circuit together that mean current and duty say.

    Raises InputError where there is no current, or a duty too short for the formula.
    """
    given = {"supply": supply.to("V"), "duty": duty.to("1"), "diode": diode.to("V"), "measured": measured.to("A")}
    try:
        found = propagate(lambda **each: {"r": circuit_resistance(**each)}, {"r": "ohm"}, **given)["r"]
    except (ArithmeticError, ValueError) as error:
        would_do = "give the mean current that flows, and a duty at which it does not rest; else measure the resistance"
        raise InputError([Problem("measured_current", str(measured), "says no resistance at this duty", would_do)]) from error
    numbers = {"D": f"{duty.number('1'):g}", "U": supply, "U_f": diode, "I": measured}
    what = Message("coil and circuit together, from the mean current")
    step = Step(what, "R_c = (D · U − (1 − D) · U_f) / I", numbers, found)
    alone = Result({"circuit_resistance": found, "state": "not measured"}, notes=(BY_CURRENT,), steps=(step,))
    return alone.with_(against_limit(measured, None, limit))
