"""A pressure sensor with a straight line between two points, given as shares of its supply. Plain floats: V, bar, shares."""

from __future__ import annotations

from typing import NamedTuple

BROKEN = 0.5  # half way from the line's end to ground or supply no pressure is meant any more (common practice, no source)

ABOVE = 1.1  # of the supply: what no sensor can give that is fed with it (common practice, no source)


class Line(NamedTuple):
    """Shares of the supply at no pressure and at full scale, and full scale in bar."""

    low: float
    high: float
    full_scale: float

    def pressure(self, signal: float, supply: float) -> float:
        """What a signal means at a supply: p = FS (U/Us - low)/(high - low)."""
        return self.full_scale * (signal / supply - self.low) / (self.high - self.low)

    def state(self, share: float) -> str:
        """Whether a share of the supply can be a pressure: nearer to an end than half way from the line is none."""
        if share < BROKEN * self.low:
            return "near ground"
        if share > ABOVE:
            return "above supply"
        if share > 1.0 - BROKEN * (1.0 - self.high):
            return "near supply"
        return "in range"
