"""Two readings of the pressure in a closed rail, and what is known beside them."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from baybook_physics.compliance import rail_modulus_default
from baybook_physics.fuels import ANCHOR_PRESSURE


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoReadings:
    """What was read. Each pair is a value and its standard uncertainty; pressures are MPa gauge, temperatures °C.

    Raises `ValueError` when the end pressure is above the start pressure by more than both readings' 95 %, or a time or
    volume is not above 0.
    """

    start: tuple[float, float]
    end: tuple[float, float]
    time: tuple[float, float]
    """s"""
    volume: tuple[float, float]
    """cm3"""
    temperature: tuple[float, float] = (40.0, 5.0)
    """Of the rail, at the start."""
    end_temperature: tuple[float, float] | None = None
    ambient: tuple[float, float] | None = None
    zero: float = 0.0
    """Standard uncertainty of the sensor's zero, MPa."""
    back_pressure: tuple[float, float] = (0.0, 0.0)
    atmosphere: float = ANCHOR_PRESSURE
    """MPa absolute."""
    rail_modulus: tuple[float, float] = field(default_factory=rail_modulus_default)
    """MPa, and the standard uncertainty of its logarithm."""
    free_gas: tuple[float, float] = (0.0, 0.0)
    """Share of free gas by volume at atmospheric pressure."""
    discharge: tuple[float, float] = (0.7, 0.0)
    reference: float | None = None
    """MPa gauge, where `leak_collected` is stated; None: at the mean pressure."""
    after: float | None = None
    """s from the start, where the pressure is asked for."""
    one_temperature: bool = False
    """True when fuel and rail had one temperature and the rail keeps it: no warm start, no drift, and expansion's cooling soon
    made good."""

    def __post_init__(self) -> None:
        if rises(self.start, self.end):
            raise ValueError(f"end pressure {self.end[0]:g} MPa is above start pressure {self.start[0]:g} MPa")
        if not self.time[0] > 0.0 or not self.volume[0] > 0.0:
            raise ValueError("time and volume must be above 0")
        if not self.end[0] > self.back_pressure[0]:
            raise ValueError(f"end pressure {self.end[0]:g} MPa is not above the back pressure {self.back_pressure[0]:g} MPa")


def rises(start: tuple[float, float], end: tuple[float, float]) -> bool:
    """Whether `end` lies above `start` (value and standard uncertainty each) by more than both readings' 95 %."""
    return end[0] - start[0] > 1.96 * math.hypot(start[1], end[1])
