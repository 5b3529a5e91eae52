"""A copper wire: its resistance by length, cross-section and temperature. Floats or numpy arrays that broadcast.

Conductivity 58 MS/m at 20 °C: IEC 60028:1925, annealed copper; over temperature as copper windings.
"""

from __future__ import annotations

from typing import Any

from .coil import copper_ratio

__all__ = ["CONDUCTIVITY", "resistance"]

CONDUCTIVITY = 58.0
"""m/(ohm mm2) at 20 °C."""


def resistance(length: Any, section: Any, temperature: Any) -> Any:
    """Ohm, of `length` (m) and cross-section `section` (mm2) at `temperature` (°C): L/(58 A) (234.5 + t)/254.5."""
    return length / (CONDUCTIVITY * section) * copper_ratio(20.0, temperature)
