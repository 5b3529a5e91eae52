"""What is believed before the capture is looked at, as standard normals that turn into an ensemble of rails."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from baybook_physics.closed_rail import Rails
from baybook_physics.fuels import ANCHOR_PRESSURE, FuelModel, equations
from baybook_physics.fuels.model import MODEL_TEMPERATURES
from baybook_physics.heat import wall_drift
from baybook_physics.leaks import Leak, ReferenceState

from .. import beliefs
from .known import Known

Floats = NDArray[np.float64]

FREE = ("start", "rate", "exponent", "cooling")
"""What the capture itself fixes, in its own units, so that the draws stay nearly straight: pressure at the start as the
sensor showed it (MPa gauge); fall of pressure that the leak makes at the middle (MPa/s); exponent of the leak there; fall of
pressure that the warm start makes when it has cooled (MPa). Leak, share of the clearance and kelvins follow from them, the
volume and the fuel."""
KNOWN = (
    "zero", "volume", "wall", "heat", "wall_rate", "ambient", "rail", "laminar_slope", "laminar_temperature",
    "thin_share", "thin_time", "drift", "gas", "back", "density", "modulus", "tait_c", "expansion", "heat_capacity",
)  # fmt: skip
"""Known roughly: each a standard normal."""
NAMES = FREE + KNOWN
_FUEL = KNOWN[-5:]
_LOWEST = (0.05, -30.0, -4.0, -80.0, *(-5.0 for _ in KNOWN))
_HIGHEST = (400.0, 500.0, 6.0, 120.0, *(5.0 for _ in KNOWN))

LAWS = ("laminar", "orifice", "mixed", "none")
"""What a leak may be: a clearance, a hole, both, or no leak. Each is a belief of its own about the same rail."""
THIN_LIMITS = (0.0, 0.4)
MIXED_SHARE = (0.1, 0.9)
"""A mixture's clearance carries this much of the flow at the middle pressure; all shares alike."""


class Member(NamedTuple):
    """An ensemble of rails, with what its weights need."""

    rails: Rails
    warm: Floats
    """K"""
    log_per_warm: Floats
    """Logarithm of the pressure (MPa) that one kelvin makes."""
    log_per_rate: Floats
    """Logarithm of the leak (mL/min) that 1 MPa/s makes."""
    lever: Floats
    """Exponent of a clearance above that of an orifice."""
    end_residual: Floats
    """Of the wall's temperature at the end, in standard uncertainties."""


def members(known: Known, fuel: FuelModel, reference: ReferenceState, duration: float, law: str, z: Floats) -> Member:
    """The ensemble of parameter rows `z`, shape (n, len(NAMES)), when the leak follows `law`, over `duration` (s)."""
    # a search may stray; nothing beyond these is believed, or can be integrated
    column = dict(zip(NAMES, np.clip(z, _LOWEST, _HIGHEST).T, strict=True))
    c = fuel.shifted({name: column[name] for name in _FUEL})
    volume = known.volume[0] * np.exp(known.volume[1] / known.volume[0] * column["volume"])
    modulus, spread = known.rail_modulus
    heat_belief = beliefs.SETTLED_TIME if known.one_temperature else beliefs.HEAT_TIME
    heat_time = np.exp(_drawn(heat_belief, column["heat"]))
    compliance = np.exp(-spread * column["rail"]) / modulus
    compressibility = 1.0 / equations.isothermal_modulus(c, reference.temperature, reference.pressure, np) + compliance
    per_warm = equations.expansion(c, reference.temperature, reference.pressure, np) / compressibility
    warm, wall = column["cooling"] / per_warm, _drawn(known.temperature, column["wall"])
    leak, lever = _leak(known, fuel, reference, law, column, 60.0 * volume * compressibility)
    rails = Rails(
        start=column["start"] - known.zero * column["zero"] + known.atmosphere,
        volume=volume,
        wall_start=wall,
        fuel_start=wall + warm,
        ambient=wall if known.one_temperature else _drawn(known.ambient or beliefs.AMBIENT_UNKNOWN, column["ambient"]),
        heat_time=heat_time,
        thin_time=heat_time * np.exp(_drawn(beliefs.THIN_TIME, column["thin_time"])),
        thin_share=np.clip(_drawn(beliefs.THIN_SHARE, column["thin_share"]), *THIN_LIMITS),
        wall_rate=_drawn(beliefs.WALL_RATE, column["wall_rate"]),
        wall_compliance=compliance,
        gas=np.maximum(_drawn(known.free_gas, column["gas"]), 0.0) * ANCHOR_PRESSURE,
        leak=leak,
        fuel=c,
    )
    residual = _end_residual(known, duration, rails)
    return Member(rails, warm, np.log(per_warm), np.log(60.0 * volume * compressibility), lever, residual)


