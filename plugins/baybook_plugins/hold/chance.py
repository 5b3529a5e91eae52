"""Draws from independent normals without numpy: a Latin square, the same every time."""

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


def latin_normals(count: int, dimensions: int) -> list[list[float]]:
    """`count` rows of `dimensions` standard normals; every column holds the same evenly spaced quantiles, shuffled."""
    from random import Random

    draw = Random(1).random
    lower = [normal_quantile((i + 0.5) / count) for i in range(count // 2)]
    column = [*lower, *([0.0] * (count % 2)), *(-value for value in reversed(lower))]
    columns = []
    for _ in range(dimensions):
        # sorting by drawn keys shuffles several times faster than random.shuffle
        keys = [draw() for _ in column]
        columns.append([column[place] for place in sorted(range(count), key=keys.__getitem__)])
    return [list(row) for row in zip(*columns, strict=True)]


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
