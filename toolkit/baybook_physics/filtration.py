"""A filter: how its pressure drop follows flow and viscosity. Floats or numpy arrays that broadcast, the same shape back."""

from __future__ import annotations

from typing import Any

__all__ = ["carried_over", "coefficients"]


def carried_over(drop: Any, flow: Any, viscosity: Any, to_flow: Any, to_viscosity: Any) -> Any:
    """The drop at another `to_flow` and `to_viscosity`, in the unit of `drop`: dp = R mu Q (Darcy 1856), R the filter's own.

    Viscosities are dynamic, flows above 0, each pair in one unit.
    """
    return drop * (to_flow / flow) * (to_viscosity / viscosity)


def coefficients(flow: Any, drop: Any, other_flow: Any, other_drop: Any) -> tuple[Any, Any]:
    """(a, b) of dp = a Q + b Q^2 (Forchheimer 1901) through two points of different flow, in their units."""
    b = (drop / flow - other_drop / other_flow) / (flow - other_flow)
    return drop / flow - b * flow, b
