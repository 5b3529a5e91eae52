"""Fuel shut in a rail: pressure and temperature of a whole ensemble of possible rails, integrated at once.

    d ln m/dt = -Q/V                                        the leak takes mass
    dTi/dt    = g dp/dt - (Ti - Tw)/tau_i,  g = T alpha/(rho cp)  expansion cools, the wall warms or cools
    dp/dt (1/K_S + 1/Kc) = -Q/V - alpha H - 3 a_s dTw/dt,   H the mean of (Ti - Tw)/tau_i
    Tw        = Ta + (Tw0 - Ta) exp(-t/tau_w)                the wall drifts to ambient

There are two Ti: that of the fuel in the rail and that of the fuel in thin bores, which cools more quickly; T is their mean.
K_S follows from the fuel's K_T by 1/K_S = 1/K_T - alpha g; 1/Kc is the wall's compliance, a_s the expansion of steel.
The leak follows a law of `leaks`, times its own drift.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from .fuels import Coefficients
from .fuels.equations import thermal_state
from .heat import wall_drift
from .leaks import Leak, ReferenceState, drift_factor, volume_flow

__all__ = ["STEEL_EXPANSION", "Rails", "Trajectory", "integrate", "together"]

Floats = NDArray[np.float64]

STEEL_EXPANSION = 11.7e-6  # 1/K, linear, handbook value from memory
_HIGHEST = 600.0  # MPa, for members that strayed
_QUICKEST = 2.0  # of what settles in a step: the fourth-order rule is steady up to 2.78, less where it is coupled
_REACH = (-80.0, 250.0)  # °C: a search may stray, and a member beyond this is lost anyway


class Rails(NamedTuple):
    """An ensemble; every field but the last two is a float or an array (n,)."""

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
    wall_compliance: Floats
    """1/Kc, 1/MPa."""
    gas: Floats | float
    """Free gas: volume share times pressure, MPa; its compliance is gas/p^2."""
    leak: Leak
    fuel: Coefficients


class Trajectory(NamedTuple):
    """Where an ensemble went: shape (nodes, n) each."""

    pressure: Floats
    """MPa absolute."""
    slope: Floats
    """MPa/s"""
    temperature: Floats
    """Mean of the fuel, °C."""


def together(ensembles: Sequence[Rails]) -> Rails:
    """Several ensembles as one, each field an array (n,) of all their members."""
    sizes = [np.broadcast_shapes(*map(np.shape, (*r[:-2], *r.leak, *r.fuel))) for r in ensembles]

    def joined(fields: Sequence[Any]) -> Floats:
        return np.concatenate([np.broadcast_to(field, size) for field, size in zip(fields, sizes, strict=True)])

    leak = Leak(*map(joined, zip(*(r.leak for r in ensembles), strict=True)))
    fuel = Coefficients(*map(joined, zip(*(r.fuel for r in ensembles), strict=True)))
    rest = {name: joined([getattr(r, name) for r in ensembles]) for name in Rails._fields[:-2]}
    return ensembles[0]._replace(**rest, leak=leak, fuel=fuel)


def integrate(r: Rails, reference: ReferenceState, nodes: Floats) -> Trajectory:
    """The ensemble over `nodes` (s, shape (k + 1,)) by the classical fourth-order rule, one step between nodes.

    Heat that is exchanged more quickly than a step can follow is exchanged as quickly as it can: with short steps at the start,
    where a warm fuel cools, nothing is lost by that.
    """
    size = np.broadcast_shapes(*(np.shape(field) for field in (*r[:-2], *r.leak, *r.fuel)))
    rates = _Rates(r, reference, nodes, size)
    state = np.stack([np.broadcast_to(each, size).astype(float) for each in (r.start, r.fuel_start, r.fuel_start)])
    lowest = r.leak.back + 1e-3
    path = Trajectory(*(np.empty((len(nodes), *size)) for _ in range(3)))

    def held(state: Floats) -> Floats:
        np.minimum(np.maximum(state[0], lowest), _HIGHEST, out=state[0])
        return state

    def slope(i: int, h: float) -> Floats:
        rates.step(h)
        a = rates(2 * i, state)
        path.pressure[i], path.slope[i] = state[0], a[0]
        path.temperature[i] = state[1] + r.thin_share * (state[2] - state[1])
        return a

    for i, h in enumerate(np.diff(nodes).tolist()):
        now, a = 2 * i, slope(i, h)
        b = rates(now + 1, held(state + 0.5 * h * a))
        c = rates(now + 1, held(state + 0.5 * h * b))
        d = rates(now + 2, held(state + h * c))
        state = held(state + h / 6.0 * (a + 2.0 * (b + c) + d))
    slope(len(nodes) - 1, 0.0)
    return path


class _Rates:
    """dp/dt, dT1/dt, dT2/dt of an ensemble, of a state of the same three, shape (3, n).

    Worked out some 160 times for each, so what depends on time alone is kept. Times are counted in half steps: an even number
    is a node, an odd one the middle between two.
    """

    def __init__(self, r: Rails, reference: ReferenceState, nodes: Floats, size: tuple[int, ...]) -> None:
        self.r, self.reference = r, reference
        times = np.empty(2 * len(nodes) - 1)
        times[::2], times[1::2] = nodes, 0.5 * (nodes[1:] + nodes[:-1])
        column = times.reshape(-1, *([1] * len(size)))
        left, going = wall_drift(r.wall_rate, column, np)
        distance = r.wall_start - r.ambient
        self.wall, self.swelling = r.ambient + left * distance, 3.0 * STEEL_EXPANSION * distance * going
        self.lost = r.leak.flow / (60.0 * r.volume) * drift_factor(r.leak, reference, column)
        self.exchange = 1.0 / np.stack([np.broadcast_to(each, size) for each in (r.heat_time, r.thin_time)])
        self.quickest, self.per_time = float(self.exchange.max()), self.exchange
        self.leak = r.leak._replace(flow=np.ones(()))
        self.gas = r.gas if np.any(r.gas) else None

    def step(self, h: float) -> None:
        """The rates that follow are those of a step of `h` seconds."""
        self.per_time = self.exchange if self.quickest * h <= _QUICKEST else np.minimum(self.exchange, _QUICKEST / h)

    def __call__(self, now: int, state: Floats) -> Floats:
        r, p, bulk = self.r, state[0], state[1]
        t = np.minimum(np.maximum(bulk + r.thin_share * (state[2] - bulk), _REACH[0]), _REACH[1])
        fuel = thermal_state(r.fuel, t, p, np)
        cooling = (state[1:] - self.wall[now]) * self.per_time
        heat = cooling[0] + r.thin_share * (cooling[1] - cooling[0])
        compliance = fuel.compressibility - fuel.expansion * fuel.heating + r.wall_compliance
        if self.gas is not None:
            compliance = compliance + self.gas / (p * p)
        lost = self.lost[now] * volume_flow(self.leak, self.reference, p, t, fuel.density)
        rates = np.empty_like(state)
        rates[0] = (self.swelling[now] - lost - fuel.expansion * heat) / compliance
        rates[1:] = fuel.heating * rates[0] - cooling
        return rates
