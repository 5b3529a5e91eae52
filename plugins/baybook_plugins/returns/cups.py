"""What was collected of each injector: its number, its volume with the errors of its own, whether the cylinder ran over."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import hypot
from random import Random
from typing import NamedTuple

from baybook.api import COVERAGE, Estimate, Reading

# 2000 draws fix a probability near 95 % to 0.5 % and cost some 20 ms. The seed makes every run give the same answer.
DRAWS = 2000
SEED = 20


class Cup(NamedTuple):
    """One injector's return, in mL.

    number: of the injector; u: standard uncertainty of what was typed with ±; half: half-width where it is half a division, all
    of it equally likely (JCGM 100:2008, 4.3.7); relative: standard, of the cylinder's own calibration, as a share of one;
    over: the cylinder ran over, and `value` is the least that it was.
    """

    number: int
    value: float
    u: float = 0.0
    half: float = 0.0
    relative: float = 0.0
    over: bool = False

    @classmethod
    def of(cls, number: int, reading: Reading, division: Reading | None, calibration: Reading | None) -> Cup:
        """From a reading; one typed without ± is good to half a division where the division is known."""
        volume = reading.to("mL")
        half = division.number("mL") / 2 if division else volume.widest
        return cls(
            number, volume.value, 0.0 if volume.assumed else volume.u, half if volume.assumed else 0.0,
            calibration.number("1") / COVERAGE if calibration else 0.0, bool(reading.bound),
        )  # fmt: skip

    @property
    def spread(self) -> float:
        """Its standard uncertainty, all errors together, in mL."""
        return hypot(self.u, self.half / 3**0.5, self.relative * self.value)

    def estimate(self) -> Estimate:
        """The volume with its interval; never below zero."""
        return Estimate.of(self.value, "mL", self.spread, at_least=0.0)


@lru_cache(maxsize=8)
def own_errors(cups: tuple[Cup, ...]) -> list[list[float]]:
    """Draw every cup's own error, in mL, `DRAWS` times: one row a draw, one column a cup."""
    random = Random(SEED)
    return list(map(list, zip(*(_errors(cup, random) for cup in cups), strict=True)))


def _errors(cup: Cup, random: Random) -> list[float]:
    """A column of them; what a cup has no error of is not drawn."""
    half, share, gauss, times = cup.half, random.random, random.gauss, range(DRAWS)
    if half:
        found = [half * (2.0 * share() - 1.0) for _ in times]
    else:
        found = [gauss(0.0, cup.u) for _ in times] if cup.u else [0.0] * DRAWS
    calibration = cup.relative * cup.value
    return [error + gauss(0.0, calibration) for error in found] if calibration else found


def drawn(cups: Sequence[Cup]) -> list[list[float]]:
    """Draw the volumes as they may have been, in mL; what would be below zero is taken as far above it."""
    values = [cup.value for cup in cups]
    return [[abs(v + error) for v, error in zip(values, errors, strict=True)] for errors in own_errors(tuple(cups))]


def spread_of_equal_injectors(cups: Sequence[Cup]) -> float:
    """Give the spread in per cent of the mean that the own errors alone would make out of equal injectors.

    A spread cannot be negative, so reading errors alone make one: this is its 95th percentile over the draws, and never less
    than a whole division, which equal volumes on either side of a mark show. A measured spread below it is no difference at
    all. Raises ZeroDivisionError where all volumes are zero.
    """
    return 100 * range_of_errors(cups) * len(cups) / sum(cup.value for cup in cups)


def range_of_errors(cups: Sequence[Cup]) -> float:
    """Give the range in mL that the own errors alone show in 1 of 20 collections; never less than a whole division."""
    ranges = sorted(max(errors) - min(errors) for errors in own_errors(tuple(cups)))
    return max(ranges[int(0.95 * DRAWS)], 2 * max(cup.half for cup in cups))
