"""Density and viscosity of a sample at other temperatures, as plain numbers: kg/m3, mm2/s, °C, shares as fractions of one."""

from __future__ import annotations

from baybook_physics import viscosity
from baybook_physics.fuels.petroleum import density_at_15, glass_correction, volume_correction

ESTER_SLOPE, ESTER_U95 = 0.723, 0.02
"""kg/(m3 K): EN 14214, annex B (from memory); methyl oleate at 20 °C has 0.733 (CoolProp)."""


def density_15(reading: float, temperature: float, ester: float, slope: float) -> float:
    """Density at 15 °C, kg/m3, of a blend with the share `ester`: the petroleum table's, and the ester's own, by volume."""
    return (1.0 - ester) * density_at_15(reading, temperature) + ester * (reading + slope * (temperature - 15.0))


def density_of_glass(reading: float, temperature: float, ester: float, slope: float) -> float:
    """The same with the reading of a glass hydrometer."""
    return density_15(reading * glass_correction(temperature), temperature, ester, slope)


def viscosity_at(there: float, nu: float, nu_t: float, slope: float) -> float:
    """Kinematic viscosity at `there` of one that has `nu` at `nu_t`."""
    return float(viscosity.at(there, nu, nu_t, slope))


def elsewhere(there: float, nu: float, nu_t: float, slope: float, rho15: float) -> dict[str, float]:
    """What the dynamic viscosity at `there`, over that at 40 °C, makes of a filter's drop and of a leak through a gap."""
    one, other = (viscosity.at(t, nu, nu_t, slope) * volume_correction(rho15, t) for t in (there, 40.0))
    return {"drop_factor": float(one / other), "leak_factor": float(other / one)}