def _leak(
    known: Known, fuel: FuelModel, reference: ReferenceState, law: str, column: dict[str, Floats], per_rate: Floats
) -> tuple[Leak, Floats]:
    """The leaks, and how far a clearance's exponent lies above an orifice's; `per_rate`: mL/min that 1 MPa/s makes."""
    slope = _drawn(beliefs.LAMINAR_SLOPE, column["laminar_slope"])
    lever = 0.5 - np.minimum(slope * (reference.pressure - reference.back), 0.45)
    thins = _drawn(beliefs.LAMINAR_TEMPERATURE, column["laminar_temperature"]) * thinning(fuel, known.temperature[0])
    leak = Leak(
        flow=(0.0 if law == "none" else column["rate"]) * per_rate,
        laminar_share=(column["exponent"] - 0.5) / lever if law == "mixed" else float(law == "laminar"),
        pressure_slope=slope,
        temperature_slope=thins,
        drift=_drawn(beliefs.LEAK_DRIFT, column["drift"]),
        back=np.maximum(_drawn(known.back_pressure, column["back"]) + known.atmosphere, 1e-3),
    )
    return leak, lever


def _drawn(belief: tuple[float, float], z: Floats) -> Floats:
    """Values of a belief (mean, standard deviation) from standard normals."""
    return belief[0] + belief[1] * z


def _end_residual(known: Known, duration: float, rails: Rails) -> Floats:
    """How many standard uncertainties the wall's temperature at the end lies from what was read (0 where it was not)."""
    if known.end_temperature is None:
        return np.zeros(np.shape(rails.wall_rate))
    value, width = known.end_temperature
    end = rails.ambient + (rails.wall_start - rails.ambient) * wall_drift(rails.wall_rate, duration, np)[0]
    residual: Floats = (end - value) / max(width, 0.05)
    return residual


def thinning(fuel: FuelModel, temperature: float) -> float:
    """-d ln mu/dT near `temperature`, 1/K, at a hold's usual pressure of 80 MPa."""
    t = min(max(temperature, MODEL_TEMPERATURES[0] + 1.0), MODEL_TEMPERATURES[1] - 1.0)
    return -math.log(fuel.viscosity(t + 1.0, 80.0) / fuel.viscosity(t - 1.0, 80.0)) / 2.0


def reference_state(known: Known, fuel: FuelModel, first: float, last: float, end: float) -> ReferenceState:
    """Where the leak law is tied: at the mean of the first and last reading (MPa gauge) and the stated temperature."""
    back = known.back_pressure[0] + known.atmosphere
    pressure = max(0.5 * (first + last) + known.atmosphere, back + 0.05)
    temperature = known.temperature[0]
    return ReferenceState(pressure, back, temperature, fuel.density(temperature, pressure), end)


def warm_belief(known: Known, fuel: FuelModel, first: float) -> beliefs.Normal:
    """Kelvin by which the fuel is warmer than the rail at the start, when the first reading is `first` MPa gauge."""
    if known.one_temperature:
        return beliefs.Normal(0.0, beliefs.SETTLED_WARM)
    above = max(first - known.back_pressure[0], 0.0)
    return beliefs.warm_start(fuel.isentropic_heating(known.temperature[0], 0.5 * above + known.atmosphere) * above)


def log_prior(member: Member, z: Floats, law: str, warm_start: beliefs.Normal) -> Floats:
    """Logarithm of the belief in rows `z` given `law`, up to one constant for all laws; minus infinity for what cannot be.

    The leak is half-Cauchy, the warm start normal up to `beliefs.WARM_MOST`, a mixture's share even over `MIXED_SHARE`.
    """
    warm = (member.warm - warm_start.mean) / warm_start.standard
    belief = -0.5 * (np.sum(z[:, len(FREE) :] ** 2, axis=1) + warm**2 + member.end_residual**2) - member.log_per_warm
    possible = warm <= beliefs.WARM_MOST
    if law != "none":
        leak = member.rails.leak.flow
        belief = belief + member.log_per_rate + math.log(2.0 / math.pi / beliefs.LEAK_SCALE)
        belief = belief - np.log1p((leak / beliefs.LEAK_SCALE) ** 2)
        possible &= leak >= 0.0
    if law == "mixed":
        share, (low, high) = member.rails.leak.laminar_share, MIXED_SHARE
        belief = belief - np.log(member.lever * (high - low))
        possible &= (share >= low) & (share <= high)
    return np.where(possible, belief, -np.inf)
