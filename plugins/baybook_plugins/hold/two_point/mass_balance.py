"""One possible rail between two readings: its heat, its steel, and the mass it must have lost."""

from __future__ import annotations

import math
from typing import NamedTuple

from baybook_physics.fuels import ANCHOR_PRESSURE, NUISANCES, Coefficients, FuelModel, equations
from baybook_physics.heat import lag, wall_drift
from baybook_physics.mass_balance import PressureFall, flow_at_mean_pressure, volume_share_lost
from baybook_physics.orifice import equivalent_diameter

from .. import beliefs
from .readings import TwoReadings

OWN = (
    "start", "end", "time", "volume", "temperature", "zero", "warm", "heat", "wall", "exponent", "rail", "other", "thin_share",
    "thin_time", "gas", "back", "discharge",
)  # fmt: skip
"""What is drawn beside the fuel's nuisances, each a standard normal."""

FUEL = NUISANCES[:5]
"""Those of the fuel's nuisances that a mass balance meets: all but viscosity."""

LEAST = 0.05
"""Pressure above the return, in MPa, that a rail is taken to hold at least."""


class Drawn(NamedTuple):
    """What a rail came to; `Interval`s are made from many. Flows mL/min, modulus and `cooling` MPa, `orifice` mm."""

    leak: float
    collected: float
    modulus: float
    orifice: float
    cooling: float
    start: float
    """MPa gauge, the sensor's zero taken out."""
    after: float
    """Pressure at `TwoReadings.after`, MPa gauge; that at the end where nothing was asked."""


class _Rail(NamedTuple):
    """One draw. Pressures MPa absolute, `time` s, `volume` cm3, `wall` °C, `steel` 1/MPa."""

    own: dict[str, float]
    fuel: Coefficients
    start: float
    end: float
    back: float
    time: float
    volume: float
    wall: float
    steel: float
    exponent: float
    gas: float
    discharge: float

    @property
    def fall(self) -> PressureFall:
        return PressureFall(self.start, self.end)

    @property
    def mean(self) -> float:
        return 0.5 * (self.start + self.end)


class _Heat(NamedTuple):
    """Fuel temperatures (°C) at both readings, and the cooling (K) that is owed to no leak."""

    start: float
    end: float
    cooling: float

    @property
    def mean(self) -> float:
        return 0.5 * (self.start + self.end)


def drawn(r: TwoReadings, fuel: FuelModel, row: list[float]) -> Drawn:
    """The rail that `row` stands for: one value for each of `OWN`, then one for each of `FUEL`."""
    rail = _rail(r, fuel, row)
    heat = _heat(r, rail)
    c, t, p = rail.fuel, heat.mean, rail.mean
    modulus, rho = equations.isothermal_modulus(c, t, p), equations.density(c, t, p)
    lost = volume_share_lost(c, rail.fall, (heat.start, heat.end), rail.steel, rail.gas * ANCHOR_PRESSURE)
    leak = 60.0 * rail.volume * lost / rail.time * flow_at_mean_pressure(c, t, rail.fall, rail.back, rail.exponent)
    per_kelvin = float(equations.expansion(c, t, p) / (1.0 / modulus + rail.steel))
    cooling = per_kelvin * heat.cooling
    orifice = equivalent_diameter(leak, p - rail.back, rho, rail.discharge)
    after = rail.end if r.after is None else _pressure_after(r, rail, r.after, per_kelvin)
    collected = _collected(r, rail, leak, rho)
    return Drawn(leak, collected, modulus, orifice, cooling, rail.start - r.atmosphere, after - r.atmosphere)


def _pressure_after(r: TwoReadings, rail: _Rail, after: float, per_kelvin: float) -> float:
    """Pressure (MPa absolute) `after` seconds from the start: the fall by cooling as it goes on, that by the leak, and
    what the fuel, cold from falling, still adds.

    Without cooling p falls as dp/dt ~ -K(p) (p - back)^n: K's own growth adds to n; (p - back)^(1 - n) runs straight in time.
    """
    cooling, lag = _falls(r, rail, rail.time, per_kelvin)
    above = max(rail.start - rail.back, LEAST)
    leaked = (rail.start - rail.end) * (1.0 - lag) - cooling
    left = max(above - leaked, 0.01 * above) / above
    low = rail.back + 0.8 * above
    stiff = [float(equations.isothermal_modulus(rail.fuel, rail.wall, p)) for p in (low, rail.start)]
    exponent = max(beliefs.EXPONENT_AHEAD.mean + beliefs.EXPONENT_AHEAD.standard * rail.own["exponent"], 0.3)
    power = 1.0 - (exponent + math.log(stiff[1] / stiff[0]) / math.log(1.25))
    power = power if abs(power) > 1e-3 else 1e-3
    straight = max(1.0 + (left**power - 1.0) * after / rail.time, 0.0)
    leaking = above * straight ** (1.0 / power) if straight > 0.0 else 0.0
    cooling, lag = _falls(r, rail, after, per_kelvin)
    fall = (above - leaking + cooling) / (1.0 - lag)
    return float(min(max(rail.start - fall, r.atmosphere), 2.0 * rail.start))


def _falls(r: TwoReadings, rail: _Rail, time: float, per_kelvin: float) -> tuple[float, float]:
    """Fall of pressure (MPa) by cooling until `time`, and the share of the whole fall owed to fuel still cold from it."""
    cooling = per_kelvin * _heat(r, rail._replace(time=time), rail.time).cooling
    late = _followed(r, rail._replace(time=time))[1]
    return cooling, per_kelvin * float(equations.isentropic_heating(rail.fuel, rail.wall, rail.mean)) * late


