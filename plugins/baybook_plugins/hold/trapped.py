"""Fuel shut in a rail: pressure and temperature of a whole ensemble of possible rails, integrated at once.

    d ln m/dt = -Q/V                                        the leak takes mass
    dTi/dt    = g dp/dt - (Ti - Tw)/tau_i,  g = T alpha/(rho cp)  expansion cools, the wall warms or cools
    dp/dt (1/K_S + 1/Kc) = -Q/V - alpha H - 3 a_s dTw/dt,   H the mean of (Ti - Tw)/tau_i
    Tw        = Ta + (Tw0 - Ta) exp(-t/tau_w)                the wall drifts to ambient

There are two Ti: that of the fuel in the rail and that of the fuel in thin bores, which cools more quickly; T is their mean.
K_S follows from the fuel's K_T by 1/K_S = 1/K_T - alpha g; Kc is the rail's own modulus, a_s the expansion of steel.
Leak: Q = q exp(e (2 t/t_end - 1)) [f L + (1 - f) O], both 1 at the middle pressure difference d_m and stated temperature T0:
L = d/d_m exp(-s (p - p_m) + w (T - T0)) for clearances, O = sqrt(d/d_m rho_m/rho) for an orifice; e is the leak's own drift.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, NamedTuple

from baybook.fuels import Coefficients
from baybook.fuels.equations import ANCHOR_PRESSURE, ZERO_CELSIUS

from .knowledge import SOAKED

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
else:
    Floats = Any

STEEL_EXPANSION = 11.7e-6  # 1/K, linear, handbook value from memory
_HIGHEST = 600.0  # MPa, for members that strayed
_REACH = (-80.0, 250.0)  # °C: a search may stray, and a member beyond this is lost anyway
_LEAST_DIFFERENCE = 1e-4  # MPa: keeps the root of the orifice law off zero


class Rails(NamedTuple):
    """An ensemble; every field is a float or an array (n,)."""

    start: Floats
    """MPa absolute."""
    volume: Floats
    """cm3"""
    fuel_start: Floats
    """°C"""
    wall_start: Floats
    """°C"""
    ambient: Floats
    """°C"""
    heat_time: Floats
    """Of the fuel in the rail, s."""
    thin_time: Floats
    """Of the fuel in thin bores, s."""
    thin_share: Floats
    """Share of the fuel in thin bores."""
    wall_rate: Floats
    """1/tau_w, 1/s."""
    rail_give: Floats
    """1/Kc, 1/MPa."""
    gas: Floats | float
    """Free gas: volume share times pressure, MPa; it gives gas/p^2."""
    back: Floats | float
    """Where the leak ends, MPa absolute."""
    leak: Floats
    """q, mL/min."""
    laminar_share: Floats | float
    """f"""
    laminar_slope: Floats
    """s, 1/MPa."""
    laminar_warmth: Floats
    """w, 1/K."""
    drift: Floats | float
    """e"""
    fuel: Coefficients


class Middle(NamedTuple):
    """Where the leak law is tied down."""

    pressure: float
    """p_m, MPa absolute."""
    back: float
    """MPa absolute."""
    temperature: float
    """T0, °C."""
    density: float
    """rho_m, kg/m3."""
    end: float
    """t_end, s: how long the hold was looked at; behind it the leak keeps what it had."""


class Path(NamedTuple):
    """Where an ensemble went: shape (nodes, n) each."""

    pressure: Floats
    """MPa absolute."""
    slope: Floats
    """MPa/s"""
    temperature: Floats
    """Mean of the fuel, °C."""


def fading(rate: Any, time: Any, lib: Any) -> tuple[Any, Any]:
    """What is left, after `time`, of the wall's distance from ambient, and the rate at which it goes, 1/s.

    `rate` (1/s) may be negative: then the wall warms, by at most `SOAKED` of the distance. `lib`: math or numpy.
    """
    if lib is math:
        gone = lib.exp(-abs(rate) * time / (1.0 if rate > 0.0 else SOAKED))
        return (gone if rate > 0.0 else 1.0 + SOAKED * (1.0 - gone)), rate * gone
    gone = lib.exp(-abs(rate) * time / lib.where(rate > 0.0, 1.0, SOAKED))
    return lib.where(rate > 0.0, gone, 1.0 + SOAKED * (1.0 - gone)), rate * gone


def leak(r: Rails, m: Middle, p: Floats | float, t: Floats | float, rho: Floats) -> Floats:
    """Volume flow at line in the middle of the hold, mL/min, at absolute pressure `p` (MPa), temperature `t` (°C) and density
    `rho`."""
    import numpy as np

    d = np.maximum(p - r.back, _LEAST_DIFFERENCE) / (m.pressure - m.back)
    share = r.laminar_share
    # a share given as a plain 0 or 1 is a pure law: the other half need not be worked out
    pure = share if isinstance(share, float) and share in (0.0, 1.0) else None
    clearance: Floats | float = 0.0
    hole: Floats | float = 0.0
    if pure != 0.0:
        clearance = share * d * np.exp(r.laminar_warmth * (t - m.temperature) - r.laminar_slope * (p - m.pressure))
    if pure != 1.0:
        hole = (1.0 - share) * np.sqrt(d * (m.density / rho))
    flow: Floats = r.leak * (clearance + hole)
    return flow


def integrate(r: Rails, m: Middle, nodes: Floats) -> Path:
    """The ensemble over `nodes` (s, shape (k + 1,)) by the classical fourth-order rule, one step between nodes."""
    import numpy as np

    rates = _Rates(r, m)
    size = np.broadcast_shapes(*(np.shape(field) for field in (*r[:-1], *r.fuel)))
    p, t = np.broadcast_to(r.start, size).astype(float), np.broadcast_to(r.fuel_start, size).astype(float)
    thin = t
    lowest = r.back + 1e-3
    path = Path(*(np.empty((len(nodes), *size)) for _ in range(3)))

    def held(p: Floats) -> Floats:
        return np.minimum(np.maximum(p, lowest), _HIGHEST)

    for i, now in enumerate(nodes):
        a = rates(now, p, t, thin)
        path.pressure[i], path.slope[i], path.temperature[i] = p, a[0], t + r.thin_share * (thin - t)
        if i + 1 == len(nodes):
            break
        h = nodes[i + 1] - now
        b = rates(now + h / 2, held(p + h / 2 * a[0]), t + h / 2 * a[1], thin + h / 2 * a[2])
        c = rates(now + h / 2, held(p + h / 2 * b[0]), t + h / 2 * b[1], thin + h / 2 * b[2])
        d = rates(now + h, held(p + h * c[0]), t + h * c[1], thin + h * c[2])
        p = held(p + h / 6 * (a[0] + 2 * (b[0] + c[0]) + d[0]))
        t = t + h / 6 * (a[1] + 2 * (b[1] + c[1]) + d[1])
        thin = thin + h / 6 * (a[2] + 2 * (b[2] + c[2]) + d[2])
    return path


class _Rates:
    """dp/dt, dT1/dt, dT2/dt of an ensemble; the fuel's equations are fused here because they are worked out some 300 times."""

    def __init__(self, r: Rails, m: Middle) -> None:
        self.r, self.m = r, m
        c = r.fuel
        self.per_volume = 1.0 / (60.0 * r.volume)
        self.slope2 = 2.0 * c.expansion_slope
        self.curve2 = 2.0 * c.modulus_curve
        self.heat0 = (c.heat_capacity - 15.0 * c.heat_capacity_slope) * 1e-6

    def __call__(self, now: float, p: Floats, bulk: Floats, thin: Floats) -> tuple[Floats, Floats, Floats]:
        import numpy as np

        r, c = self.r, self.r.fuel
        t = np.minimum(np.maximum(bulk + r.thin_share * (thin - bulk), _REACH[0]), _REACH[1])
        d = t - 15.0
        left, going = fading(r.wall_rate, now, np)
        distance = r.wall_start - r.ambient
        wall = r.ambient + left * distance
        cb = c.tait_c * c.modulus * np.exp(-d * (c.modulus_slope + c.modulus_curve * d))
        u = cb + (p - ANCHOR_PRESSURE)
        x = 1.0 - c.tait_c * np.log(u / cb)
        alpha = c.expansion + self.slope2 * d + c.tait_c * (c.modulus_slope + self.curve2 * d) * (cb / u - 1.0) / x
        rho = c.density * np.exp(-d * (c.expansion + c.expansion_slope * d)) / x
        g = (t + ZERO_CELSIUS) * alpha / (rho * (self.heat0 + c.heat_capacity_slope * 1e-6 * t))
        slow, quick = (bulk - wall) / r.heat_time, (thin - wall) / r.thin_time
        heat = slow + r.thin_share * (quick - slow)
        give = c.tait_c / (x * u) - alpha * g + r.rail_give + r.gas / (p * p)
        drifted = np.exp(r.drift * (2.0 * min(now / self.m.end, 1.0) - 1.0))
        lost = leak(r, self.m, p, t, rho) * drifted * self.per_volume
        dp = (-lost - alpha * heat + 3.0 * STEEL_EXPANSION * distance * going) / give
        return dp, g * dp - slow, g * dp - quick
