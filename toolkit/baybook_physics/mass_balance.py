"""The balance of mass in a closed rail between two states, for plain floats.

d ln m/dt = -Q/V: between them the leak took V ln(rho_1/rho_2) of the fuel, what the wall gave and what the gas gave.
Series law of compliances: hydraulics handbooks after Merritt 1967.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from .fuels import Coefficients
from .fuels.equations import density, isothermal_modulus

__all__ = ["PressureFall", "flow_at_mean_pressure", "volume_share_lost"]


class PressureFall(NamedTuple):
    """First and last pressure, MPa absolute, the first the higher."""

    start: float
    end: float


def volume_share_lost(
    fuel: Coefficients, fall: PressureFall, temperatures: tuple[float, float], wall_compliance: float, gas: float
) -> float:
    """Share of its volume that the rail lost through a leak: the fuel's swelling, the wall's shrinking, the gas's swelling.

    `temperatures` of the fuel at both ends, °C; `wall_compliance` in 1/MPa; `gas`: share of free gas times its pressure, MPa.
    """
    swelling = math.log(density(fuel, temperatures[0], fall.start) / density(fuel, temperatures[1], fall.end))
    return swelling + (fall.start - fall.end) * wall_compliance + gas * (1.0 / fall.end - 1.0 / fall.start)


def flow_at_mean_pressure(fuel: Coefficients, temperature: float, fall: PressureFall, back: float, exponent: float) -> float:
    """Flow at the mean pressure over the flow averaged in time, for Q ~ (p - back)^exponent and dp/dt = -K Q/V.

    `temperature` of the fuel, °C; `back` in MPa absolute. Boole's rule in p; K runs straight between its ends, from which no
    fuel's strays by more than 1.1 %.
    """
    low = isothermal_modulus(fuel, temperature, fall.end)
    rise = isothermal_modulus(fuel, temperature, fall.start) - low
    above, weighted, plain = 0.5 * (fall.start + fall.end) - back, 0.0, 0.0
    for place, weight in ((0.0, 7.0), (0.25, 32.0), (0.5, 12.0), (0.75, 32.0), (1.0, 7.0)):
        share = weight / (low + place * rise)
        plain += share
        weighted += share * (above / (fall.end - back + place * (fall.start - fall.end))) ** exponent
    return float(weighted / plain)
