"""How the steel of a rail drifts towards the air around it, and how a body follows what changes around it.

`lib` is the module `math` for floats or `numpy` for arrays that broadcast together.
"""

from __future__ import annotations

import math
from typing import Any

__all__ = ["SOAK_LIMIT", "lag", "wall_drift"]

SOAK_LIMIT = 0.3
"""Share of its distance from ambient by which a rail may still warm, where the engine's heat soaks in."""


def wall_drift(rate: Any, time: Any, lib: Any) -> tuple[Any, Any]:
    """The share of the wall's distance from ambient that is left after `time` (s), and the rate at which it goes (1/s).

    `rate` (1/s) may be negative: then the wall warms, by at most `SOAK_LIMIT` of the distance.
    """
    if lib is math:
        gone = lib.exp(-abs(rate) * time / (1.0 if rate > 0.0 else SOAK_LIMIT))
        return (gone if rate > 0.0 else 1.0 + SOAK_LIMIT * (1.0 - gone)), rate * gone
    gone = lib.exp(-abs(rate) * time / lib.where(rate > 0.0, 1.0, SOAK_LIMIT))
    return lib.where(rate > 0.0, gone, 1.0 + SOAK_LIMIT * (1.0 - gone)), rate * gone


def lag(time: float, time_constant: float) -> tuple[float, float]:
    """What is left after `time` of a first-order body's distance, exp(-t/tau), and the share of the time by which it follows
    late what changes steadily, tau (1 - exp(-t/tau))/t; both times in s, above 0."""
    rest = math.exp(-time / time_constant)
    return rest, time_constant * (1.0 - rest) / time