def _rail(r: TwoReadings, fuel: FuelModel, row: list[float]) -> _Rail:
    own = dict(zip(OWN, row, strict=False))
    modulus, spread = r.rail_modulus
    back = max(r.back_pressure[0] + r.back_pressure[1] * own["back"] + r.atmosphere, 1e-3)
    start, end = r.start[0] + r.start[1] * own["start"], r.end[0] + r.end[1] * own["end"]
    # the sensor's zero is not so far off that the rail would have fallen below the return
    shift = max(r.atmosphere - r.zero * own["zero"], back + LEAST - end)
    return _Rail(
        own=own,
        fuel=fuel.shifted(dict(zip(FUEL, row[len(OWN) :], strict=True))),
        start=max(start + shift, back + LEAST),
        end=end + shift,
        back=back,
        time=max(r.time[0] + r.time[1] * own["time"], 0.01 * r.time[0]),
        volume=r.volume[0] * math.exp(r.volume[1] / r.volume[0] * own["volume"]),
        wall=r.temperature[0] + r.temperature[1] * own["temperature"],
        steel=math.exp(-spread * own["rail"]) / modulus,
        exponent=max(beliefs.EXPONENT.mean + beliefs.EXPONENT.standard * own["exponent"], 0.2),
        gas=max(r.free_gas[0] + r.free_gas[1] * own["gas"], 0.0),
        discharge=min(max(r.discharge[0] + r.discharge[1] * own["discharge"], 0.05), 1.0),
    )


def _heat(r: TwoReadings, rail: _Rail, read_at: float | None = None) -> _Heat:
    """Warm fuel relaxes to a wall that drifts, while the fall of pressure cools it.

    `read_at`: when the temperature at the end was read (s), where that is not `rail.time`.
    """
    if r.one_temperature:
        behind = equations.isentropic_heating(rail.fuel, rail.wall, rail.mean) * (rail.start - rail.end) * _followed(r, rail)[1]
        return _Heat(rail.wall, rail.wall - behind, 0.0)
    above = max(rail.start - rail.back, 0.0)
    belief = beliefs.warm_start(equations.isentropic_heating(rail.fuel, rail.wall, rail.back + 0.5 * above) * above)
    warm = belief.mean + belief.standard * rail.own["warm"]
    left, late = _followed(r, rail)
    cooled = _wall_cooling(r, rail, read_at or rail.time)
    behind = equations.isentropic_heating(rail.fuel, rail.wall, rail.mean) * (rail.start - rail.end) * late
    end = rail.wall - cooled * (1.0 - late) + warm * left - behind
    return _Heat(rail.wall + warm, end, warm * (1.0 - left) + cooled * (1.0 - late))


def _followed(r: TwoReadings, rail: _Rail) -> tuple[float, float]:
    """Of the fuel as a whole: the share of its warm start left at the end, and the share of the time by which it follows
    late what changes steadily (the wall's drift, and the cooling (dT/dp)_S dp/dt): tau (1 - exp(-t/tau))/t."""
    own = rail.own
    belief = beliefs.SETTLED_TIME if r.one_temperature else beliefs.HEAT_TIME
    heat_time = math.exp(belief.mean + belief.standard * own["heat"])
    thin_time = heat_time * math.exp(beliefs.THIN_TIME.mean + beliefs.THIN_TIME.standard * own["thin_time"])
    share = min(max(beliefs.THIN_SHARE.mean + beliefs.THIN_SHARE.standard * own["thin_share"], 0.0), 0.4)
    left = late = 0.0
    for part, tau in ((1.0 - share, heat_time), (share, thin_time)):
        rest, behind = lag(rail.time, tau)
        left += part * rest
        late += part * behind
    return left, late


def _wall_cooling(r: TwoReadings, rail: _Rail, read_at: float) -> float:
    """Kelvin by which the rail itself cooled: read, or drifting to ambient."""
    own = rail.own
    rate = beliefs.WALL_RATE.mean + beliefs.WALL_RATE.standard * own["wall"]
    gone = 1.0 - wall_drift(rate, rail.time, math)[0]
    if r.end_temperature is not None:
        # a wrong thermometer is wrong at both ends; only half the variance is taken as its own each time
        other = 0.7071 * own["temperature"] + 0.7071 * own["other"]
        whole = rail.wall - (r.end_temperature[0] + r.end_temperature[1] * other)
        return whole if rail.time == read_at else whole * min(rail.time / read_at, 2.0)
    ambient, width = r.ambient or beliefs.AMBIENT_UNKNOWN
    return float((rail.wall - ambient - width * own["other"]) * gone)


def _collected(r: TwoReadings, rail: _Rail, leak: float, rho: float) -> float:
    """The leak at line, at the mean pressure, as volume at atmospheric pressure at the reference pressure."""
    stated = r.temperature[0]
    light = float(equations.density(rail.fuel, stated, r.atmosphere))
    if r.reference is None:
        return leak * rho / light
    at = r.reference + r.atmosphere
    ratio = max(at - rail.back, 0.0) / (rail.mean - rail.back)
    return leak * float(ratio**rail.exponent) * float(equations.density(rail.fuel, stated, at)) / light
