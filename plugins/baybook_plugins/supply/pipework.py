"""What a line, a lift and a filter take of the pressure, as plain numbers, with the law or laws of flow that may hold."""

from __future__ import annotations

from collections.abc import Callable
from itertools import product
from typing import Any

from baybook.api import COVERAGE, Estimate, Reading, propagate
from baybook_physics import filtration, pipe, viscosity
from baybook_physics.fuels.petroleum import volume_correction

LAWS: dict[str, Callable[[float], float]] = {"laminar": pipe.laminar, "turbulent": pipe.turbulent}


def fuel(nu: float, nu_t: float, slope: float, rho15: float, t: float) -> tuple[float, float]:
    """Kinematic viscosity (mm2/s) and density (kg/m3) at `t` (°C)."""
    return viscosity.at(t, nu, nu_t, slope), rho15 * volume_correction(rho15, t)


def number(flow: float, bore: float, t: float, nu: float, nu_t: float, slope: float) -> float:
    """The Reynolds number."""
    return float(pipe.reynolds(flow, bore, viscosity.at(t, nu, nu_t, slope)))


def friction(law: str) -> Callable[..., float]:
    """The function for the friction of a line, MPa, by one law: flow mL/min, bore mm, length m."""

    def of(flow: float, bore: float, length: float, t: float, nu: float, nu_t: float, slope: float, rho15: float) -> float:
        nu_here, rho = fuel(nu, nu_t, slope, rho15, t)
        factor = LAWS[law](pipe.reynolds(flow, bore, nu_here))
        return float(pipe.drop(factor, flow, bore, length, rho))

    return of


def lift(height: float, rho15: float, t: float) -> float:
    """The lift, MPa; height in m."""
    return float(pipe.lift(height, rho15 * volume_correction(rho15, t)))


def carried(
    drop: float, flow: float, t: float, to_flow: float, to_t: float, nu: float, nu_t: float, slope: float, rho15: float
) -> float:
    """A filter's drop, in its own unit, at another flow and temperature."""
    (nu_1, rho_1), (nu_2, rho_2) = (fuel(nu, nu_t, slope, rho15, each) for each in (t, to_t))
    return float(filtration.carried_over(drop, flow, nu_1 * rho_1, to_flow, nu_2 * rho_2))


def carried_line(law: str, to_law: str) -> Callable[..., float]:
    """The same of a line, with the law that holds at each end."""

    def of(drop: float, flow: float, t: float, to_flow: float, to_t: float, bore: float, **of_fuel: float) -> float:
        one, other = (
            friction(by)(flow=q, bore=bore, length=1.0, t=at, **of_fuel)
            for by, q, at in ((law, flow, t), (to_law, to_flow, to_t))
        )
        return drop * other / one

    return of


def laws(reynolds: Estimate) -> tuple[str, ...]:
    """Which laws may hold: both between Re 2000 and 4000, or where the number's interval reaches there."""
    laminar = ("laminar",) if reynolds.low < pipe.TURBULENT_FROM and reynolds.value < pipe.TURBULENT_FROM else ()
    turbulent = ("turbulent",) if reynolds.value > pipe.LAMINAR_TO or reynolds.high > pipe.TURBULENT_FROM else ()
    return laminar + turbulent


def enveloped(functions: list[Callable[..., float]], unit: str, /, **inputs: Any) -> tuple[Estimate, list[Estimate]]:
    """The estimate that covers those by each function, in the middle of them, and each of them."""
    each = [propagate(function, unit, **inputs) for function in functions]
    middle = (min(e.value for e in each) + max(e.value for e in each)) / 2
    return Estimate(middle, unit, min(e.low for e in each), max(e.high for e in each)), each


def pairs(one: Estimate, other: Estimate) -> list[Callable[..., float]]:
    """A line's functions for the laws at both ends; the faster flow is never laminar where the slower one is turbulent."""
    faster = other.value >= one.value
    odd = ("turbulent", "laminar") if faster else ("laminar", "turbulent")
    return [carried_line(*both) for both in product(laws(one), laws(other)) if both != odd]


def slope() -> Estimate:
    """The slope of viscosity over temperature of a fuel of which one viscosity is known."""
    return Estimate.of(viscosity.SLOPE, "", viscosity.SLOPE_U95 / COVERAGE)


def in_units(**readings: Reading) -> dict[str, Reading]:
    """The readings in the units of this module."""
    units = {"flow": "mL/min", "length": "m", "temperature": "°C", "kinematic viscosity": "mm2/s", "density": "kg/m3",
             "pressure": "MPa"}  # fmt: skip
    return {name: reading.to("mm" if name == "bore" else units[reading.kind.family]) for name, reading in readings.items()}
