"""Air that was dissolved at ambient pressure and comes out where the pressure is lower. Floats or numpy arrays that broadcast.

Henry's law at equilibrium, which a short line does not reach: an upper bound for air that comes from solution.
"""

from __future__ import annotations

from typing import Any

__all__ = ["BUNSEN", "BUNSEN_U95", "released"]

BUNSEN, BUNSEN_U95 = 0.10, 0.03
"""Volume of air at 0 °C and 1 atm in one of fuel: ASTM D2779's method gives 0.118 at 20 °C and 832 kg/m3 (equation from memory,
15 %); no measured value for diesel was at hand."""


def released(ambient: Any, pressure: Any, temperature: Any, bunsen: Any = BUNSEN) -> Any:
    """Volume of free air over that of the liquid, at `pressure` (absolute, as `ambient`, above 0) and `temperature` (°C).

    V_g = B (p_0 - p)/p T/273.15 K for a fuel saturated at `ambient`; below 0 where the pressure is higher.
    """
    return bunsen * (ambient - pressure) / pressure * (temperature + 273.15) / 273.15
