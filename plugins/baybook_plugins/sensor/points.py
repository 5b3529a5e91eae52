"""What a sensor tells at no pressure, and what becomes of its signal on the way to the control unit."""

from __future__ import annotations

from typing import Any

from baybook.api import Estimate, Reading, propagate

from .model import Line


def at_zero(
    line: Line, standing: Reading | None, standing_signal: Reading | None, given: Any, shared: Any
) -> dict[str, Estimate]:
    """What is told at no pressure."""
    if standing:
        return propagate(
            lambda standing: {"zero_error": standing}, {"zero_error": "pressure difference"}, standing=standing.to("bar")
        )
    if standing_signal is None:
        return {}
    return propagate(
        lambda standing_signal, own, seen_by, drop: {"zero_error": line.pressure(standing_signal + drop, seen_by)},
        {"zero_error": "pressure difference"}, shared, standing_signal=standing_signal.to("V"), **given,
    )  # fmt: skip


def between(
    line: Line, shown: Reading | None, signal: Reading | None, supply: Reading, full_scale: Reading | None
) -> dict[str, Estimate]:
    """What is shown less what the signal at the plug means there; supply: the sensor's own."""
    if shown is None or signal is None or full_scale is None:
        return {}
    return propagate(
        lambda shown, signal, own: {"plug_difference": shown - line.pressure(signal, own)},
        {"plug_difference": "pressure difference"},
        shown=shown.to("bar"), signal=signal.to("V"), own=supply.to("V"),
    )  # fmt: skip


def along_ground(line: Line, drop: Reading, seen_by: Reading, full_scale: Reading | None) -> dict[str, Estimate]:
    """The drop along the ground wire, and the pressure that it makes at none where the line is known."""
    found = {"ground_voltage": Estimate.from_reading(drop)}
    if full_scale is None:
        return found
    return found | propagate(
        lambda drop, seen_by: {"ground_error": line.pressure(drop, seen_by) - line.pressure(0.0, seen_by)},
        {"ground_error": "pressure difference"}, drop=drop.to("V"), seen_by=seen_by.to("V"),
    )  # fmt: skip
