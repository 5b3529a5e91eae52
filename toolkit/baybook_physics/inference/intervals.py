"""Draws from independent normals, and intervals of what they come to, for plain floats: no numpy.

`inference.weights` has the same interval for arrays.
"""

from __future__ import annotations

import math
from typing import NamedTuple

__all__ = ["SIDE", "Interval", "interval", "normal_quantile", "normal_share", "square_normals", "weighted"]

_ROOT_2, _ROOT_2_PI = math.sqrt(2.0), math.sqrt(2.0 * math.pi)


class Interval(NamedTuple):
    """Of draws: median, 95 % bounds, standard uncertainty; one unit."""

    value: float
    low: float
    high: float
    standard: float


def normal_share(quantile: float) -> float:
    """The share of a standard normal below a quantile; `normal_quantile` is the way back."""
    return 0.5 * math.erfc(-quantile / _ROOT_2)


def normal_quantile(share: float) -> float:
    """Inverse of the normal distribution function for 0 < `share` < 1, to 1e-9.

    Abramowitz & Stegun 26.2.23 (good to 4.5e-4) to begin with, then Newton steps on `math.erfc`.
    """
    tail = math.sqrt(-2.0 * math.log(min(share, 1.0 - share)))
    above = 2.515517 + tail * (0.802853 + tail * 0.010328)
    below = 1.0 + tail * (1.432788 + tail * (0.189269 + tail * 0.001308))
    x = math.copysign(tail - above / below, share - 0.5)
    for _ in range(3):
        x -= (normal_share(x) - share) * _ROOT_2_PI * math.exp(0.5 * x * x)
    return x


SIDE = 23
"""A prime: the side of the orthogonal square below, and the most dimensions it has."""


def square_normals(dimensions: int) -> list[list[float]]:
    """`SIDE` squared rows of up to `SIDE` standard normals in which no two columns are correlated (by more than 0.01).

    Bose's orthogonal array: row (a, b), column k holds level a + k b mod `SIDE`, so every pair of columns holds every pair of
    levels once; b spreads the rows within a level, and a shift of each column's levels keeps three from moving together.
    Raises `ValueError` for more dimensions than that.
    """
    if dimensions > SIDE:
        raise ValueError(f"{dimensions} dimensions; the square has {SIDE}")
    count = SIDE * SIDE
    lower = [normal_quantile((i + 0.5) / count) for i in range(count // 2)]
    column = [*lower, 0.0, *(-value for value in reversed(lower))]
    shifts = [13 * k * k for k in range(dimensions)]  # of several tried, the one with the least correlation left
    return [
        [column[(a + k * b + shift) % SIDE * SIDE + (b + 3 * k) % SIDE] for k, shift in enumerate(shifts)]
        for a in range(SIDE)
        for b in range(SIDE)
    ]


def interval(values: list[float]) -> Interval:
    """Median, 2.5 % and 97.5 % points and standard deviation of at least 40 draws (`ValueError` for fewer)."""
    if len(values) < 40:
        raise ValueError("too few draws for an interval")
    ordered = sorted(values)
    mean = sum(ordered) / len(ordered)
    standard = math.sqrt(sum((v - mean) ** 2 for v in ordered) / (len(ordered) - 1))
    return Interval(_point(ordered, 0.5), _point(ordered, 0.025), _point(ordered, 0.975), standard)


def weighted(values: list[float], weights: list[float]) -> Interval:
    """Median, 2.5 % and 97.5 % points and standard deviation of weighted draws."""
    pairs, total = sorted(zip(values, weights, strict=True)), sum(weights)
    mean = sum(v * w for v, w in pairs) / total
    standard = math.sqrt(sum(w * (v - mean) ** 2 for v, w in pairs) / total)
    points, below = [], 0.0
    wanted = [0.025, 0.5, 0.975]
    last = (pairs[0][0], 0.0)
    for value, weight in pairs:
        here = (below + 0.5 * weight) / total
        while wanted and here >= wanted[0]:
            share = wanted.pop(0)
            points.append(last[0] + (share - last[1]) / (here - last[1]) * (value - last[0]))
        last, below = (value, here), below + weight
    low, middle, high = (points + [pairs[-1][0]] * 3)[:3]
    return Interval(middle, low, high, standard)


def _point(ordered: list[float], share: float) -> float:
    place = share * len(ordered) - 0.5
    below = min(max(math.floor(place), 0), len(ordered) - 2)
    part = min(max(place - below, 0.0), 1.0)
    return ordered[below] + part * (ordered[below + 1] - ordered[below])
