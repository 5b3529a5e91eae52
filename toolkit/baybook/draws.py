"""Quantities that no two normal halves describe: as draws from their distribution, or with nothing but their least known."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from itertools import accumulate

from .dataclass import dataclass, field
from .errors import PluginError
from .estimate import Estimate
from .kinds import Kind
from .message import Message
from .reading import Reading
from .units import Unit

SURE = 0.95
"""The probability at which something is said: ISO 14253-1:2017, default conformity probability."""
AT_LEAST, AT_MOST, BEYOND = "at least {bound} {unit}", "at most {bound} {unit}", Message("beyond any number")


@dataclass(frozen=True)
class Draws:
    """A quantity as draws from its distribution, with their weights.

    Its estimate, the probability against a range and so the verdict come from these same draws. values: at least one, finite;
    weights: as many, none negative, or none for equal ones. value: the best value where that is not the median; the interval
    is moved out to hold it. most: where a draw tells a least and a most alone, the most of each, `values` being the least.
    told: whether it can be told as a number; else it is judged, and told as a bound, and draws may be infinite.
    Raises PluginError for others, and as `Estimate` does.
    """

    values: Sequence[float]
    unit: Unit | str
    weights: Sequence[float] | None = None
    kind: Kind | str | None = None
    value: float | None = None
    most: Sequence[float] | None = None
    told: bool = True
    _sorted: list[float] = field(init=False, repr=False, compare=False)
    _sums: Sequence[float] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        weights, good = self.weights, not self.told or all(map(math.isfinite, self.values))
        if weights is not None:
            good = (
                good and len(weights) == len(self.values) and all(0 <= weight < math.inf for weight in weights) and any(weights)
            )
        if not good or not len(self.values):
            raise PluginError("draws have to be finite, with a weight for each that is not negative, and not all zero")
        order = range(len(self.values)) if weights is None else sorted(range(len(weights)), key=self.values.__getitem__)
        sums = range(len(order) + 1) if weights is None else list(accumulate((weights[at] for at in order), initial=0.0))
        object.__setattr__(self, "_sorted", sorted(map(float, self.values)))
        object.__setattr__(self, "_sums", sums)

    @property
    def like(self) -> Estimate:
        """Nothing, in the same unit and of the same kind."""
        return Estimate.of(0.0, self.unit, kind=self.kind)

    @property
    def upper(self) -> Draws:
        """The most that it can be."""
        return self if self.most is None else Draws(self.most, self.unit, self.weights, self.kind, told=False)

    def quantile(self, share: float) -> float:
        """The value that `share` (0 to 1) of the weight does not exceed."""
        at = bisect_left(self._sums, share * self._sums[-1]) - 1
        return self._sorted[min(max(at, 0), len(self._sorted) - 1)]

    def below(self, limit: float) -> float:
        """The probability that the quantity certainly lies below `limit`, in the draws' unit."""
        if self.most is not None:
            return self.upper.below(limit)
        return self._sums[bisect_left(self._sorted, limit)] / self._sums[-1]

    def above(self, limit: float) -> float:
        """The probability that it certainly lies above `limit`."""
        return 1.0 - self._sums[bisect_right(self._sorted, limit)] / self._sums[-1]

    def within(self, low: float | None, high: float | None) -> float:
        """The probability that it certainly lies from `low` to `high`."""
        if self.most is None:
            return _between(self, low, high)
        ends = -math.inf if low is None else low, math.inf if high is None else high
        weights = self.weights or [1] * len(self.values)
        pairs = zip(self.values, self.most, weights, strict=True)
        return sum(weight for least, most, weight in pairs if ends[0] <= least and most <= ends[1]) / self._sums[-1]

    def estimate(self, value: float | None = None) -> Estimate:
        """`value`, else the median, with the interval that leaves out 2.5 % of the draws on either side.

        A `value` beyond the interval is drawn to its end.
        """
        low, high = self.quantile(0.025), self.upper.quantile(0.975)
        if value is None and self.value is not None:
            return Estimate(self.value, self.unit, min(low, self.value), max(high, self.value), self.kind)
        best = self.quantile(0.5) if value is None else min(max(value, low), high)
        return Estimate(best, self.unit, low, high, self.kind)

    def bound(self, limit: float | None = None, *, low: bool = False) -> Message:
        """What it is at least, with 95 %; with `low`, at most. A bound beyond a limit has the digits that show it."""
        unit = self.unit if isinstance(self.unit, str) else self.unit.symbol
        if low:
            return Message(AT_MOST, bound=rounded(self.upper.quantile(0.975), up=True), unit=unit)
        least = self.quantile(1 - SURE)
        return BEYOND if least == math.inf else Message(AT_LEAST, bound=rounded(least, beyond=limit), unit=unit)


