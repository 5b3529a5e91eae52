"""The steel around the liquid: its compliance as a bulk modulus."""

from __future__ import annotations

import math

STEEL_MODULUS_GPA = 206.0
"""Young's modulus of steel, handbook value."""
STEEL_POISSON = 0.3


def thick_cylinder_modulus(inner: float, outer: float, *, closed_ends: bool = True, young: float = STEEL_MODULUS_GPA) -> float:
    """Modulus of a tube's bore against its inner pressure, in the unit of `young` (GPa).

    `inner` and `outer` diameter in any one unit, outer above inner, else `ValueError`. Lamé: open ends
    Kc = E/(2 [(do2 + di2)/(do2 - di2) + nu]); closed ends
    dV/V = p/E [3 (1 - 2 nu) + 2 (1 + nu) r2] / (r2 - 1) with r2 = do2/di2.
    """
    if not 0.0 < inner < outer:
        raise ValueError(f"tube: outer diameter {outer:g} must be above inner diameter {inner:g}, and both above 0")
    ratio = (outer / inner) ** 2
    if closed_ends:
        compliance = (3.0 * (1.0 - 2.0 * STEEL_POISSON) + 2.0 * (1.0 + STEEL_POISSON) * ratio) / (ratio - 1.0)
    else:
        compliance = 2.0 * ((ratio + 1.0) / (ratio - 1.0) + STEEL_POISSON)
    return young / compliance


def rail_modulus_default() -> tuple[float, float]:
    """Modulus (MPa) of a steel rail with its pipes, and the standard uncertainty of its logarithm.

    Thick cylinders whose outer diameter is 1.8 to 3 times the bore give 47 to 67 GPa; 3 to 5 % of the
    compliance is the wall's.
    """
    low = thick_cylinder_modulus(1.0, 1.8)
    high = thick_cylinder_modulus(1.0, 3.0)
    return 1e3 * math.sqrt(low * high), 0.2
