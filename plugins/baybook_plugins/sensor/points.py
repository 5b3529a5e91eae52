"""What a sensor tells at no pressure, and what becomes of its signal on the way to the control unit."""

from __future__ import annotations

from typing import Any

from baybook.api import Estimate, Reading, propagate

from .model import Line


def at_pressure(line: Line, signal: Reading, given: Any, shared: Any, *, apart: bool) -> dict[str, Estimate]:
    """What the signal means at the sensor, and at the control unit. apart: whether the supply was read at both ends."""
    found = propagate(
        lambda signal, own, seen_by, drop: {
            "pressure": line.pressure(signal, own), "seen_pressure": line.pressure(signal + drop, seen_by),
            "supply_error": line.pressure(signal, seen_by) - line.pressure(signal, own),
        },
        {"pressure": "gauge pressure", "seen_pressure": "gauge pressure", "supply_error": "pressure difference"},
        shared, signal=signal.to("V"), **given,
    )  # fmt: skip
    return found if apart else {name: one for name, one in found.items() if name != "supply_error"}


def at_zero(
    line: Line, standing: Reading | None, standing_signal: Reading | None, given: Any, shared: Any
) -> dict[str, Estimate]:
    """What is told at no pressure."""
    if standing:
        return {"zero_error": propagate(lambda standing: standing, "pressure difference", standing=standing.to("bar"))}
    if standing_signal is None:
        return {}
    volts = standing_signal.to("V")
    error = propagate(
        lambda standing_signal, own, seen_by, drop: line.pressure(standing_signal + drop, seen_by), "pressure difference",
        shared, standing_signal=volts, **given,
    )  # fmt: skip
    return {"zero_error": error}


def between(
    line: Line, shown: Reading | None, signal: Reading | None, supply: Reading, full_scale: Reading | None
) -> dict[str, Estimate]:
    """What is shown less what the signal at the plug means there; supply: the sensor's own."""
    if shown is None or signal is None or full_scale is None:
        return {}
    at_plug = {"shown": shown.to("bar"), "signal": signal.to("V"), "own": supply.to("V")}
    less = propagate(lambda shown, signal, own: shown - line.pressure(signal, own), "pressure difference", **at_plug)
    return {"plug_difference": less}


def along_ground(line: Line, drop: Reading, seen_by: Reading, full_scale: Reading | None) -> dict[str, Estimate]:
    """The drop along the ground wire, and the pressure that it makes at none where the line is known."""
    found = {"ground_voltage": Estimate.from_reading(drop)}
    if full_scale is not None:
        ends = {"drop": drop.to("V"), "seen_by": seen_by.to("V")}
        found["ground_error"] = propagate(
            lambda drop, seen_by: line.pressure(drop, seen_by) - line.pressure(0.0, seen_by), "pressure difference", **ends
        )
    return found
