"""Leak laws: how the flow of a leak follows pressure and temperature.

Q = q [f L + (1 - f) O], with L and O both 1 at a reference state (pressure p_m, temperature T0, density rho_m, difference d_m):
L = d/d_m exp(-s (p - p_m) + w (T - T0)) for clearances, O = sqrt(d/d_m rho_m/rho) for an orifice.
Source of both forms: Rabie, Fluid Power Engineering, eq. 2.19 and 2.36; s and w gather the viscosity and the
widening of the gap.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

__all__ = ["LEAST_DENSITY", "Leak", "ReferenceState", "drift_factor", "flow_exponent", "volume_flow"]

Floats = NDArray[np.float64]

LEAST_DENSITY = 1.0  # kg/m3: a draw far off any fuel, which nothing will weigh, is still worked out
_LEAST_DIFFERENCE = 1e-4  # MPa: keeps the root of the orifice law off zero


class Leak(NamedTuple):
    """An ensemble of leaks; every field is a float or an array (n,)."""

    flow: Floats
    """q, at the reference state, mL/min."""
    laminar_share: Floats | float
    """f, the clearances' share of the flow at the reference state."""
    pressure_slope: Floats
    """s, 1/MPa: how much a clearance's conductance falls, in logarithm."""
    temperature_slope: Floats
    """w, 1/K: how much it grows."""
    drift: Floats | float
    """Change, in logarithm, from the middle of the test to its end, that neither pressure nor temperature explains."""
    back: Floats | float
    """Where the leak ends, MPa absolute."""


class ReferenceState(NamedTuple):
    """Where the leak laws are tied down."""

    pressure: float
    """p_m, MPa absolute."""
    back: float
    """MPa absolute."""
    temperature: float
    """T0, °C."""
    density: float
    """rho_m, kg/m3."""
    duration: float
    """s: how long the test was looked at; behind it the leak keeps what its drift had made of it."""


def volume_flow(leak: Leak, reference: ReferenceState, p: Floats | float, t: Floats | float, rho: Floats) -> Floats:
    """Volume flow at line in the middle of the test, mL/min, at `p` (MPa absolute), `t` (°C) and `rho` (kg/m3).

    All broadcast with the leak's fields.
    """
    d = np.maximum(p - leak.back, _LEAST_DIFFERENCE) / (reference.pressure - reference.back)
    share = leak.laminar_share
    # a share given as a plain 0 or 1 is a pure law: the other half need not be worked out
    pure = share if isinstance(share, float) and share in (0.0, 1.0) else None
    clearance: Floats | float = 0.0
    hole: Floats | float = 0.0
    if pure != 0.0:
        along = leak.temperature_slope * (t - reference.temperature) - leak.pressure_slope * (p - reference.pressure)
        clearance = share * d * np.exp(along)
    if pure != 1.0:
        hole = (1.0 - share) * np.sqrt(d * (reference.density / np.maximum(rho, LEAST_DENSITY)))
    flow: Floats = leak.flow * (clearance + hole)
    return flow


def drift_factor(leak: Leak, reference: ReferenceState, time: Floats | float) -> Floats:
    """exp(e (2 t/t_end - 1)): the factor that the leak's drift makes at `time` (s; broadcasts), 1 in the middle of the test."""
    factor: Floats = np.exp(leak.drift * (2.0 * np.minimum(time / reference.duration, 1.0) - 1.0))
    return factor


def flow_exponent(leak: Leak, reference: ReferenceState, p: Floats, t: Floats, rho: Floats, modulus: Floats) -> Floats:
    """d ln Q/d ln dp at a state: each law's own, weighted by its share of the flow there.

    `modulus` (MPa, isothermal): the density moves the orifice's 0.5 a little.
    """
    difference = np.maximum(p - leak.back, 1e-3)
    flow = volume_flow(leak, reference, p, t, rho)
    clearance = volume_flow(leak._replace(laminar_share=1.0), reference, p, t, rho)
    some = flow > 0.0
    part = np.where(some, leak.laminar_share * clearance / np.where(some, flow, 1.0), leak.laminar_share)
    exponent: Floats = part * (1.0 - leak.pressure_slope * difference) + (1.0 - part) * 0.5 * (1.0 - difference / modulus)
    return exponent
