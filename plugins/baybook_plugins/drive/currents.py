"""Inductance by one point of the rise, and the circuit's resistance by duty, supply and mean current."""

from __future__ import annotations

from baybook.api import COVERAGE, Draws, Estimate, Message, Reading, propagate
from baybook_physics.coil import circuit_resistance, copper_ratio, inductance
from baybook_physics.inference.intervals import normal_quantile

REFERENCE = 20.0  # °C: what resistances of coils are stated for
COUNT = 400
QUANTILES = [normal_quantile((n + 0.5) / COUNT) / COVERAGE for n in range(COUNT)]
"""Evenly likely places in a normal, as shares of its 95 % half-width."""


EITHER_WAY = Message(
    "Whether the current flows on through a diode or a switch is not known: both were taken to be as likely. Give diode where "
    "it is known; at a small duty much depends on it."
)


def inductance_of(
    rise_time: Reading | None, rise_current: Reading | None, supply: Reading | None, coil_resistance: Reading | None
) -> dict[str, Estimate]:
    """By one point of the rise: L = R t/ln(U/(U - R i))."""
    if not (rise_time and rise_current and supply and coil_resistance):
        return {}
    given = {"t": rise_time.to("s"), "i": rise_current.to("A"), "u": supply.to("V"), "r": coil_resistance.to("ohm")}
    return {"inductance": propagate(lambda t, i, u, r: 1e3 * inductance(t, i, u, r), "inductance", **given)}


def resistances(
    found: dict[str, Estimate], supply: Reading | None, diode: Reading | None, temperature: Reading | None
) -> dict[str, Estimate | Draws]:
    """Coil and circuit together, as they are and at 20 °C; nothing where the duty is too short for a current that flows on.

    Where it is not known whether the current flows on through a diode or a switch, both are taken to be as likely: at a small
    duty that is most of what is not known.
    """
    if supply is None or "duty" not in found or "mean_current" not in found or found["mean_current"].low <= 0.0:
        return {}
    lowest = found.get("lowest_current")
    if lowest is not None and lowest.value < 0.02 * found["highest_current"].value:
        return {}
    ways = [diode] if diode else [Reading.of(0.0, "V", u95=0.05), Reading.of(0.7, "V", u95=0.2)]
    each = [_resistances(found, supply, way, temperature) for way in ways]
    if any(not way for way in each):
        return {}
    return {name: each[0][name] if len(each) == 1 else mixed([way[name] for way in each]) for name in each[0]}


def mixed(ways: list[Estimate]) -> Draws:
    """Estimates that are as likely one as the other, as one distribution."""
    draws = [each.value + z * (each.high - each.value if z > 0 else each.value - each.low) for each in ways for z in QUANTILES]
    return Draws(tuple(max(draw, 0.0) for draw in draws), ways[0].unit, kind=ways[0].kind)


def _resistances(
    found: dict[str, Estimate], supply: Reading, diode: Reading, temperature: Reading | None
) -> dict[str, Estimate]:
    inputs: dict[str, Reading | Estimate] = {
        "duty": found["duty"].to("1"), "supply": supply.to("V"), "diode": diode.to("V"), "mean": found["mean_current"].to("A"),
    }  # fmt: skip
    if inputs["duty"].value * inputs["supply"].value <= (1 - inputs["duty"].value) * inputs["diode"].value:
        return {}

    def worked(duty: float, supply: float, diode: float, mean: float, celsius: float = REFERENCE) -> dict[str, float]:
        ohm = circuit_resistance(supply, duty, diode, mean)
        return {"circuit_resistance": ohm, "resistance_at_20": ohm * copper_ratio(celsius, REFERENCE)}

    if temperature is None:
        return propagate(worked, {"circuit_resistance": "resistance"}, **inputs)
    both = {"circuit_resistance": "resistance", "resistance_at_20": "resistance"}
    return propagate(worked, both, **inputs, celsius=temperature.to("°C"))