@dataclass(frozen=True)
class AtLeast:
    """A quantity of which no more is known than the least that it is, such as what a full measuring cylinder ran over with."""

    least: Estimate
    told: bool = False

    @property
    def like(self) -> Estimate:
        """Of its unit and kind."""
        return self.least

    def estimate(self) -> Estimate:
        """The least."""
        return self.least

    def below(self, limit: float) -> float:
        """Nothing is certain to lie below a limit."""
        return 0.0

    def above(self, limit: float) -> float:
        """The probability that it certainly lies above `limit`, in the unit of the least."""
        return self.least.above(limit)

    def within(self, low: float | None, high: float | None) -> float:
        """The probability that it certainly lies within the range: none where that has an upper end."""
        return 0.0 if high is not None or low is None else self.least.above(low)

    def bound(self, limit: float | None = None, *, low: bool = False) -> Message:
        """What it is at least."""
        return Message(AT_LEAST, bound=rounded(self.least.value, beyond=limit), unit=self.least.unit.symbol)


Known = Estimate | Draws | AtLeast
"""A quantity as a calculator may give it."""


def _between(found: Estimate | Draws, low: float | None, high: float | None) -> float:
    return 1.0 - (0.0 if low is None else found.below(low)) - (0.0 if high is None else found.above(high))


def chances(found: Known, low: float | None, high: float | None) -> tuple[float, float, float]:
    """The probability that it certainly lies below a range, within and above, in its unit; None: a side is open.

    They sum to one but for what is known as a bound.
    """
    below, above = 0.0 if low is None else found.below(low), 0.0 if high is None else found.above(high)
    inside = _between(found, low, high) if isinstance(found, Estimate) else found.within(low, high)
    return below, min(max(inside, 0.0), 1.0), above


def side_of(found: Known, low: float | None, high: float | None) -> int | None:
    """On which side of a range it lies, in its unit: -1 below, 0 within, 1 above; None where none is shown with 95 %."""
    below, inside, above = chances(found, low, high)
    return -1 if below >= SURE else 1 if above >= SURE else 0 if inside >= SURE else None


def as_estimate(item: Known | Reading) -> Estimate:
    """The estimate of a reading, of draws or of a bound, or an estimate as it is."""
    if isinstance(item, Reading):
        return Estimate.from_reading(item)
    return item if isinstance(item, Estimate) else item.estimate()


def rounded(value: float, *, up: bool = False, beyond: float | None = None) -> float:
    """Two significant digits, never more than is known: rounded down, or up; more digits to stay beyond a limit."""
    if value <= 0:
        return 0.0
    digits = max(math.floor(math.log10(value)) - 1, -2)
    while True:
        steps = float(f"{value / 10.0**digits:.9g}")  # 1.0 holds ten tenths, not nine and what binary leaves over
        found = float(f"{(math.ceil(steps) if up else math.floor(steps)) * 10.0**digits:.6g}")
        if beyond is None or not found <= beyond < value or digits < -2:
            return found
        digits -= 1
