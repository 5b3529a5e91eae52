"""Compare the return flows of several injectors.

Plain floats in and out: volumes in mL, time in min, flows in mL/min. ``values`` always holds one number per injector, shape
``(n,)`` with n of 2 or more.

Two kinds of error are kept apart, because they act differently:

* *own* errors differ from injector to injector (reading the meniscus; a cylinder's own calibration). They spoil a comparison.
* *shared* errors are the same for all (the common time; the calibration where one cylinder measured them all in turn). They
  move every flow together and cancel in every ratio.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from math import inf, sqrt

# In place of a ratio to nothing: draws have to be finite.
ENDLESS = 1e9

Pair = tuple[float, float]


def balance(volumes: Sequence[float], time: float, calibration: float = 1.0, delivery: float = 0.0) -> dict[str, float]:
    """Work out every flow.

    volumes: collected, mL, shape ``(n,)``; time: common to all, min; calibration: true volume over volume read, the factor that
    all volumes share; delivery: of the pump, mL/min, 0 where not known.

    Gives, with i from 1: `flow_i` = c V_i/t; `total` and `mean` flow; `share_of_delivery` in per cent,
    which is infinite without a delivery.
    """
    flows = [calibration * volume / time for volume in volumes]
    share = 100 * sum(flows) / delivery if delivery > 0 else math.inf
    found = {"total": sum(flows), "mean": sum(flows) / len(flows), "share_of_delivery": share}
    return found | {f"flow_{i}": flow for i, flow in enumerate(flows, 1)}


def median(values: Sequence[float]) -> float:
    """Give the value in the middle, of an even count half-way between the two in the middle."""
    ordered = sorted(values)
    return (ordered[(len(ordered) - 1) // 2] + ordered[len(ordered) // 2]) / 2


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


def means_of_others(values: Sequence[float]) -> list[float]:
    """Give for each value the mean of all the others, shape ``(n,)``; infinite where one of them is."""
    return [sum(value for j, value in enumerate(values) if j != i) / (len(values) - 1) for i in range(len(values))]


def ratios(values: Sequence[float], over: Sequence[bool]) -> dict[str, list[Pair]]:
    """Give each injector's percentages, the least and the most they can be: they differ only where a cylinder ran over.

    values: mL, the least for one that ran over. `percent_of_median` and `percent_of_others` are against the median and the mean
    of the others, `percent_of_mean` against the mean of all. A ratio to nothing is `ENDLESS`; of nothing to nothing, anything.
    """
    least, most = list(values), [inf if full else value for value, full in zip(values, over, strict=True)]
    pairs = {}
    for name, others in (("percent_of_median", medians_of_others), ("percent_of_others", means_of_others)):
        smallest = others(least)
        largest = others(most) if any(over) else smallest
        pairs[name] = [
            (_percent(least[i], largest[i], 0.0), _percent(most[i], smallest[i], ENDLESS)) for i in range(len(values))
        ]
    count = len(values)
    pairs["percent_of_mean"] = [(_of_all(low, count), _of_all(high, count)) for low, high in pairs["percent_of_others"]]
    return pairs


def _percent(value: float, other: float, unknown: float) -> float:
    if other == 0 or value == inf:
        return ENDLESS if value > 0 else unknown
    return min(100 * value / other, ENDLESS)


def _of_all(percent: float, count: int) -> float:
    """The percentage of the mean of all from that of the mean of the others: n r/(r + n - 1), r as a share."""
    return 100 * count * percent / (percent + 100 * (count - 1))


def spread(values: Sequence[float]) -> float:
    """Give the largest less the smallest in per cent of the mean. Raises ZeroDivisionError when all are zero."""
    return 100 * len(values) * (max(values) - min(values)) / sum(values)


def deviation(values: Sequence[float]) -> float:
    """Give the standard deviation of a sample (n - 1)."""
    mean = sum(values) / len(values)
    return sqrt(sum((value - mean) ** 2 for value in values) / (len(values) - 1))


def distances(values: Sequence[float], over: Sequence[bool]) -> list[Pair]:
    """How far each value, in mL, is from the median of all, the least and the most: they differ where a cylinder ran over."""
    low, high = median(values), median([inf if full else value for value, full in zip(values, over, strict=True)])
    found = []
    for value, full in zip(values, over, strict=True):
        below, above = high - value, value - low
        most = inf if full else max(abs(below), abs(above))
        found.append((max(-below, 0.0 if full else -above, 0.0), most))
    return found
