"""Results of the hold test: outputs, verdicts, findings, notes and plots from the two estimates."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from baybook.api import Draws, Estimate, Plot, Reading, Result, Series, Verdict
from baybook_physics.inference.intervals import Interval

from ..inputs.measured import Inputs
from ..two_point.estimate import TwoReadingResult
from .steps import MiddleValues, about_the_mean, steps
from .verdicts import Ground, findings, verdict

if TYPE_CHECKING:
    from baybook_physics.fuels import FuelModel

    from ..estimate.summary import HoldEstimate
    from ..inputs.window import Window

    Found = TwoReadingResult | HoldEstimate

HEAT = "Part of any fall is cooling: fuel warm from compression, and the rail itself. It is taken off within its uncertainty."
VALVE_OPEN = (
    "The outlet valve opens without current and was not held shut: it empties the rail by design, so this test says nothing "
    "about the rail. Use the maker's routine that drives it shut and hold again, or leave this test."
)
VALVE_UNKNOWN = (
    "Whether a rail valve that opens without current is fitted was not said (outlet_valve): such a valve empties a sound rail. "
    "Look in the maker's data."
)
NEAR_ZERO = "the pressures lie near the sensor's zero, within its uncertainty: they carry no verdict"


def estimate(interval: Interval, unit: str, factor: float = 1.0) -> Estimate:
    """An interval as an output."""
    low, high = interval.low * factor, interval.high * factor
    return Estimate(min(max(interval.value * factor, low), high), unit, low, high)


def answer_two(found: TwoReadingResult, inputs: Inputs, fuel: FuelModel, readings: tuple[Reading, Reading, Reading]) -> Result:
    """The result of two readings."""
    start, end, time = (reading.number(unit) for reading, unit in zip(readings, ("MPa", "MPa", "s"), strict=True))
    outputs = {**_outputs(found, inputs), "law": "unknown"}
    doubts = _doubts(inputs, end)
    verdicts = _verdicts(found, inputs, doubt=bool(doubts))
    notes = [
        *_fuel_notes(fuel, inputs, found.mean_pressure),
        *_where(inputs, found.mean_pressure),
    ]
    notes.append("Two readings cannot tell the law of the leak. A capture, or a temperature at the end, narrows the interval.")
    leaks = found.leak_at_line.low > 0.0
    if not leaks:
        notes.append(_tight_note(found.tight_share))
    middle = MiddleValues(
        start, end, time, found.cooling_pressure_drop.value, inputs.volume()[0] if inputs.known_volume else None, inputs.rail(),
        0.75,
    )  # fmt: skip
    return Result(
        outputs=outputs, verdicts=verdicts, findings=findings(verdicts, Ground(inputs.outlet_valve, leaks, False, doubts)),
        notes=tuple(notes), warnings=_warnings(inputs, doubts), steps=steps(middle, inputs, fuel), sources=fuel.sources,
    )  # fmt: skip


def answer_capture(found: HoldEstimate, inputs: Inputs, fuel: FuelModel, window: Window | None, samples: int) -> Result:
    """The result of a capture or of many readings."""
    c = found.curves
    outputs: dict[str, Estimate | str] = {**_outputs(found, inputs), "law": found.law}
    outputs["mean_pressure"] = estimate(found.mean_pressure, "bar", 10.0)
    if inputs.known_volume is not None:
        outputs["smallest_leak"] = Estimate.of(found.detection_limit, "mL/min", 0.1 * found.detection_limit)
    if found.exponent is not None:
        outputs["exponent"] = estimate(found.exponent, "1")
    if found.time_until is not None and math.isfinite(found.time_until.high):
        outputs["time_until"] = estimate(found.time_until, "s")
    doubts = _doubts(inputs, float(c.read[-1]))
    if not found.fits:
        left = found.noise_inflation
        doubts = (f"the pressure moved as no shut rail's does: the fit leaves {left:.2g} times the noise", *doubts)
    verdicts = _verdicts(found, inputs, doubt=bool(doubts))
    ground = Ground(inputs.outlet_valve, found.leaks, found.law == "none", doubts)
    exponent = 0.75 if found.exponent is None else found.exponent.value
    volume = inputs.volume()[0] if inputs.known_volume else None
    middle = MiddleValues(*about_the_mean(c), volume=volume, rail=inputs.rail(), exponent=exponent, curve=True)
    return Result(
        outputs=outputs, verdicts=verdicts, findings=findings(verdicts, ground),
        notes=tuple(_capture_notes(found, inputs, fuel, window, samples)), warnings=_warnings(inputs, doubts),
        steps=steps(middle, inputs, fuel), plots=_plots(found), sources=fuel.sources,
    )  # fmt: skip


def _outputs(found: Found, inputs: Inputs) -> dict[str, Estimate | str]:
    """What both ways give. Without a volume no flow."""
    outputs: dict[str, Estimate | str] = {}
    if inputs.known_volume is not None:
        outputs = {
            "leak_at_line": estimate(found.leak_at_line, "mL/min"),
            "leak_collected": estimate(found.leak_collected, "mL/min"),
            "equivalent_orifice": estimate(found.equivalent_orifice, "mm"),
        }
    outputs["bulk_modulus"] = estimate(found.bulk_modulus, "MPa")
    outputs["cooling_fall"] = estimate(found.cooling_pressure_drop, "bar", 10.0)
    if inputs.after is not None and found.after_draws is not None and found.fall_draws is not None:
        outputs["pressure_after"] = _left(found.after_draws).estimate()
        outputs["fall_after"] = _fallen(found.fall_draws).estimate()
    return outputs


def _draws(draws: tuple[Any, Any], unit: str, kind: str, factor: float = 1.0) -> Draws:
    return Draws([factor * float(value) for value in draws[0]], unit, [float(weight) for weight in draws[1]], kind)


def _left(draws: tuple[Any, Any]) -> Draws:
    return _draws(draws, "bar", "gauge pressure", 10.0)


def _fallen(draws: tuple[Any, Any]) -> Draws:
    return _draws(draws, "bar", "pressure difference", 10.0)


def _verdicts(found: Found, inputs: Inputs, *, doubt: bool) -> tuple[Verdict, ...]:
    """One for each limit; none where the outlet valve empties the rail."""
    if inputs.outlet_valve == "open-at-rest":
        return ()
    wanted = [
        ("leak, as collected", inputs.limit, _draws(found.collected_draws, "mL/min", "flow")),
        ("pressure left", inputs.pressure_limit, found.after_draws and _left(found.after_draws)),
        ("fall of pressure", inputs.fall_limit, found.fall_draws and _fallen(found.fall_draws)),
    ]
    return tuple(verdict(what, draws, limit, doubt=doubt) for what, limit, draws in wanted if limit and draws)


def _doubts(inputs: Inputs, end: float) -> tuple[str, ...]:
    """`end` in MPa gauge."""
    near = end - inputs.back_pressure.number("MPa") < inputs.zero_uncertainty.number("MPa")
    return (NEAR_ZERO,) if near else ()


def _warnings(inputs: Inputs, doubts: tuple[str, ...]) -> tuple[str, ...]:
    """What has to be said before the rest."""
    return (*doubts, *([VALVE_OPEN] if inputs.outlet_valve == "open-at-rest" else []))


def _tight_note(share: float) -> str:
    if share >= 0.5:
        return "A tight rail explains the fall at least as well as a leak does."
    return f"There is a chance of {100 * share:.0f} % that this rail is tight and cooling made the whole fall."


def _fuel_notes(fuel: FuelModel, inputs: Inputs, mean_gauge: float) -> list[str]:
    t, p = inputs.temperature.number("°C"), min(mean_gauge + 0.101325, 250.0)
    said = fuel.extrapolating(t, p)
    share = fuel.relative_uncertainty("isothermal_modulus", t, p)
    notes = [f"Fuel: {fuel.title}; its stiffness here is known to ± {196 * share:.0f} % (95 %)."]
    return [*notes, *([said] if said else []), *fuel.notes]


def _where(inputs: Inputs, mean_gauge: float) -> list[str]:
    notes = []
    if inputs.known_volume is None:
        notes.append("The volume is not known: pressure alone is judged, and no flow is said.")
    else:
        at = "the mean pressure" if inputs.reference is None else inputs.reference.text
        notes.append(
            f"leak_at_line is for {10 * mean_gauge:.0f} bar, the mean; leak_collected for {at} and the stated fuel temperature."
        )
    if inputs.after is not None:
        notes.append(f"pressure_after and fall_after are for {inputs.after.text} from the start, the sensor's zero taken out.")
    if inputs.outlet_valve == "unknown":
        notes.append(VALVE_UNKNOWN)
    return [*notes, HEAT]


def _capture_notes(found: HoldEstimate, inputs: Inputs, fuel: FuelModel, window: Window | None, samples: int) -> list[str]:
    mean = found.mean_pressure.value
    notes = [*_fuel_notes(fuel, inputs, mean), *_where(inputs, mean)]
    notes.append(f"Fitted: {samples} samples over {found.curves.duration:.4g} s.")
    if window is not None:
        notes.append(f"The hold was found in the capture: {window.words()}.")
    laws = ", ".join(f"{name} {100 * share:.0f} %" for name, share in found.shares.items())
    notes.append(f"If it leaks, how likely each law is: {laws}.")
    if not found.leaks:
        notes.append(_tight_note(found.tight_share))
        if inputs.known_volume is not None:
            notes.append(
                "This test does not resolve a leak; the smallest it could have shown is about "
                f"{found.detection_limit:.2g} mL/min."
            )
    if found.time_until is not None and not math.isfinite(found.time_until.high):
        notes.append("Part of what is possible does not reach the lower pressure within ten times this hold.")
    if found.noise_inflation > 1.3 and found.fits:
        left = found.noise_inflation
        notes.append(f"The fit leaves more than noise ({left:.1f} times): something else moved the pressure too.")
    return notes


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
