"""Petroleum tables: how density and compressibility of a distillate follow from its density at 15 °C."""

from __future__ import annotations

import math

_ZONES = (
    (770.0, 346.4228, 0.4388, 0.0),
    (788.0, 2680.3206, 0.0, -0.00336312),
    (839.0, 594.5418, 0.0, 0.0),
    (1075.0, 186.9696, 0.4862, 0.0),
)
LOWEST, HIGHEST = 653.0, 1075.0
"""kg/m3 at 15 °C covered by the tables."""


def expansion_at_15(density_15: float) -> float:
    """Thermal expansion at 15 °C, 1/K: alpha15 = K0/rho15^2 + K1/rho15 + K2.

    `density_15` in kg/m3, 653 to 1075, else `ValueError`. Source: ASTM D1250-80 Table 54B (API MPMS 11.1, ISO 91-1).
    """
    if not LOWEST <= density_15 < HIGHEST:
        raise ValueError(f"density at 15 °C: {density_15:g} kg/m3 is outside the petroleum tables ({LOWEST:g} to {HIGHEST:g})")
    k0, k1, k2 = next(zone[1:] for zone in _ZONES if density_15 < zone[0])
    return k0 / density_15**2 + k1 / density_15 + k2


def volume_correction(density_15: float, temperature: float) -> float:
    """Volume correction factor to 15 °C: VCF = exp(-alpha dt (1 + 0.8 alpha dt)); same source and limits."""
    step = expansion_at_15(density_15) * (temperature - 15.0)
    return math.exp(-step * (1.0 + 0.8 * step))


def density_at_15(density: float, temperature: float) -> float:
    """Density at 15 °C, kg/m3, of what has `density` at `temperature` (°C): the root of rho15 VCF(rho15) = rho, by halving.

    Same source and limits, else `ValueError`. At the seam of two zones (839 kg/m3) the tables themselves leap by 0.03 kg/m3.
    """
    low, high = LOWEST, HIGHEST - 1e-6
    if not low * volume_correction(low, temperature) <= density <= high * volume_correction(high, temperature):
        raise ValueError(f"density: {density:g} kg/m3 at {temperature:g} °C is outside the petroleum tables")
    for _ in range(60):
        middle = (low + high) / 2.0
        below = middle * volume_correction(middle, temperature) < density
        low, high = (middle, high) if below else (low, middle)
    return (low + high) / 2.0


def glass_correction(temperature: float) -> float:
    """By what a glass hydrometer's reading, scale for 15 °C, is multiplied: 1 - 2.3e-5 dt - 2e-8 dt^2 (ASTM D1250-80, from
    memory)."""
    step = temperature - 15.0
    return 1.0 - 2.3e-5 * step - 2e-8 * step * step


def compressibility(density_15: float, temperature: float) -> float:
    """Isothermal compressibility near atmospheric pressure, 1/MPa.

    F = 1e-3 exp(-1.62080 + 0.00021592 t + 0.87096e6/rho^2 + 4.2092e3 t/rho^2), t in °C, rho in kg/m3 at 15 °C.
    Source: API MPMS 11.2.1M (the same as GOST R 8.610-2004); meant for 638 to 1074 kg/m3, -30 to 90 °C, up to 10.3 MPa.
    """
    square = density_15**2
    exponent = -1.62080 + 0.00021592 * temperature + 0.87096e6 / square + 4.2092e3 * temperature / square
    return 1e-3 * math.exp(exponent)


def modulus_slopes(density_15: float) -> tuple[float, float, float]:
    """K15 (MPa), -d ln K/dt (1/K) and d ln K15/d rho15 (m3/kg) of the compressibility formula above."""
    per_kelvin = 0.00021592 + 4.2092e3 / density_15**2
    per_density = 2.0 * (0.87096e6 + 4.2092e3 * 15.0) / density_15**3
    return 1.0 / compressibility(density_15, 15.0), per_kelvin, per_density
