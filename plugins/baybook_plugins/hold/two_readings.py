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

from baybook.fuels import ANCHOR_PRESSURE, NUISANCES, Coefficients, FuelModel, equations
from baybook.fuels.system import rail_modulus_default

from . import knowledge
from .chance import Interval, interval, latin_normals

DRAWS = 700


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


class _Draw(NamedTuple):
    leak: float
    collected: float
    modulus: float
    effective: float
    orifice: float
    cooling: float


_OWN = ("start", "end", "time", "volume", "temperature", "zero", "warm", "heat", "wall", "exponent", "rail", "other")


def estimate(readings: TwoReadings, fuel: FuelModel) -> TwoReadingResult:
    """Leak of a closed rail from `readings`; raises `baybook.fuels.FuelRangeError` outside the fuel model's range."""
    mean_gauge = 0.5 * (readings.start[0] + readings.end[0])
    fuel.density(readings.temperature[0], readings.start[0] + readings.atmosphere)
    draws = [_one(readings, fuel, row) for row in latin_normals(DRAWS, len(_OWN) + len(NUISANCES))]
    tight = sum(draw.leak <= 0.0 for draw in draws) / len(draws)
    return TwoReadingResult(
        leak_at_line=_not_negative([d.leak for d in draws]),
        leak_collected=_not_negative([d.collected for d in draws]),
        bulk_modulus=interval([d.modulus for d in draws]),
        effective_modulus=sorted(d.effective for d in draws)[DRAWS // 2],
        equivalent_orifice=_not_negative([d.orifice for d in draws]),
        cooling_fall=interval([d.cooling for d in draws]),
        mean_pressure=mean_gauge,
        tight_share=tight,
    )


def _not_negative(values: list[float]) -> Interval:
    """A leak cannot be negative: the low bound stops at 0, the rest is taken from the draws that can be true."""
    possible = [value for value in values if value > 0.0]
    whole = interval(values)
    if len(possible) < 40:
        return Interval(0.0, 0.0, max(whole.high, 0.0) + whole.standard, whole.standard)
    kept = interval(possible)
    return Interval(kept.value, max(whole.low, 0.0), kept.high, kept.standard)


def _one(r: TwoReadings, fuel: FuelModel, row: list[float]) -> _Draw:
    own = dict(zip(_OWN, row, strict=False))
    c = fuel.shifted(dict(zip(NUISANCES, row[len(_OWN) :], strict=True)))
    shift = r.atmosphere - r.zero * own["zero"]
    start = r.start[0] + r.start[1] * own["start"] + shift
    end = r.end[0] + r.end[1] * own["end"] + shift
    back = r.back_pressure + r.atmosphere
    end = max(end, back + 0.05)
    time = max(r.time[0] + r.time[1] * own["time"], 0.01 * r.time[0])
    volume = r.volume[0] * math.exp(r.volume[1] / r.volume[0] * own["volume"])
    wall = r.temperature[0] + r.temperature[1] * own["temperature"]
    cooled = _wall_cooling(r, own, wall, time)
    warm = knowledge.WARM_START.mean + knowledge.WARM_START.standard * own["warm"]
    heat = math.exp(knowledge.HEAT_TIME.mean + knowledge.HEAT_TIME.standard * own["heat"])
    left = math.exp(-time / heat)
    mean = 0.5 * (start + end)
    # a steady fall of pressure keeps the fuel below the wall by (dT/dp)_S dp/dt tau (1 - exp(-t/tau))
    if r.one_temperature:
        warm = cooled = left = heat = 0.0
    behind = equations.isentropic_heating(c, wall, mean) * (start - end) / time * heat * (1.0 - left)
    lag = cooled / time * heat * (1.0 - left)
    t_start, t_end = wall + warm, wall - cooled + lag + warm * left - behind
    modulus, spread = r.rail_modulus
    steel = math.exp(-spread * own["rail"]) / modulus
    lost = math.log(equations.density(c, t_start, start) / equations.density(c, t_end, end)) + (start - end) * steel
    lost += r.free_gas * ANCHOR_PRESSURE * (1.0 / end - 1.0 / start)  # gas swells into the place of fuel that left
    line = 0.5 * (t_start + t_end)
    k_mean = equations.isothermal_modulus(c, line, mean)
    exponent = max(knowledge.EXPONENT.mean + knowledge.EXPONENT.standard * own["exponent"], 0.2)
    leak = 60.0 * volume * lost / time * _mean_to_middle(c, line, start, end, back, exponent)
    rho = equations.density(c, line, mean)
    collected = _collected(r, c, leak, mean, rho, exponent)
    cooling = equations.expansion(c, line, mean) / (1.0 / k_mean + steel) * (warm * (1.0 - left) + cooled - lag)
    effective = 60.0 * volume * (start - end) / (time * leak) if leak > 0.0 else math.inf
    return _Draw(leak, collected, k_mean, effective, _orifice(leak, mean - back, rho, r.discharge), cooling)


def _wall_cooling(r: TwoReadings, own: dict[str, float], wall: float, time: float) -> float:
    """Kelvin by which the rail itself cooled: read, or drifting to ambient."""
    if r.end_temperature is not None:
        # a wrong thermometer is wrong at both ends; only half the variance is taken as its own each time
        other = 0.7071 * own["temperature"] + 0.7071 * own["other"]
        return wall - (r.end_temperature[0] + r.end_temperature[1] * other)
    ambient, width = r.ambient or knowledge.AMBIENT_UNKNOWN
    rate = knowledge.WALL_RATE.mean + knowledge.WALL_RATE.standard * own["wall"]
    return (wall - ambient - width * own["other"]) * (1.0 - math.exp(-time * rate))


def _collected(r: TwoReadings, c: Coefficients, leak: float, mean: float, rho: float, exponent: float) -> float:
    """The leak (mL/min at line, at absolute pressure `mean`) as volume at atmospheric pressure, at the reference."""
    light = float(equations.density(c, r.temperature[0], r.atmosphere))
    if r.reference is None:
        return leak * rho / light
    at = r.reference + r.atmosphere
    back = r.back_pressure + r.atmosphere
    ratio = max(at - back, 0.0) / (mean - back)
    return leak * float(ratio**exponent) * float(equations.density(c, r.temperature[0], at)) / light


def _mean_to_middle(c: Coefficients, t: float, start: float, end: float, back: float, exponent: float) -> float:
    """Flow at the mean pressure over flow averaged in time, for Q ~ (p - back)^n and dp/dt = -K Q/V (Boole's rule in p)."""
    middle = 0.5 * (start + end)
    weighted = plain = 0.0
    for place, weight in ((0.0, 7.0), (0.25, 32.0), (0.5, 12.0), (0.75, 32.0), (1.0, 7.0)):
        p = end + place * (start - end)
        share = weight / equations.isothermal_modulus(c, t, p)
        plain += share
        weighted += share * ((middle - back) / (p - back)) ** exponent
    return weighted / plain


def _orifice(leak: float, difference: float, density: float, discharge: float) -> float:
    """Diameter (mm) of the round hole with Q = Cd A sqrt(2 dp/rho); negative for a negative leak."""
    speed = math.sqrt(2.0 * difference * 1e6 / density)
    area = abs(leak) / 60.0 * 1e-6 / (discharge * speed)
    return math.copysign(math.sqrt(4.0 * area / math.pi) * 1e3, leak)
