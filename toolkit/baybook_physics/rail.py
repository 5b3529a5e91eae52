"""A rail that is filled and emptied: what it holds at a pressure, and how pressure goes with what flows.

Contents are volumes at a reference density, such as that in the supply, so that a balance of them is one of mass. Pressures are
MPa absolute, unless a caller uses another unit throughout; arrays of shape (n,), time in s.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from .fuels import FuelModel

__all__ = ["Store", "build_up_time", "follow", "integral", "isentropic_store"]

Floats = NDArray[np.float64]
_ATMOSPHERE = 0.101325
_LOWEST = 0.05  # MPa absolute
_POINTS = 80


class Store(NamedTuple):
    """What a rail holds: `content` at each `pressure`, both rising."""

    pressure: Floats
    content: Floats

    @classmethod
    def of(
        cls,
        pressure: Floats,
        density: Floats,
        volume: float,
        reference: float,
        wall_compliance: float = 0.0,
        air: float = 0.0,
        atmospheric: float = _ATMOSPHERE,
    ) -> Store:
        """From the density over pressure (one temperature); volume at no pressure; wall_compliance: 1/K of the steel.

        air: free air, as volume at atmospheric pressure, that shrinks as Boyle says and does not dissolve; it fills at most the
        rail, and with it no pressure may be 0. Sources: balance of mass; series law of moduli, hydraulics handbooks after
        Merritt 1967.
        """
        room = volume * (1.0 + wall_compliance * pressure)
        if air:
            room = room - np.minimum(air * atmospheric / pressure, volume)
        return cls(pressure, density / reference * room)

    def at(self, pressure: Floats) -> Floats:
        """The content at a pressure."""
        return np.interp(pressure, self.pressure, self.content)

    def level(self, content: float) -> float:
        """The pressure of a content."""
        return float(np.interp(content, self.content, self.pressure))


def isentropic_store(
    fuel: FuelModel,
    temperature: float,
    volume: float,
    wall_compliance: float,
    top: float,
    air: float = 0.0,
    stiffer: float = 1.0,
) -> Store:
    """The store of a rail that is filled within seconds, too fast for its heat to leave: the fuel's isentropic modulus.

    temperature in °C; top in MPa absolute; content at the density of atmospheric pressure. stiffer: factor on the modulus.
    """
    pressure = np.geomspace(_LOWEST, max(top, 1.0), _POINTS)
    soft = np.array([1.0 / fuel.isentropic_modulus(temperature, float(p)) for p in pressure]) / stiffer
    rise = integral(pressure, soft)
    return Store.of(pressure, np.exp(rise - np.interp(_ATMOSPHERE, pressure, rise)), volume, 1.0, wall_compliance, air)


def build_up_time(store: Store, start: float, end: float, net: float) -> float:
    """Seconds until `end` is reached from `start` with `net` flowing in per second; infinite where nothing comes to stay."""
    amount = float(store.at(np.array(end)) - store.at(np.array(start)))
    return amount / net if net > 0 else float("inf")


def follow(store: Store, start: float, times: Floats, net: Callable[[float, float], float]) -> Floats:
    """The pressure over `times` from `start` on, where net(time, pressure) flows in per second, by the midpoint rule."""
    content = float(store.at(np.array(start)))
    path = np.empty(len(times))
    path[0] = start
    for place, (now, then) in enumerate(pairwise(times.tolist()), 1):
        step = then - now
        half = store.level(content + 0.5 * step * net(now, path[place - 1]))
        content += step * net(now + 0.5 * step, half)
        path[place] = store.level(content)
    return path


def integral(time: Floats, values: Floats) -> Floats:
    """The running integral by the trapezoidal rule, 0 at the first."""
    return np.concatenate([[0.0], np.cumsum(0.5 * (values[1:] + values[:-1]) * np.diff(time))])
