"""Orders of a pump: what its elements make by their motion, and what a recorded pressure holds of them.

An order counts how often something happens in one turn of the pump's shaft. Arrays of shape (n,), time in s.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .following import runs, standing, turning
from .rail import integral
from .strokes import Found

__all__ = [
    "TURNS",
    "Pulsation",
    "kinematic_orders",
    "measured_orders",
    "pulsation",
    "share_by_speed",
    "steady_stretch",
    "turned",
]

Floats = NDArray[np.float64]
SETTLE = 1.0  # s after the first turn, and for which the target stood still
UNSTEADY = 0.01  # of the speed: where it shakes by more at an order, pressure has that order from the engine's strokes
BESIDE = (0.38, 0.47)
"""Between two orders nothing of a pump repeats; what is there is taken for noise, this far to either side."""
TURNS = 6
"""Turns of the shaft in one block: its window tells orders apart that are a third apart (Hann window, whose first zero is two
bins away: Harris, Proc. IEEE 66 (1978) 51)."""


def kinematic_orders(strengths: Sequence[float], most: int, lobes: int = 1) -> Floats:
    """Amplitudes (peak values over the mean flow) of orders 1 to `most`: half-sine strokes, evenly spaced, of these strengths.

    lobes: of the cam, each of which makes every element stroke once a turn. Fourier series of a half sine of mean q: q pi/2 at
    its own frequency, 2 q/(k^2 - 1) at the even multiples k (handbooks of mathematics).
    """
    q, number = np.asarray(strengths, float), len(strengths)
    found = np.zeros(most)
    for k in range(1, most // lobes + 1):
        part = np.pi / 2 if k == 1 else 2.0 / (k * k - 1) if k % 2 == 0 else 0.0
        turned = np.exp(-2j * np.pi * k * np.arange(number) / number)
        found[k * lobes - 1] = part * abs(np.sum(q * turned)) / q.sum()
    return found


def measured_orders(turns: Floats, values: Floats, orders: Sequence[float]) -> list[Found]:
    """The orders in `values` over the shaft's `turns` (rising), in blocks of some turns with a Hann window.

    A trend to the second power is taken off each block. The blocks' powers are averaged, so that a speed that is known
    roughly does not blur them. Raises ValueError where there are not enough turns for one block.
    """
    whole = float(turns[-1] - turns[0])
    if whole < TURNS:
        raise ValueError(f"{whole:.3g} turns of the pump; {TURNS} are needed")
    count = int(whole // TURNS)
    edges = np.searchsorted(turns, turns[0] + whole / count * np.arange(count + 1))
    wanted = [*orders, *(order + side * away for order in orders for away in BESIDE for side in (-1, 1))]
    powers = np.array([_powers(turns[a:b], values[a:b], wanted) for a, b in pairwise(edges)])
    found = []
    for place, order in enumerate(orders):
        beside = len(orders) + place * 2 * len(BESIDE)
        noise = float(powers[:, beside : beside + 2 * len(BESIDE)].mean())
        own = powers[:, place]
        amplitude = float(np.sqrt(max(own.mean() - noise, 0.0)))
        scatter = float(own.std(ddof=1) / np.sqrt(count)) / (2 * amplitude) if count > 1 and amplitude else 0.0
        found.append(Found(order, amplitude, float(np.hypot(scatter, np.sqrt(noise / (2 * count)))), float(np.sqrt(noise))))
    return found


def share_by_speed(turns: Floats, speed: Floats, number: int) -> float:
    """What a sound pump's elements may seem to lack of one, because each always fills while the engine is fast, or slow.

    turns of the pump, speed of the engine in any unit. A swing e of the speed at an order beside a multiple of the elements'
    number n is seen by the strokes as order 1: n fills of 1 + e cos(2 pi s k/n) have it as one element does that lacks n e/2
    (Fourier; as in sampling, Shannon 1949). ValueError as in `measured_orders`.
    """
    swings = measured_orders(turns, speed, [float(k * number + side) for k in (1, 2) for side in (-1, 1)])
    return number * max(each.amplitude for each in swings) / float(speed.mean()) / 2


def _powers(turns: Floats, values: Floats, orders: Sequence[float]) -> Floats:
    """Squared amplitudes of one block."""
    x = (turns - turns[0]) / (turns[-1] - turns[0])
    flat = values - np.polyval(np.polyfit(x, values, 2), x)
    weight = (1.0 - np.cos(2 * np.pi * x)) * np.gradient(turns)
    flat = flat - (weight @ flat) / weight.sum()
    waves = np.exp(-2j * np.pi * np.outer(np.asarray(orders), turns))
    powers: Floats = np.abs(2.0 * (waves @ (weight * flat)) / weight.sum()) ** 2
    return powers


def steady_stretch(time: Floats, speed: Floats, target: Floats | None = None) -> slice:
    """The longest run of rows in which the engine turns, at half its usual speed at least, and the target stands still.

    speed: of the engine, rpm; target: pressure that is wanted, in any unit, with gaps; None where it is not known.
    """
    inside = turning(time, speed, SETTLE)
    if inside.any():
        inside &= speed >= 0.5 * float(np.median(speed[inside]))
    told = np.isfinite(target) if target is not None else np.zeros(0, bool)
    if target is not None and told.any():
        inside &= standing(time, np.interp(time, time[told], target[told]), SETTLE)
    return slice(*max(runs(inside), key=lambda run: run[1] - run[0], default=(0, 0)))


class Pulsation(NamedTuple):
    """What a pump makes of a recorded pressure.

    orders: 1 to twice the elements, times the lobes; of_speed: those that the engine's speed has itself; by_speed: what a swing
    of the speed makes a sound element seem to lack, % of one; mean: of the pressure, with its standard uncertainty.
    """

    orders: tuple[Found, ...]
    of_speed: frozenset[float]
    by_speed: float
    mean: tuple[float, float]


def pulsation(turns: Floats, pressure: Floats, speed: Floats, elements: int, lobes: int) -> Pulsation:
    """The orders of a pump in `pressure` over its `turns`; speed: of the engine. ValueError as in `measured_orders`."""
    wanted = [float(n * lobes) for n in range(1, 2 * elements + 1)]
    orders = tuple(measured_orders(turns, pressure, wanted))
    mean = float(pressure.mean()), float(pressure.std() / np.sqrt(len(pressure)))
    if float(np.ptp(speed)) == 0.0:
        return Pulsation(orders, frozenset(), 0.0, mean)
    shakes = measured_orders(turns, speed, wanted)
    own = frozenset(each.order for each in shakes if each.stands_out and each.amplitude > UNSTEADY * float(speed.mean()))
    return Pulsation(orders, own, 100 * share_by_speed(turns, speed, elements * lobes), mean)


def turned(time: Floats, speed: Floats, ratio: float) -> tuple[Floats, float]:
    """Turns of the pump at each row, and how many it makes in a second; speed: of the engine, rpm; ratio: of its drive."""
    turns = integral(time, speed / 60 * ratio)
    return turns, float(turns[-1]) / float(time[-1] - time[0])
