"""Density and viscosity of a sample at other temperatures, as plain numbers."""

from __future__ import annotations

from collections.abc import Callable

from baybook_physics import viscosity
from baybook_physics.fuels.petroleum import density_at_15, glass_correction, volume_correction

ESTER_SLOPE, ESTER_U95 = 0.723, 0.02
"""kg/(m3 K): EN 14214, annex B (from memory); methyl oleate at 20 °C has 0.733 (CoolProp)."""


def density_15(reading: float, temperature: float, ester: float, slope: float) -> float:
    """Density at 15 °C, kg/m3, of a blend with the share `ester`: the petroleum table's, and the ester's own, by volume."""
    return (1.0 - ester) * density_at_15(reading, temperature) + ester * (reading + slope * (temperature - 15.0))


def of_glass(function: Callable[..., float]) -> Callable[..., float]:
    """The same with the reading of a glass hydrometer."""
    return lambda reading, temperature, *others: function(reading * glass_correction(temperature), temperature, *others)


def dynamic_ratio(there: float, nu: float, nu_t: float, slope: float, rho15: float) -> float:
    """Dynamic viscosity at `there` over that at 40 °C."""
    one, other = (viscosity.at(t, nu, nu_t, slope) * volume_correction(rho15, t) for t in (there, 40.0))
    return float(one / other)
