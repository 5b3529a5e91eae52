"""Kinematic viscosity over temperature: Walther's lines, as ASTM D341 uses them.

lg lg(Z) = A - B lg(T/K), Z = nu + 0.7 + exp(-1.47 - 1.84 nu - 0.51 nu^2): form from public codes, the last term (it counts
below 2 mm2/s) from memory. Below the cloud point wax decides, and no such rule holds. Floats, or with `lib` numpy arrays that
broadcast; nu in mm2/s from 0.21 to 2e7, temperatures in °C.
"""

from __future__ import annotations

import math
from typing import Any

__all__ = ["SLOPE", "SLOPE_U95", "at", "slope", "through"]

SLOPE, SLOPE_U95 = 3.9, 0.35
"""B of a fuel of which one viscosity is known: covers n-dodecane 3.88 (CoolProp), n-hexadecane 3.75 (Meng et al. 2018) and the
usual pairs of diesel fuels, 3.70 to 4.17 (common practice, no source)."""
_KELVIN = 273.15


def _walther(nu: Any, lib: Any) -> Any:
    return lib.log10(lib.log10(nu + 0.7 + lib.exp(-1.47 - 1.84 * nu - 0.51 * nu * nu)))


def slope(nu: Any, t: Any, other_nu: Any, other_t: Any, lib: Any = math) -> Any:
    """B of the line through two viscosities at two different temperatures."""
    return (_walther(nu, lib) - _walther(other_nu, lib)) / (lib.log10(other_t + _KELVIN) - lib.log10(t + _KELVIN))


def at(t: Any, nu: Any, nu_t: Any, b: Any, lib: Any = math) -> Any:
    """Viscosity, mm2/s, at `t` of a fuel with `nu` at `nu_t` and the slope `b`."""
    z = 10.0 ** (10.0 ** (_walther(nu, lib) - b * (lib.log10(t + _KELVIN) - lib.log10(nu_t + _KELVIN))))
    found = z - 0.7
    for _ in range(40):  # the low term is undone by repetition: it shrinks each error by more than a half
        found = z - 0.7 - lib.exp(-1.47 - 1.84 * found - 0.51 * found * found)
    return found


def through(t: Any, nu: Any, nu_t: Any, other_nu: Any, other_t: Any, lib: Any = math) -> Any:
    """Viscosity, mm2/s, at `t` on the line through two viscosities."""
    return at(t, nu, nu_t, slope(nu, nu_t, other_nu, other_t, lib), lib)
