"""n-Hexadecane's equation of state, written here as an oracle: Romeo & Lemmon, Int. J. Thermophys. 43 (2022) 146.

Coefficients: data/nhexadecane_eos_coefficients.csv. Temperatures in K, densities in mol/L, pressures in MPa.
"""

from __future__ import annotations

import csv
import math
from functools import cache
from pathlib import Path

DATA = Path(__file__).parent / "data"
MOLAR_MASS, GAS_CONSTANT, CRITICAL_T = 0.226441, 8.314462618, 722.1


@cache
def _terms() -> tuple[dict[str, str], ...]:
    with (DATA / "nhexadecane_eos_coefficients.csv").open(encoding="utf-8") as lines:
        return tuple(csv.DictReader(line for line in lines if not line.startswith("#")))


def residual_slope(t: float, delta: float) -> float:
    """d(alpha_r)/d(delta)."""
    tau, total = CRITICAL_T / t, 0.0
    for term in _terms():
        n, power_t, d = float(term["n"]), float(term["t"]), float(term["d"])
        core = n * delta ** (d - 1) * tau**power_t
        if term["kind"] == "poly":
            total += core * d
        elif term["kind"] == "exp":
            power = float(term["l"])
            total += core * math.exp(-(delta**power)) * (d - power * delta**power)
        else:
            eta, beta, gamma, eps = (float(term[name]) for name in ("eta", "beta", "gamma", "eps"))
            bell = math.exp(-eta * (delta - eps) ** 2 - beta * (tau - gamma) ** 2)
            total += core * bell * (d - 2.0 * eta * delta * (delta - eps))
    return total


def pressure(t: float, mol_per_litre: float) -> float:
    """MPa."""
    delta = mol_per_litre
    return mol_per_litre * 1e3 * GAS_CONSTANT * t * (1.0 + delta * residual_slope(t, delta)) * 1e-6


def density(t: float, p: float) -> float:
    """kg/m3 of the liquid at `p` MPa, by bisection."""
    low, high = 2.4, 4.4
    for _ in range(80):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if pressure(t, middle) < p else (low, middle)
    return low * 1e3 * MOLAR_MASS
