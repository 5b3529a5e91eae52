"""A piston pump: displacement, what compression takes of it, delivery. Floats, or numpy arrays that broadcast.

Volumetric efficiency is counted at the inlet's state, as a graduated cylinder under the return measures, or at the outlet's,
in rail volume; the two differ by the density ratio of compression and are never mixed.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

__all__ = ["balance", "by_inlet", "by_outlet", "delivery", "displacement", "injected"]


def displacement(elements: Any, bore: Any, stroke: Any, lifts: Any = 1) -> Any:
    """cm3 per turn of the pump: z pi/4 d^2 h, `bore` and `stroke` in mm, `lifts` of each element in a turn."""
    return elements * lifts * math.pi / 4.0 * bore**2 * stroke * 1e-3


def by_inlet(dead: Any, compression: Any) -> Any:
    """Share of the swept volume that is delivered, counted at the inlet's state: 1 - e (rho2/rho1 - 1), by mass balance.

    dead: e, dead over swept volume; compression: rho2/rho1, outlet over inlet density.
    """
    return 1.0 - dead * (compression - 1.0)


def by_outlet(dead: Any, compression: Any) -> Any:
    """The same counted at the outlet's state: (1 + e) rho1/rho2 - e."""
    return (1.0 + dead) / compression - dead


def delivery(swept: Any, speed: Any, efficiency: Any) -> Any:
    """Flow, mL/min, of `swept` (cm3 per turn) at `speed` (1/min of the pump), at the state of the efficiency."""
    return swept * speed * efficiency


def injected(quantity: Any, cylinders: Any, engine_speed: Any) -> Any:
    """Flow, mL/min, of `quantity` (mm3 per stroke and cylinder) in a four-stroke engine at `engine_speed` (1/min)."""
    return quantity * 1e-3 * cylinders * engine_speed / 2.0


def balance(
    swept: Any, speed: Any, efficiency: Any, compression: Any, flows: Sequence[Any] = (), *, in_rail_volume: bool = False
) -> dict[str, Any]:
    """What a sound pump gives against the `flows` that are taken, mL/min; all but `…_at_rail` as a cylinder measures at low
    pressure.

    swept, speed: as in `delivery`; efficiency: of a sound pump, counted at low pressure or `in_rail_volume`; compression:
    outlet over inlet density. `efficiency_found`: what is taken over what is swept.
    """
    given = delivery(swept, speed, efficiency) * (compression if in_rail_volume else 1.0)
    taken = sum(flows)
    found = taken / delivery(swept, speed, 1.0)
    return {
        "delivery": given, "delivery_at_rail": given / compression, "taken": taken, "surplus": given - taken,
        "efficiency_found": found, "efficiency_at_rail": found / compression,
    }  # fmt: skip
