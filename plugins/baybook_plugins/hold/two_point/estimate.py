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
    equivalent_orifice: Interval
    cooling_pressure_drop: Interval
    """Fall of pressure (MPa) that cooling alone would explain."""
    mean_pressure: float
    """MPa gauge."""
    tight_share: float
    """How probable a tight rail is: the share of the draws of `cooling_pressure_drop` in which cooling made the whole fall."""
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
    after = _centred([d.after for d in draws], weights, readings.end[0], readings)
    fall = _centred([d.start - d.after for d in draws], weights, readings.start[0] - readings.end[0], readings)
    return TwoReadingResult(
        leak_at_line=weighted(*flows["leak"]),
        leak_collected=weighted(*flows["collected"]),
        bulk_modulus=interval([d.modulus for d in draws]),
        equivalent_orifice=weighted(*flows["orifice"]),
        cooling_pressure_drop=interval([d.cooling for d in draws]),
        mean_pressure=0.5 * (readings.start[0] + readings.end[0]),
        tight_share=sum(d.leak <= 0.0 for d in draws) / len(draws),
        collected_draws=flows["collected"],
        after_draws=(after, weights),
        fall_draws=(fall, weights),
    )


def _centred(values: list[float], weights: list[float], read: float, readings: TwoReadings) -> list[float]:
    """The draws about what was `read`, where the time asked for is that of the reading: their own middle is off by chance."""
    if readings.after != readings.time[0]:
        return values
    off = read - weighted(values, weights).value
    return [max(value + off, 0.0) for value in values]


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
