"""Compare the return flows of several injectors.

Plain floats in and out: volumes in mL, time in min, flows in mL/min. ``values`` always holds one number per injector, shape
``(n,)`` with n of 2 or more.

Two kinds of error are kept apart, because they act differently:

* *own* errors differ from injector to injector (reading the meniscus; a cylinder's own calibration). They spoil a comparison.
* *shared* errors are the same for all (the common time; the calibration where one cylinder measured them all in turn). They
  move every flow together and cancel in every ratio.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import sqrt
from typing import NamedTuple

# 1000 draws fix a standard uncertainty to 1/sqrt(2*1000) = 2.2 % of itself: finer than any reading error is known, and a few
# milliseconds. The seed makes every run give the same answer.
DRAWS = 1000
SEED = 20


class Ratio(NamedTuple):
    """A ratio and its standard uncertainty."""

    value: float
    u: float


def balance(volumes: Sequence[float], time: float, calibration: float = 1.0, delivery: float = 0.0) -> dict[str, float]:
    """Work out every flow and comparison that is smooth in the readings; the median is not, see `over_median_of_others`.

    volumes: collected, mL, shape ``(n,)``, not all zero; time: common to all, min; calibration: true volume over volume read,
    the factor that all volumes share; delivery: of the pump, mL/min, 0 where not known.

    Gives, with i from 1: `flow_i` = c V_i/t; `percent_of_mean_i` = 100 n V_i/S with S the sum; `percent_of_others_i` =
    100 (n - 1) V_i/(S - V_i); `total` and `mean` flow; `spread` = 100 n (V_max - V_min)/S; with a delivery,
    `share_of_delivery` in per cent. Raises ZeroDivisionError when all volumes but one are zero.
    """
    count, total = len(volumes), sum(volumes)
    flow = calibration * total / time
    found = {"total": flow, "mean": flow / count, "spread": 100 * count * (max(volumes) - min(volumes)) / total}
    if delivery:
        found["share_of_delivery"] = 100 * flow / delivery
    for i, volume in enumerate(volumes, 1):
        found[f"flow_{i}"] = calibration * volume / time
        found[f"percent_of_mean_{i}"] = 100 * count * volume / total
        found[f"percent_of_others_{i}"] = 100 * (count - 1) * volume / (total - volume)
    return found


def medians_of_others(values: Sequence[float]) -> list[float]:
    """Give for each value the median of all the others, shape ``(n,)``."""
    ordered = sorted(values)
    low, high = (len(ordered) - 2) // 2, (len(ordered) - 1) // 2
    result = []
    for value in values:
        rest = ordered.copy()
        rest.remove(value)
        result.append((rest[low] + rest[high]) / 2)
    return result


def over_medians(values: Sequence[float]) -> list[float]:
    """Divide each value by the median of the others."""
    return [value / median for value, median in zip(values, medians_of_others(values), strict=True)]


@lru_cache(maxsize=1)
def own_errors(own_u: tuple[float, ...]) -> list[list[float]]:
    """Draw `DRAWS` sets of normal errors with the given standard deviations, one error per injector (fixed seed)."""
    from random import Random

    gauss = Random(SEED).gauss
    return [[gauss(0.0, u) for u in own_u] for _ in range(DRAWS)]


def deviation(values: Sequence[float]) -> float:
    """Give the standard deviation of a sample (n - 1)."""
    mean = sum(values) / len(values)
    return sqrt(sum((value - mean) ** 2 for value in values) / (len(values) - 1))


def over_median_of_others(volumes: Sequence[float], own_u: Sequence[float]) -> list[Ratio]:
    """Divide each volume by the median of the others, with what the own errors (standard, mL) do to it.

    Shared errors cancel. The u comes from repeating the readings within their own errors (Monte Carlo, JCGM 101), not from
    derivatives: where two readings are equal the median stays put when one of them is nudged, so a derivative would call its
    uncertainty zero, and readings taken to half a division are often equal. Raises ZeroDivisionError when a median is zero.
    """
    repeats = [
        over_medians([volume + error for volume, error in zip(volumes, errors, strict=True)])
        for errors in own_errors(tuple(own_u))
    ]
    columns = zip(*repeats, strict=True)
    return [Ratio(ratio, deviation(column)) for ratio, column in zip(over_medians(volumes), columns, strict=True)]


def spread_of_equal_injectors(volumes: Sequence[float], own_u: Sequence[float]) -> float:
    """Give the spread in per cent of the mean that the own errors alone would make out of equal injectors.

    A spread cannot be negative, so reading errors alone make one: this is its 95th percentile over the same repeats. A
    measured spread below it is no difference at all.
    """
    ranges = sorted(max(errors) - min(errors) for errors in own_errors(tuple(own_u)))
    return 100 * ranges[int(0.95 * DRAWS)] * len(volumes) / sum(volumes)
