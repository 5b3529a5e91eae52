"""The leak of a closed rail from two pressure readings: a mass balance whose heat is not known.

Between the readings the fuel lost the mass V ln(rho_1/rho_2) rho through the leak. The densities need temperatures, and
those were not measured: fuel warm from compression cools to the rail wall, expansion cools it, the wall drifts to ambient. Each
unknown is drawn from what is known beforehand (`beliefs`), so the interval is as wide as two readings deserve.
Pure Python: two readings never load numpy.
"""

from __future__ import annotations

from typing import NamedTuple

from baybook_physics.fuels import FuelModel
from baybook_physics.inference.intervals import Interval, interval, normal_quantile, square_normals, weighted

from ..beliefs import counted
from .mass_balance import FUEL, OWN, Drawn, drawn
from .readings import TwoReadings


class TwoReadingResult(NamedTuple):
    """What two readings say. Flows mL/min, pressures MPa, diameter mm, modulus MPa."""

    leak_at_line: Interval
    leak_collected: Interval
    bulk_modulus: Interval
    """Isothermal, at the mean pressure."""
    effective_modulus: float
    """K of Q = V dp/(K t) that gives the leak; infinite where there is none. Heat and the wall's compliance are in it."""
    equivalent_orifice: Interval
    cooling_pressure_drop: Interval
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
    """Leak of a closed rail from `readings`; raises `baybook_physics.fuels.FuelRangeError` outside the fuel model's range."""
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
        cooling_pressure_drop=interval([d.cooling for d in draws]),
        mean_pressure=0.5 * (readings.start[0] + readings.end[0]),
        tight_share=sum(w for d, w in zip(draws, weights, strict=True) if d.leak <= 0.0),
        collected_draws=flows["collected"],
        after_draws=([d.after for d in draws], weights),
        fall_draws=([d.start - d.after for d in draws], weights),
    )


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
