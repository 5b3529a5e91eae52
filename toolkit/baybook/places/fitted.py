"""What is known of a vehicle's fuel system."""

from __future__ import annotations

from ..dataclass import dataclass


@dataclass(frozen=True)
class Fitted:
    """What is known of a vehicle; None is "not known". Field names are the keys of a sheet's `[system]` table.

    low_pressure: of tank pump, intermediate pump, suction pump. outlet_valve: "pump", "rail" or "none". open_at_rest: the
    valves through which the rail empties when no current flows, and "injector bleed" where the control bleeds the rail at rest.
    """

    low_pressure: tuple[str, ...] | None = None
    filter: bool | None = None
    inlet_valve: bool | None = None
    outlet_valve: str | None = None
    injector_bleed: bool | None = None
    pump_elements: int | None = None
    injectors: int | None = None
    returns: str | None = None
    open_at_rest: tuple[str, ...] | None = None
