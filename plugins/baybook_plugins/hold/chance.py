"""Draws from independent normals without numpy: an orthogonal square, the same every time."""

from __future__ import annotations

import math
from typing import NamedTuple


class Interval(NamedTuple):
    """An output of the hold test: median, 95 % bounds, standard uncertainty, one unit."""

    value: float
    low: float
    high: float
    standard: float


def normal_quantile(share: float) -> float:
    """Inverse of the normal distribution function for 0 < `share` < 1, to 1e-9 (Newton steps on `math.erfc`)."""
    x = math.copysign(math.sqrt(-2.0 * math.log(min(share, 1.0 - share) * 2.0 + 1e-300)), share - 0.5)
    for _ in range(60):
        error = 0.5 * math.erfc(-x / math.sqrt(2.0)) - share
        step = error * math.sqrt(2.0 * math.pi) * math.exp(0.5 * x * x)
        step = max(-0.5, min(0.5, step))
        x -= step
        if abs(step) < 1e-10:
            break
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


def _point(ordered: list[float], share: float) -> float:
    place = share * len(ordered) - 0.5
    below = min(max(math.floor(place), 0), len(ordered) - 2)
    part = min(max(place - below, 0.0), 1.0)
    return ordered[below] + part * (ordered[below + 1] - ordered[below])
