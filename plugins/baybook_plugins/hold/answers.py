"""Results of the hold test: outputs, verdict, findings, notes, worked steps and plots from the two estimates."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from baybook.api import Estimate, Finding, Plot, Reading, Result, Series, SpecRange, Step, Verdict, judge

from .chance import Interval
from .given import Given
from .two_readings import TwoReadingResult

if TYPE_CHECKING:
    from baybook.fuels import FuelModel

    from .find import Stretch
    from .summary import HoldEstimate

NEXT_LEAKS = (
    "find the way out without opening anything: collect the injector returns (calculator returns), then the return of the "
    "pressure control; look for wetness with the rail at zero, never by hand"
)
NEXT_TIGHT = "the loss of pressure is made elsewhere: supply and generation, or what opens only while the engine turns"
NEXT_UNDECIDED = "hold for longer, read the rail's temperature at the end, and measure the rail's volume better"
HEAT = "Part of any fall is cooling: fuel warm from compression, and the rail itself. It is taken off within its uncertainty."


def estimate(interval: Interval, unit: str, factor: float = 1.0) -> Estimate:
    """An interval as an output."""
    low, high = interval.low * factor, interval.high * factor
    return Estimate(min(max(interval.value * factor, low), high), unit, low, high)


def answer_two(
    found: TwoReadingResult, given: Given, fuel: FuelModel, limit: SpecRange | None, readings: tuple[Reading, Reading, Reading]
) -> Result:
    """The result of two readings."""
    outputs: dict[str, Estimate | str] = {
        "leak_at_line": estimate(found.leak_at_line, "mL/min"),
        "leak_collected": estimate(found.leak_collected, "mL/min"),
        "bulk_modulus": estimate(found.bulk_modulus, "MPa"),
        "equivalent_orifice": estimate(found.equivalent_orifice, "mm"),
        "cooling_fall": estimate(found.cooling_fall, "bar", 10.0),
        "law": "unknown",
    }
    collected = estimate(found.leak_collected, "mL/min")
    verdicts = (judge("leak, as collected", collected, limit),) if limit else ()
    leaks = found.leak_at_line.low > 0.0
    notes = [*_fuel_notes(fuel, given, found.mean_pressure), _where(given, found.mean_pressure), HEAT]
    notes.append("Two readings cannot tell the law of the leak. A capture, or a temperature at the end, narrows the interval.")
    if not leaks:
        notes.append(f"Cooling alone could explain the whole fall ({100 * found.tight_share:.0f} % of what is possible).")
    return Result(
        outputs=outputs, verdicts=verdicts, findings=(_finding(verdicts, leaks=leaks, tight=False),), notes=tuple(notes),
        steps=_two_steps(found, given, outputs, readings), sources=fuel.sources,
    )  # fmt: skip


def answer_capture(
    found: HoldEstimate, given: Given, fuel: FuelModel, limit: SpecRange | None, stretch: Stretch | None, samples: int
) -> Result:
    """The result of a capture or of many readings."""
    outputs: dict[str, Estimate | str] = {
        "leak_at_line": estimate(found.leak_at_line, "mL/min"),
        "leak_collected": estimate(found.leak_collected, "mL/min"),
        "bulk_modulus": estimate(found.bulk_modulus, "MPa"),
        "equivalent_orifice": estimate(found.equivalent_orifice, "mm"),
        "cooling_fall": estimate(found.cooling_fall, "bar", 10.0),
        "law": found.law,
        "mean_pressure": estimate(found.mean_pressure, "bar", 10.0),
        "smallest_leak": Estimate.of(found.smallest_leak, "mL/min", 0.1 * found.smallest_leak),
    }
    if found.exponent is not None:
        outputs["exponent"] = estimate(found.exponent, "1")
    if found.time_until is not None and math.isfinite(found.time_until.high):
        outputs["time_until"] = estimate(found.time_until, "s")
    verdicts = _verdict(found, limit)
    findings = (_finding(verdicts, leaks=found.leaks, tight=found.law == "none"),)
    return Result(
        outputs=outputs, verdicts=verdicts, findings=findings,
        notes=tuple(_capture_notes(found, given, fuel, stretch, samples)), steps=_capture_steps(found, given, outputs),
        plots=_plots(found), sources=fuel.sources,
    )  # fmt: skip


def _verdict(found: HoldEstimate, limit: SpecRange | None) -> tuple[Verdict, ...]:
    if limit is None:
        return ()
    inside = limit.to("mL/min")
    probability = found.conformity(inside.low, inside.high)
    return (judge("leak, as collected", estimate(found.leak_collected, "mL/min"), limit, probability=probability),)


def _finding(verdicts: tuple[Verdict, ...], *, leaks: bool, tight: bool) -> Finding:
    word = verdicts[0].verdict if verdicts else ""
    if word == "outside" and leaks:
        said = "the shut high-pressure side loses more than the limit; where it goes this test does not say"
        return Finding("storage", "hydraulic", said, "proven", NEXT_LEAKS)
    if word == "within":
        return Finding("storage", "hydraulic", "the shut high-pressure side holds within the limit", "cleared", NEXT_TIGHT)
    if word:
        return Finding(
            "storage",
            "hydraulic",
            "this test cannot tell on which side of the limit the leak lies",
            "undecided",
            NEXT_UNDECIDED,
        )
    if leaks:
        said = "the shut high-pressure side leaks; without a limit this test cannot say whether too much"
        return Finding("storage", "hydraulic", said, "undecided", "type in the limit from the maker's data; " + NEXT_LEAKS)
    if tight:
        return Finding("storage", "hydraulic", "no leak shows: cooling explains the fall", "cleared", NEXT_TIGHT)
    said = "whether the shut high-pressure side leaks cannot be told: cooling may explain the fall"
    return Finding("storage", "hydraulic", said, "undecided", NEXT_UNDECIDED)


def _fuel_notes(fuel: FuelModel, given: Given, mean_gauge: float) -> list[str]:
    said = fuel.extrapolating(given.temperature.number("°C"), mean_gauge + 0.101325)
    share = fuel.relative_uncertainty("isothermal_modulus", given.temperature.number("°C"), mean_gauge + 0.101325)
    notes = [f"Fuel: {fuel.title}; its stiffness here is known to ± {196 * share:.0f} % (95 %)."]
    return [*notes, *([said] if said else []), *fuel.notes]


def _where(given: Given, mean_gauge: float) -> str:
    at = "the mean pressure" if given.reference is None else given.reference.text
    return f"leak_at_line is for {10 * mean_gauge:.0f} bar, the mean; leak_collected for {at} and the stated fuel temperature."


def _capture_notes(found: HoldEstimate, given: Given, fuel: FuelModel, stretch: Stretch | None, samples: int) -> list[str]:
    notes = [*_fuel_notes(fuel, given, found.mean_pressure.value), _where(given, found.mean_pressure.value), HEAT]
    duration = found.curves.duration
    notes.append(f"Fitted: {samples} samples over {duration:.4g} s.")
    if stretch is not None:
        notes.append(f"The hold was found in the capture: {stretch.words()}.")
    laws = ", ".join(f"{name} {100 * share:.0f} %" for name, share in found.law_probabilities.items())
    notes.append(f"How likely each law is after this test: {laws}.")
    if not found.leaks:
        notes.append(
            f"This test does not resolve a leak; the smallest it could have shown is about {found.smallest_leak:.2g} mL/min."
        )
    if found.time_until is not None and not math.isfinite(found.time_until.high):
        notes.append("Part of what is possible does not reach the lower pressure within ten times this hold.")
    if found.growth > 1.3:
        notes.append(f"The fit leaves more than noise ({found.growth:.1f} times): something else moved the pressure too.")
    return notes


def _two_steps(
    found: TwoReadingResult, given: Given, outputs: dict[str, Estimate | str], readings: tuple[Reading, Reading, Reading]
) -> tuple[Step, ...]:
    start, end, time = readings
    leak, collected = outputs["leak_at_line"], outputs["leak_collected"]
    mean = Estimate(10 * found.mean_pressure, "bar", 10 * found.mean_pressure, 10 * found.mean_pressure)
    steps = [
        Step("mean pressure", "p = (p1 + p2) / 2", {"p1": start, "p2": end}, mean),
        Step(
            "stiffness of the fuel there, at one temperature",
            "K_T = K(p, T)",
            {"p": mean, "T": given.temperature},
            outputs["bulk_modulus"],
        ),
    ]
    if math.isfinite(found.effective_modulus) and found.leak_at_line.low > 0.0:
        numbers = {"V": given.volume, "p1": start, "p2": end, "K": f"{found.effective_modulus:.0f} MPa", "t": time}
        steps.append(Step("leak at line; heat and the rail's give are in K", "Q = V · (p1 - p2) / (K · t)", numbers, leak))
    steps.append(Step("as collected at atmospheric pressure", "Q_c = Q · ρ(p, T) / ρ(p_amb, T)", {"Q": leak}, collected))
    return tuple(steps)


def _capture_steps(found: HoldEstimate, given: Given, outputs: dict[str, Estimate | str]) -> tuple[Step, ...]:
    state = {"p": outputs["mean_pressure"], "T": given.temperature}
    cooling = "Δp_cool = p_start - p_end of the same rail without its leak"
    balance = "dp/dt · (1/K_S + 1/K_rail) = -Q/V - α · (T - T_wall)/τ"
    return (
        Step("stiffness of the fuel at the mean pressure", "K_T = K(p, T)", state, outputs["bulk_modulus"]),
        Step("fall without a leak, by cooling", cooling, {}, outputs["cooling_fall"]),
        Step("leak at line, fitted with what is known beforehand", balance, {"V": given.volume}, outputs["leak_at_line"]),
        Step("as collected at atmospheric pressure", "Q_c = Q · ρ(p, T) / ρ(p_amb, T)", {}, outputs["leak_collected"]),
    )


def _plots(found: HoldEstimate) -> tuple[Plot, ...]:
    c = found.curves
    time = [round(float(t), 4) for t in c.time]

    def bar(values: Any) -> list[float]:
        return [round(10.0 * float(v), 4) for v in values]

    held = Plot("Pressure in the shut rail", "time", "s", "rail pressure", "bar", (
        Series("read", time, bar(c.read), "points"),
        Series("fitted", time, bar(c.fitted)),
        Series("the same rail without its leak", time, bar(c.tight)),
    ))  # fmt: skip
    left = Plot("What the fit leaves over", "time", "s", "read less fitted", "bar", (
        Series("95 % of noise alone", time, bar(-1.96 * c.sigma), "band", bar(1.96 * c.sigma)),
        Series("left over", time, bar(c.residual), "points"),
    ))  # fmt: skip
    return held, left
