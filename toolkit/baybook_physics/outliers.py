"""Classical tests for one outlier among few normal values. Plain floats in and out.

Both ask: would equal things that scatter normally show so extreme a value in fewer than 5 of 100 sets? With three to six
values almost nothing is that extreme, so "not an outlier" proves little.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import sqrt
from typing import NamedTuple

from .comparison import deviation

__all__ = ["DIXON_5", "GRUBBS_5", "OutlierTest", "dixon", "dixon_statistic", "grubbs", "grubbs_statistic"]

# Grubbs, two-sided, 5 %, n = 3..20: G = (n-1)/sqrt(n) * sqrt(t^2/(n-2+t^2)) with t the Student
# quantile at 0.05/(2n), n-2 degrees of freedom (Grubbs 1969; the convention of ISO 5725-2
# Table 5). The tests work each one out again and compare them with a published table.
GRUBBS_5 = {
    3: 1.1543, 4: 1.4813, 5: 1.7150, 6: 1.8871, 7: 2.0200, 8: 2.1266, 9: 2.2150, 10: 2.2900,
    11: 2.3547, 12: 2.4116, 13: 2.4620, 14: 2.5073, 15: 2.5483, 16: 2.5857, 17: 2.6200,
    18: 2.6516, 19: 2.6809, 20: 2.7082,
}  # fmt: skip

# Dixon r10 = gap/range, two-sided, 5 %, n = 3..10: Rorabacher, Anal. Chem. 63 (1991) 139-146.
# Beyond ten values other ratios (r11, r21) are used, so none is given here.
DIXON_5 = {
    3: 0.970, 4: 0.829, 5: 0.710, 6: 0.625, 7: 0.568, 8: 0.526, 9: 0.493, 10: 0.466,
}  # fmt: skip


class OutlierTest(NamedTuple):
    """One test: its name, the index of the suspect, its statistic, the 5 % critical value; `of`: the statistic of others."""

    name: str
    suspect: int
    statistic: float
    critical: float
    of: Callable[[Sequence[float]], float]

    @property
    def outlier(self) -> bool:
        """Tell whether the statistic passes the critical value."""
        return self.statistic > self.critical


def grubbs_statistic(values: Sequence[float]) -> float:
    """Give G = largest |x - mean|/s, s with n - 1; 0 where all are equal. At most (n-1)/sqrt(n)."""
    count = len(values)
    mean = sum(values) / count
    scatter = sum([(value - mean) ** 2 for value in values]) / (count - 1)
    return max(max(values) - mean, mean - min(values)) / sqrt(scatter) if scatter > 0 else 0.0


def dixon_statistic(values: Sequence[float]) -> float:
    """Give Q = wider gap of an end value to its neighbour/range (r10), at most 1; 0 where all are equal."""
    ordered = sorted(values)
    extent = ordered[-1] - ordered[0]
    return max(ordered[1] - ordered[0], ordered[-1] - ordered[-2]) / extent if extent > 0 else 0.0


def grubbs(values: Sequence[float]) -> OutlierTest | None:
    """Test the value farthest from the mean. None outside n = 3..20 and when all values are equal."""
    if len(values) not in GRUBBS_5 or deviation(values) == 0:
        return None
    mean = sum(values) / len(values)
    suspect = max(range(len(values)), key=lambda i: abs(values[i] - mean))
    return OutlierTest("Grubbs", suspect, grubbs_statistic(values), GRUBBS_5[len(values)], grubbs_statistic)


def dixon(values: Sequence[float]) -> OutlierTest | None:
    """Test the end value with the wider gap to its neighbour. None outside n = 3..10 and when all values are equal."""
    order = sorted(range(len(values)), key=values.__getitem__)
    if len(values) not in DIXON_5 or values[order[-1]] == values[order[0]]:
        return None
    low_gap, high_gap = values[order[1]] - values[order[0]], values[order[-1]] - values[order[-2]]
    suspect = order[-1] if high_gap >= low_gap else order[0]
    return OutlierTest("Dixon", suspect, dixon_statistic(values), DIXON_5[len(values)], dixon_statistic)
