"""The leak of a closed rail from two pressure readings: a mass balance whose heat is not known.

Between the readings the fuel lost the mass V ln(rho_1/rho_2) rho through the leak. The densities need temperatures, and
those were not measured: fuel warm from compression cools to the rail wall, expansion cools it, the wall drifts to ambient. Each
unknown is drawn from what is known beforehand (`knowledge`), so the interval is as wide as two readings deserve.
Pure Python: two readings never load numpy.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

from baybook.fuels import ANCHOR_PRESSURE, NUISANCES, FuelModel
from baybook.fuels.system import rail_modulus_default

from . import knowledge
from .balance import OWN, drawn
from .chance import Interval, interval, square_normals


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoReadings:
    """What was read. Each pair is a value and its standard uncertainty; pressures are MPa gauge, temperatures °C.

    Raises `ValueError` when the end pressure is not below the start pressure, or a time or volume is not above 0.
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
    back_pressure: float = 0.0
    atmosphere: float = ANCHOR_PRESSURE
    """MPa absolute."""
    rail_modulus: tuple[float, float] = field(default_factory=rail_modulus_default)
    """MPa, and the standard uncertainty of its logarithm."""
    free_gas: float = 0.0
    """Share of free gas by volume at atmospheric pressure."""
    discharge: float = 0.7
    reference: float | None = None
    """MPa gauge, where `leak_collected` is stated; None: at the mean pressure."""
    one_temperature: bool = False
    """True when fuel and rail kept one temperature throughout: no warm start, no drift, and expansion's cooling made good."""

    def __post_init__(self) -> None:
        if not self.end[0] < self.start[0]:
            raise ValueError(f"end pressure {self.end[0]:g} MPa is not below start pressure {self.start[0]:g} MPa")
        if not self.time[0] > 0.0 or not self.volume[0] > 0.0:
            raise ValueError("time and volume must be above 0")
        if not self.end[0] > self.back_pressure:
            raise ValueError(f"end pressure {self.end[0]:g} MPa is not above the back pressure {self.back_pressure:g} MPa")


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
    """Share of the draws in which cooling explains the whole fall."""


def estimate(readings: TwoReadings, fuel: FuelModel) -> TwoReadingResult:
    """Leak of a closed rail from `readings`; raises `baybook.fuels.FuelRangeError` outside the fuel model's range."""
    mean_gauge = 0.5 * (readings.start[0] + readings.end[0])
    fuel.density(readings.temperature[0], readings.start[0] + readings.atmosphere)
    draws = [drawn(readings, fuel, row) for row in square_normals(len(OWN) + len(NUISANCES))]
    tight = sum(draw.leak <= 0.0 for draw in draws) / len(draws)
    return TwoReadingResult(
        leak_at_line=_not_negative([d.leak for d in draws]),
        leak_collected=_not_negative([d.collected for d in draws]),
        bulk_modulus=interval([d.modulus for d in draws]),
        effective_modulus=sorted(d.effective for d in draws)[len(draws) // 2],
        equivalent_orifice=_not_negative([d.orifice for d in draws]),
        cooling_fall=interval([d.cooling for d in draws]),
        mean_pressure=mean_gauge,
        tight_share=tight,
    )


def _not_negative(values: list[float]) -> Interval:
    """A leak cannot be negative: what can be true is taken from the draws above 0; the low bound is 0 while tightness is likely
    enough (`knowledge.STILL_TIGHT`)."""
    possible = [value for value in values if value > 0.0]
    whole = interval(values)
    if len(possible) < 40:
        return Interval(0.0, 0.0, max(whole.high, 0.0) + whole.standard, whole.standard)
    tight = 1.0 - len(possible) / len(values)
    kept = interval(possible)
    return kept._replace(low=0.0 if tight > knowledge.STILL_TIGHT else whole.low)
