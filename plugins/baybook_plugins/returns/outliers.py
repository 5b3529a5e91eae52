"""Classical tests for one outlier among few normal values, and how little they prove.

Both tests ask: would healthy, equal, normally scattered injectors show so extreme a value in
fewer than 5 of 100 sets? With three to six values almost nothing is that extreme, so "not an
outlier" here is no clean bill of health. The ratio to the others stays the main number.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt
from typing import NamedTuple

from baybook.api import Message

from .model import deviation

OUTLIER = (
    "{test} {found} against {critical} (5 %, two-sided): injectors that scatter normally would leave one so far out, here "
    "injector {number}, in fewer than 5 of 100 sets."
)
OUTLIER_OF_FEW = (
    "{test} {found} against {critical} (5 %, two-sided): injectors that scatter normally would leave one so far out, here "
    "injector {number}, in fewer than 5 of 100 sets; by itself it proves little."
)
NONE = "{test} {found} against {critical} (5 %, two-sided): no outlier shown, which does not mean that the injectors are equal."
NONE_OF_FEW = (
    "{test} {found} against {critical} (5 %, two-sided): no outlier shown, which does not mean that the injectors are equal; "
    "with {count} values this test can show very little."
)

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
    """One test: the index of the suspect, its statistic, the 5 % critical value, the largest possible.

    output: its statistic's name.
    """

    name: str
    output: str
    suspect: int
    statistic: float
    critical: float
    largest: float

    @property
    def outlier(self) -> bool:
        """Tell whether the statistic passes the critical value."""
        return self.statistic > self.critical

    def again(self, values: Sequence[float]) -> float:
        """The statistic of other values; 0 where there is none."""
        found = (grubbs if self.name == "Grubbs" else dixon)(values)
        return found.statistic if found else 0.0

    def words(self, numbers: Sequence[int]) -> Message:
        """Say in one sentence what the result proves; numbers: of the injectors, in their order."""
        few, count = len(numbers) <= 6, len(numbers)
        test, found, critical = self.name, float(f"{self.statistic:.3g}"), float(f"{self.critical:.4g}")
        if self.outlier:
            return Message(
                OUTLIER_OF_FEW if few else OUTLIER, test=test, found=found, critical=critical, number=numbers[self.suspect]
            )
        if few:
            return Message(NONE_OF_FEW, test=test, found=found, critical=critical, count=count)
        return Message(NONE, test=test, found=found, critical=critical)


def grubbs(values: Sequence[float]) -> OutlierTest | None:
    """Test the value farthest from the mean, G = |x - mean|/s (n - 1 in s).

    The largest G that n values can give is (n-1)/sqrt(n): 1.155 for three, 1.5 for four.
    None outside n = 3..20 and when all values are equal.
    """
    scatter = deviation(values)
    if len(values) not in GRUBBS_5 or scatter == 0:
        return None
    mean = sum(values) / len(values)
    index = max(range(len(values)), key=lambda i: abs(values[i] - mean))
    largest = (len(values) - 1) / sqrt(len(values))
    statistic = abs(values[index] - mean) / scatter
    return OutlierTest("Grubbs", "grubbs_g", index, statistic, GRUBBS_5[len(values)], largest)


def dixon(values: Sequence[float]) -> OutlierTest | None:
    """Test the end value with the wider gap to its neighbour, Q = gap/range (r10), at most 1.

    None outside n = 3..10 and when all values are equal.
    """
    order = sorted(range(len(values)), key=values.__getitem__)
    extent = values[order[-1]] - values[order[0]]
    if len(values) not in DIXON_5 or extent == 0:
        return None
    low_gap = values[order[1]] - values[order[0]]
    high_gap = values[order[-1]] - values[order[-2]]
    index = order[-1] if high_gap >= low_gap else order[0]
    statistic = max(low_gap, high_gap) / extent
    return OutlierTest("Dixon", "dixon_q", index, statistic, DIXON_5[len(values)], 1.0)
