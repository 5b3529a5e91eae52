"""What the readings of the low-pressure side give, as plain numbers: for each a function of those that it takes."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from baybook_physics.dissolved_air import released


def filter_drop(before: float, after: float) -> float:
    """Pressure before the filter less that behind it, in their unit."""
    return before - after


def flow(volume: float, time: float) -> float:
    """mL/min of `volume` (mL) in `time` (min)."""
    return volume / time


def engine_takes(*flows: float) -> float:
    """Injected, returned, the pump's own: all that flows into the high-pressure pump, in their unit."""
    return sum(flows)


def surplus(volume: float, time: float, *flows: float) -> float:
    """What flows and is not taken, mL/min."""
    return flow(volume, time) - engine_takes(*flows)


def released_air(gauge: float, ambient: float, temperature: float, bunsen: float) -> float:
    """Share of free air in the fuel at a depression (`gauge` below 0); gauge and ambient in one unit, temperature in °C."""
    return float(released(ambient, ambient + gauge, temperature, bunsen))


def voltage_drop(battery: float, pump: float) -> float:
    """Along both wires of the electric pump, V."""
    return battery - pump


FUNCTIONS: Mapping[str, Callable[..., float]] = {
    one.__name__: one for one in (filter_drop, flow, engine_takes, surplus, released_air, voltage_drop)
}
