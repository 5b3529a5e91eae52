"""The leak of a closed rail from two pressure readings: a mass balance whose heat is not known.

Between the readings the fuel lost the mass V ln(rho_1/rho_2) rho through the leak. The densities need temperatures, and
those were not measured: fuel warm from compression cools to the rail wall, expansion cools it, the wall drifts to ambient. Each
unknown is drawn from what is known beforehand (`knowledge`), so the interval is as wide as two readings deserve.
Pure Python: two readings never load numpy.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import NamedTuple

from baybook.fuels import ANCHOR_PRESSURE, FuelModel
from baybook.fuels.system import rail_modulus_default

from .balance import FUEL, OWN, Drawn, drawn
from .chance import Interval, counted, interval, normal_quantile, square_normals, weighted


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


class TwoReadingResult(NamedTuple):
    """What two readings say. Flows mL/min, pressures MPa, diameter mm, modulus MPa."""

    leak_at_line: Interval
    leak_collected: Interval
    bulk_modulus: Interval
    """Isothermal, at the mean pressure."""
    effective_modulus: float
    """K of Q = V dp/(K t) that gives the leak; infinite where there is none. Heat and the rail's give are in it."""
    equivalent_orifice: Interval
    cooling_fall: Interval
    """Fall of pressure (MPa) that cooling alone would explain."""
    mean_pressure: float
    """MPa gauge."""
    tight_share: float
    """Share that a tight rail has among the draws."""
    collected_draws: tuple[list[float], list[float]]
    """Values and weights of `leak_collected`, for verdicts."""
    after_draws: tuple[list[float], list[float]]
    """Pressures (MPa gauge) at `TwoReadings.after`, the sensor's zero taken out, and weights."""
    fall_draws: tuple[list[float], list[float]]
    """Falls (MPa) until then."""


def estimate(readings: TwoReadings, fuel: FuelModel) -> TwoReadingResult:
    """Leak of a closed rail from `readings`; raises `baybook.fuels.FuelRangeError` outside the fuel model's range."""
    fuel.density(readings.temperature[0], readings.start[0] + readings.atmosphere)
    draws = [drawn(readings, fuel, row) for row in square_normals(len(OWN) + len(FUEL))]
    weights = _weights(draws)
    flows = {name: _flow([getattr(d, name) for d in draws], weights) for name in ("leak", "collected", "orifice")}
    return TwoReadingResult(
        leak_at_line=weighted(*flows["leak"]),
        leak_collected=weighted(*flows["collected"]),
        bulk_modulus=interval([d.modulus for d in draws]),
        effective_modulus=sorted(d.effective for d in draws)[len(draws) // 2],
        equivalent_orifice=weighted(*flows["orifice"]),
        cooling_fall=interval([d.cooling for d in draws]),
        mean_pressure=0.5 * (readings.start[0] + readings.end[0]),
        tight_share=sum(w for d, w in zip(draws, weights, strict=True) if d.leak <= 0.0),
        collected_draws=flows["collected"],
        after_draws=([d.after for d in draws], weights),
        fall_draws=([d.start - d.after for d in draws], weights),
    )


def rises(start: tuple[float, float], end: tuple[float, float]) -> bool:
    """Whether `end` lies above `start` (value and standard uncertainty each) by more than both readings' 95 %."""
    return end[0] - start[0] > 1.96 * math.hypot(start[1], end[1])


def _weights(draws: list[Drawn]) -> list[float]:
    """Draws whose leak would be negative are tight rails; what they count for in all is `chance.counted`."""
    tight = sum(draw.leak <= 0.0 for draw in draws)
    leaking = len(draws) - tight
    if not tight or not leaking:
        return [1.0 / len(draws)] * len(draws)
    share = counted(tight / len(draws))
    return [share / tight if draw.leak <= 0.0 else (1.0 - share) / leaking for draw in draws]


_FEW = 20
"""So few leaking draws tell nothing of how large a leak may be."""


def _flow(values: list[float], weights: list[float]) -> tuple[list[float], list[float]]:
    """Values and weights of a flow, never negative. Where hardly any draw leaks, the width of all draws says how much may."""
    if sum(value > 0.0 for value in values) >= _FEW:
        return [max(value, 0.0) for value in values], weights
    spread = interval(values).standard
    few = [spread * normal_quantile(0.5 + 0.5 * (i + 0.5) / len(values)) for i in range(len(values))]
    return [0.0] * len(values) + few, [0.5 / len(values)] * (2 * len(values))
