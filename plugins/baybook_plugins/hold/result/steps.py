"""The worked steps: by hand, from middle values, each printed result from its printed numbers."""

from __future__ import annotations

import math
from typing import NamedTuple

from baybook.api import Message, Step
from baybook_physics.fuels import ANCHOR_PRESSURE, Coefficients, equations

from ..inputs.rail import Rail

ON_THE_CURVE = Message("mean pressure, gauge; p1 and p2 stand on the fitted curve, t apart")
MEAN = Message("mean pressure, gauge")
MODULUS = "isothermal bulk modulus of the fuel there, Tait law; B and C from its model at {t} °C"
DROP = Message("pressure drop that cooling leaves for the leak")
LEAK = Message("leak at line, by hand from the middle values")
COLLECTED = Message("the same, as collected at atmospheric pressure")
REFERRED = Message("brought to the reference pressure")


class MiddleValues(NamedTuple):
    """The middle values that a hand calculation starts from.

    MPa gauge, MPa gauge, s, MPa, 1. curve: whether start and end stand on a fitted curve.
    """

    start: float
    end: float
    time: float
    cooling: float
    exponent: float = 0.75
    curve: bool = False


def steps(m: MiddleValues, rail: Rail, reference: float | None, c: Coefficients) -> tuple[Step, ...]:
    """The working of a hold, in MPa, mL and min; without a volume it ends before the leak. `reference` in MPa gauge."""
    t = rounded(rail.temperature.number("°C"))
    start, end, cooling = rounded(m.start), rounded(m.end), rounded(m.cooling, 3)
    mean, drop = rounded(0.5 * (start + end)), rounded(start - end - cooling)
    tait, bend = rounded(float(c.tait_c * equations.isothermal_modulus(c, t, ANCHOR_PRESSURE)), 5), rounded(float(c.tait_c))
    modulus = rounded((tait + mean) * (1.0 - bend * math.log((tait + mean) / tait)) / bend)
    ends = {"p1": _mpa(start), "p2": _mpa(end)}
    found = [
        Step("p", numbers=ends, result=_mpa(mean), title=ON_THE_CURVE if m.curve else MEAN),
        Step(
            "K_T",
            numbers={"B": _mpa(tait), "C": f"{bend:g}", "p": _mpa(mean)},
            result=_mpa(modulus),
            title=Message(MODULUS, t=t),
        ),
        Step("Δp", numbers={**ends, "Δp_cool": _mpa(cooling)}, result=_mpa(drop), title=DROP),
    ]
    if rail.known_volume is None or drop <= 0.0:
        return tuple(found)
    volume, steel, minutes = rounded(rail.millilitres()[0]), rounded(rail.steel()), rounded(m.time / 60.0)
    leak = rounded(volume * drop * (1.0 / modulus + 1.0 / steel) / minutes)
    dense, light = (rounded(float(equations.density(c, t, p + ANCHOR_PRESSURE))) for p in (mean, 0.0))
    collected = rounded(leak * dense / light)
    sizes = {"V": f"{volume:g} mL", "Δp": _mpa(drop), "K_T": _mpa(modulus), "K_rail": _mpa(steel), "t": f"{minutes:g} min"}
    ratio = {"Q": _flow(leak), "ρ": f"{dense:g} kg/m3", "ρ_amb": f"{light:g} kg/m3"}
    found += [
        Step("Q", numbers=sizes, result=_flow(leak), title=LEAK),
        Step("Q_c", numbers=ratio, result=_flow(collected), title=COLLECTED),
    ]
    if reference is not None:
        at, back, n = rounded(reference), rounded(rail.back_pressure.number("MPa")), rounded(m.exponent, 3)
        there = rounded(collected * ((at - back) / (mean - back)) ** n)
        numbers = {"Q_c": _flow(collected), "p_ref": _mpa(at), "p_back": _mpa(back), "p": _mpa(mean), "n": f"{n:g}"}
        found.append(Step("Q_ref", numbers=numbers, result=_flow(there), title=REFERRED))
    return tuple(found)


def rounded(value: float, digits: int = 4) -> float:
    """To so many significant digits."""
    return float(f"{value:.{digits}g}")


def _mpa(value: float) -> str:
    return f"{value:.6g} MPa"


def _flow(value: float) -> str:
    return f"{value:.6g} mL/min"
