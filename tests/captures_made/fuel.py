"""The fuel of the made engines: isentropic modulus 1490 MPa at 40 degrees and no pressure.

It rises by 10.5 with each MPa and falls by 7.5 with each degree (from memory). MPa gauge, degrees Celsius.
"""

from __future__ import annotations

from typing import Any

import numpy as np


def density_ratio(p: Any, temperature: Any) -> Any:
    """Density at p MPa to that at none."""
    k = modulus(0.0, temperature)
    return (1 + 10.5 * np.maximum(p, 0) / k) ** (1 / 10.5)


def modulus(p: Any, temperature: Any) -> Any:
    return 1490.0 + 10.5 * np.maximum(p, 0) - 7.5 * (temperature - 40.0)


def thin(temperature: Any) -> Any:
    """How much more passes a gap than at 25 degrees (viscosity falls by a half in about 30 degrees)."""
    return 2.0 ** ((temperature - 25.0) / 30.0)
