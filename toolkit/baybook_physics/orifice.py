"""A sharp-edged hole: Q = Cd A sqrt(2 dp/rho), Rabie, Fluid Power Engineering, eq. 2.36."""

from __future__ import annotations

import math
from typing import Any

__all__ = ["equivalent_diameter"]


def equivalent_diameter(flow: Any, difference: Any, density: Any, discharge: Any, lib: Any = math) -> Any:
    """Diameter (mm) of the round hole that passes `flow` (mL/min) at the pressure `difference` (MPa, above 0); negative for a
    negative flow.

    `density` in kg/m3, `discharge` the coefficient Cd. Floats, or with `lib` numpy arrays that broadcast together.
    """
    speed = lib.sqrt(2.0 * difference * 1e6 / density)
    area = abs(flow) / 60.0 * 1e-6 / (discharge * speed)
    return lib.copysign(lib.sqrt(4.0 * area / math.pi) * 1e3, flow)
