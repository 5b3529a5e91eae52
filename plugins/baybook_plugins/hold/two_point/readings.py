"""Two readings of the pressure in a closed rail, and what is known beside them."""

from __future__ import annotations

import math

from baybook.dataclass import dataclass

from ..simulator.known import Known


@dataclass(frozen=True, kw_only=True, repr=False, eq=False)
class TwoReadings(Known):
    """What was read; pairs and units as in `Known`.

    Raises `ValueError` when the end pressure is above the start pressure, or below the back pressure, by more than what is
    known of both (95 %), or a time or volume is not above 0.
    """

    start: tuple[float, float]
    end: tuple[float, float]
    time: tuple[float, float]
    """s"""
    reference: float | None = None
    """MPa gauge, where `leak_collected` is stated; None: at the mean pressure."""
    after: float | None = None
    """s from the start, where the pressure is asked for."""

    def __post_init__(self) -> None:
        super().__post_init__()
        if rises(self.start, self.end):
            raise ValueError(f"end pressure {self.end[0]:g} MPa is above start pressure {self.start[0]:g} MPa")
        if not self.time[0] > 0.0:
            raise ValueError("time must be above 0")
        if sinks(self.end, self.back_pressure, self.zero):
            raise ValueError(f"end pressure {self.end[0]:g} MPa is below the back pressure {self.back_pressure[0]:g} MPa")


def sinks(end: tuple[float, float], back: tuple[float, float], zero: float) -> bool:
    """Whether `end` lies below the return by more than the 95 % of both and of the sensor's zero (standard uncertainty)."""
    return back[0] - end[0] > 1.96 * math.hypot(end[1], back[1], zero)


def rises(start: tuple[float, float], end: tuple[float, float]) -> bool:
    """Whether `end` lies above `start` (value and standard uncertainty each) by more than both readings' 95 %."""
    return end[0] - start[0] > 1.96 * math.hypot(start[1], end[1])
