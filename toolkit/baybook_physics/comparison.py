"""How several alike quantities compare, such as the return flows of an engine's injectors.

Plain floats in and out, one number for each, shape `(n,)` with n of 2 or more, in any unit that all share. Where a quantity is
known as a least alone (`over`: the cylinder ran over) a percentage has a least and a most; elsewhere both are one list.
A ratio to nothing is infinite; of nothing to nothing it may be anything.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import inf, sqrt

__all__ = [
    "Ends",
    "deviation",
    "distances",
    "means_of_others",
    "median",
    "medians_of_others",
    "percent_of_highest",
    "percent_of_mean",
    "percent_of_median",
    "percent_of_others",
    "spread",
]

Ends = tuple[list[float], list[float]]
"""The least and the most of each."""


def median(values: Sequence[float]) -> float:
    """Give the value in the middle, of an even count half-way between the two in the middle."""
    ordered = sorted(values)
    return (ordered[(len(ordered) - 1) // 2] + ordered[len(ordered) // 2]) / 2


def medians_of_others(values: Sequence[float]) -> list[float]:
    """Give for each value the median of all the others, shape `(n,)`."""
    ordered = sorted(values)
    low, high = (len(ordered) - 2) // 2, (len(ordered) - 1) // 2  # of the others, in their order
    below, above = ordered[low], ordered[low + 1]
    if low == high:  # an odd count of others: one stands in the middle
        return [above if value <= below else below for value in values]
    upper = ordered[high + 1]
    return [((above if value <= below else below) + (upper if value <= above else above)) / 2 for value in values]


def means_of_others(values: Sequence[float]) -> list[float]:
    """Give for each value the mean of all the others, shape `(n,)`; infinite where one of them is."""
    if inf in values:
        return [sum(value for j, value in enumerate(values) if j != i) / (len(values) - 1) for i in range(len(values))]
    whole, count = sum(values), len(values) - 1
    return [max(whole - value, 0.0) / count for value in values]


def percent_of_median(values: Sequence[float], over: Sequence[bool] = ()) -> Ends:
    """Give each in per cent of the median of the others."""
    return _percents(values, over, medians_of_others)


def percent_of_others(values: Sequence[float], over: Sequence[bool] = ()) -> Ends:
    """Give each in per cent of the mean of the others."""
    return _percents(values, over, means_of_others)


def percent_of_highest(values: Sequence[float]) -> list[float]:
    """Give each in per cent of the highest. Raises ZeroDivisionError when all are zero."""
    highest = max(values)
    return [100 * value / highest for value in values]


def percent_of_mean(values: Sequence[float], over: Sequence[bool] = ()) -> Ends:
    """Give each in per cent of the mean of all."""
    count, whole = len(values), sum(values)
    if not any(over) and whole > 0:
        found = [100 * count * value / whole for value in values]
        return found, found
    least, most = percent_of_others(values, over)
    return [_of_all(percent, count) for percent in least], [_of_all(percent, count) for percent in most]


def _percents(values: Sequence[float], over: Sequence[bool], others: Callable[[Sequence[float]], list[float]]) -> Ends:
    smallest = others(values)
    if not any(over) and min(smallest) > 0:
        found = [100 * value / other for value, other in zip(values, smallest, strict=True)]
        return found, found
    most = [inf if full else value for value, full in zip(values, over or [False] * len(values), strict=True)]
    least = [_percent(value, other, 0.0) for value, other in zip(values, others(most), strict=True)]
    return least, [_percent(value, other, inf) for value, other in zip(most, smallest, strict=True)]


def _percent(value: float, other: float, unknown: float) -> float:
    if other == 0 or value == inf:
        return inf if value > 0 else unknown
    return 100 * value / other


def _of_all(percent: float, count: int) -> float:
    """The percentage of the mean of all from that of the mean of the others: n r/(r + n - 1), r as a share."""
    return 100.0 * count if percent == inf else 100 * count * percent / (percent + 100 * (count - 1))


def spread(values: Sequence[float]) -> float:
    """Give the largest less the smallest in per cent of the mean. Raises ZeroDivisionError when all are zero."""
    return 100 * len(values) * (max(values) - min(values)) / sum(values)


def deviation(values: Sequence[float]) -> float:
    """Give the standard deviation of a sample (n - 1)."""
    mean = sum(values) / len(values)
    return sqrt(sum((value - mean) ** 2 for value in values) / (len(values) - 1))


def distances(values: Sequence[float], over: Sequence[bool] = ()) -> Ends:
    """How far each value is from the median of all, the least and the most: they differ where a cylinder ran over."""
    low = median(values)
    if not any(over):
        found = [abs(value - low) for value in values]
        return found, found
    high = median([inf if full else value for value, full in zip(values, over, strict=True)])
    pairs = list(zip(values, over, strict=True))
    least = [max(value - high, 0.0 if full else low - value, 0.0) for value, full in pairs]
    return least, [inf if full else max(abs(high - value), abs(value - low)) for value, full in pairs]
