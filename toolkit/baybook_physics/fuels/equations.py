"""Equations of one liquid fuel, written once for floats and for arrays.

Every function takes the coefficients first, then temperature `t` (°C) and absolute pressure `p` (MPa). A coefficient, `t` and
`p` may each be a float, or arrays that broadcast together; `lib` brings `exp` and `log`: the module `math` (the default, so
that two readings never load numpy) or the module `numpy`.

Density follows the Tait law (form: NIST TRC help pages), whose modulus at the anchor pressure 0.101325 MPa is a free function
of temperature:

    rho = rho0(t) / x,   x = 1 - C ln((B + p)/(B + p0)),   B = C K0(t) - p0,   K_T = x (B + p)/C
    rho0 = rho15 exp(-a d - b d^2),   K0 = K15 exp(-k d - l d^2),   d = t - 15 °C

Everything thermal follows from it by identities: alpha = -(d ln rho/dt)_p,
1/K_S = 1/K_T - T alpha^2/(rho cp).
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple, Protocol

ANCHOR_PRESSURE = 0.101325
"""Absolute pressure (MPa) at which the Tait law is tied to the atmospheric tables: the standard atmosphere, exact."""

ZERO_CELSIUS = 273.15

_ROELANDS_LN = 9.67  # ln of 6.315e-5 Pa s, inverted: Roelands 1966, from memory
_ROELANDS_PRESSURE = 196.2  # MPa, Roelands 1966, from memory


class Maths(Protocol):
    """What the equations need of a numerical library: `math` and `numpy` both have it."""

    def exp(self, x: Any, /) -> Any:
        """e to the power of x."""
        ...

    def log(self, x: Any, /) -> Any:
        """Natural logarithm of x."""
        ...


class Coefficients(NamedTuple):
    """The numbers of one fuel; each a float, or an array with one entry per member of an ensemble."""

    density: Any
    """rho15, kg/m3 at 15 °C and the anchor pressure."""
    expansion: Any
    """a, 1/K, at 15 °C."""
    expansion_slope: Any
    """b, 1/K^2."""
    modulus: Any
    """K15, isothermal bulk modulus at 15 °C and the anchor pressure, MPa."""
    modulus_slope: Any
    """k, 1/K."""
    modulus_curve: Any
    """l, 1/K^2."""
    tait_c: Any
    """C of the Tait law, dimensionless."""
    heat_capacity: Any
    """cp at 15 °C, J/(kg K); taken as the same at all pressures (n-dodecane: within 1 % to 180 MPa)."""
    heat_capacity_slope: Any
    """J/(kg K) per K."""
    viscosity: Any
    """Dynamic viscosity at 40 °C and the anchor pressure, mPa s."""
    viscosity_slope: Any
    """v of Andrade's law ln(mu/mu40) = v (1000/T - 1000/313.15), T in kelvin."""
    viscosity_pressure: Any
    """Z of Roelands' law, dimensionless."""


def _tait(c: Coefficients, t: Any, p: Any, lib: Maths) -> tuple[Any, Any, Any, Any]:
    """d, B + p0, B + p and x of the Tait law above."""
    d = t - 15.0
    anchor = c.tait_c * c.modulus * lib.exp(-d * (c.modulus_slope + c.modulus_curve * d))
    here = anchor + (p - ANCHOR_PRESSURE)
    return d, anchor, here, 1.0 - c.tait_c * lib.log(here / anchor)


class ThermalState(NamedTuple):
    """What a balance of mass and energy needs of a fuel at one state, worked out together."""

    density: Any
    """kg/m3"""
    compressibility: Any
    """1/K_T, 1/MPa."""
    expansion: Any
    """alpha, 1/K."""
    heating: Any
    """g = T alpha/(rho cp), K/MPa: temperature rise per pressure rise without heat exchange."""


def thermal_state(c: Coefficients, t: Any, p: Any, lib: Maths = math) -> ThermalState:
    """Density, isothermal compressibility, expansion and isentropic heating at one state.

    A rail's simulation spends most of its time here, so what occurs twice is worked out once: the expansion falls from its
    value at the anchor pressure by the softening of the modulus with temperature times compressibility times pressure.
    """
    d = t - 15.0
    over = p - ANCHOR_PRESSURE
    bend, curve = c.expansion_slope * d, c.modulus_curve * d
    alpha0, softer = c.expansion + bend, c.modulus_slope + curve
    anchor = c.tait_c * c.modulus / lib.exp(d * softer)
    here = anchor + over
    x = 1.0 - c.tait_c * lib.log(here / anchor)
    rho = c.density / (x * lib.exp(d * alpha0))
    compressibility = c.tait_c / (x * here)
    alpha = alpha0 + bend - (softer + curve) * compressibility * over
    heating = (t + ZERO_CELSIUS) * alpha / (rho * (1e-6 * (c.heat_capacity + c.heat_capacity_slope * d)))
    return ThermalState(rho, compressibility, alpha, heating)


def density(c: Coefficients, t: Any, p: Any, lib: Maths = math) -> Any:
    """Density, kg/m3."""
    d, _, _, x = _tait(c, t, p, lib)
    return c.density * lib.exp(-d * (c.expansion + c.expansion_slope * d)) / x


def isothermal_modulus(c: Coefficients, t: Any, p: Any, lib: Maths = math) -> Any:
    """Isothermal bulk modulus K_T = rho (dp/drho)_T, MPa."""
    _, _, here, x = _tait(c, t, p, lib)
    return x * here / c.tait_c


def expansion(c: Coefficients, t: Any, p: Any, lib: Maths = math) -> Any:
    """Isobaric thermal expansion -(d ln rho/dt)_p, 1/K: the analytic derivative of the density above."""
    return thermal_state(c, t, p, lib).expansion


def heat_capacity(c: Coefficients, t: Any) -> Any:
    """Isobaric heat capacity, J/(kg K)."""
    return c.heat_capacity + c.heat_capacity_slope * (t - 15.0)


def isentropic_modulus(c: Coefficients, t: Any, p: Any, lib: Maths = math) -> Any:
    """Isentropic bulk modulus K_S = rho c^2, MPa, from 1/K_S = 1/K_T - alpha g: the same as K_T cp/cv."""
    state = thermal_state(c, t, p, lib)
    return 1.0 / (state.compressibility - state.expansion * state.heating)


def isentropic_heating(c: Coefficients, t: Any, p: Any, lib: Maths = math) -> Any:
    """Temperature rise per pressure rise without heat exchange, T alpha/(rho cp), K/MPa."""
    return thermal_state(c, t, p, lib).heating


def viscosity(c: Coefficients, t: Any, p: Any, lib: Maths = math) -> Any:
    """Dynamic viscosity, mPa s: Andrade's law in temperature, Roelands' in pressure (form from memory)."""
    t_part = c.viscosity_slope * (1000.0 / (t + ZERO_CELSIUS) - 1000.0 / (40.0 + ZERO_CELSIUS))
    ln_mu = lib.log(c.viscosity * 1e-3) + t_part
    ln_rise = lib.log(1.0 + (p - ANCHOR_PRESSURE) / _ROELANDS_PRESSURE)
    return 1e3 * lib.exp(ln_mu + (ln_mu + _ROELANDS_LN) * (lib.exp(c.viscosity_pressure * ln_rise) - 1.0))
