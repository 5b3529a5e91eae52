"""The worked steps: by hand, from the middle values, each printed result from its printed numbers."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from baybook.api import Step
from baybook_physics.fuels import FuelModel, equations

from ..inputs.measured import Inputs

if TYPE_CHECKING:
    from ..estimate.summary import Curves


class MiddleValues(NamedTuple):
    """The middle values that a hand calculation starts from. MPa gauge, MPa gauge, s, MPa, mL, MPa, 1.

    curve: whether start and end stand on a fitted curve.
    """

    start: float
    end: float
    time: float
    cooling: float
    volume: float | None
    rail: float
    exponent: float
    curve: bool = False


def about_the_mean(c: Curves) -> tuple[float, float, float, float]:
    """Start, end (MPa gauge), time (s) and cooling (MPa) of the middle third of the fitted fall.

    There the curve is nearly straight, and its mean leak is the leak at the mean pressure; over a whole fall it is not.
    """
    first, last = 0, len(c.fitted) - 1
    mean, sixth = 0.5 * (c.fitted[0] + c.fitted[-1]), (c.fitted[0] - c.fitted[-1]) / 6.0
    third = [place for place, p in enumerate(c.fitted) if abs(p - mean) <= sixth]
    if len(third) > 1:
        first, last = third[0], third[-1]
    at_first, at_last = (float(c.fitted[place]) for place in (first, last))
    return at_first, at_last, float(c.time[last] - c.time[first]), float(c.tight[first] - c.tight[last])


def steps(m: MiddleValues, inputs: Inputs, fuel: FuelModel) -> tuple[Step, ...]:
    """The working of a hold; without a volume it ends before the leak."""
    air, t = 0.101325, _rounded(inputs.temperature.number("°C"))
    start, end, cooling = _rounded(m.start), _rounded(m.end), _rounded(m.cooling, 3)
    mean = _rounded(0.5 * (start + end))
    c = fuel.coefficients
    modulus = _rounded(float(equations.isothermal_modulus(c, t, mean + air)))
    fall = _rounded(start - end - cooling)
    ends = {"p1": _unit(start, "MPa"), "p2": _unit(end, "MPa")}
    found = [
        Step("mean pressure, gauge; p1 and p2 stand on the fitted curve, t apart" if m.curve else "mean pressure, gauge",
             "p = (p1 + p2) / 2", ends, _unit(mean, "MPa")),
        Step("stiffness of the fuel there, at one temperature, by its model", "K_T = K(p, T)",
             {"p": _unit(mean, "MPa"), "T": _unit(t, "°C")}, _unit(modulus, "MPa")),
        Step("fall that cooling leaves for the leak", "Δp = p1 - p2 - Δp_cool",
             {**ends, "Δp_cool": _unit(cooling, "MPa")}, _unit(fall, "MPa")),
    ]  # fmt: skip
    if m.volume is None or fall <= 0.0:
        return tuple(found)
    volume, rail, time = _rounded(m.volume), _rounded(m.rail), _rounded(m.time)
    leak = _rounded(60.0 * volume * fall * (1.0 / modulus + 1.0 / rail) / time)
    dense, light = (_rounded(float(equations.density(c, t, p))) for p in (mean + air, air))
    collected = _rounded(leak * dense / light)
    found += [
        Step("leak at line, by hand from the middle values (mL/min)", "Q = 60 · V · Δp · (1/K_T + 1/K_rail) / t",
             {"V": volume, "Δp": fall, "K_T": modulus, "K_rail": rail, "t": time}, _unit(leak, "mL/min")),
        Step("the same, as collected at atmospheric pressure", "Q_c = Q · ρ(p, T) / ρ(p_amb, T)",
             {"Q": _unit(leak, "mL/min"), "ρ(p, T)": _unit(dense, "kg/m3"), "ρ(p_amb, T)": _unit(light, "kg/m3")},
             _unit(collected, "mL/min")),
    ]  # fmt: skip
    if inputs.reference is not None:
        at, back = _rounded(inputs.reference.number("MPa")), _rounded(inputs.back_pressure.number("MPa"))
        n = _rounded(m.exponent, 3)
        there = _rounded(collected * ((at - back) / (mean - back)) ** n)
        numbers = {"Q_c": _unit(collected, "mL/min"), "p_ref": at, "p_back": back, "p": mean, "n": n}
        formula = "Q_ref = Q_c · ((p_ref - p_back) / (p - p_back))^n"
        found.append(Step("brought to the reference pressure", formula, numbers, _unit(there, "mL/min")))
    return tuple(found)


def _rounded(value: float, digits: int = 4) -> float:
    return float(f"{value:.{digits}g}")


def _unit(value: float, unit: str) -> str:
    return f"{value:.6g} {unit}"
