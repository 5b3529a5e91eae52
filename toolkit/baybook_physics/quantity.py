"""What an injector gives in a stroke, from what was collected or consumed. Floats, or numpy arrays that broadcast."""

from __future__ import annotations

from typing import Any

__all__ = ["of_flow", "of_volume"]


def of_volume(volume: Any, strokes: Any) -> Any:
    """mm3 per stroke, of `volume` (mL) that one injector gave in so many `strokes`."""
    return 1e3 * volume / strokes


def of_flow(flow: Any, cylinders: Any, engine_speed: Any) -> Any:
    """Mean mm3 per stroke and cylinder of a four-stroke engine that takes `flow` (mL/min) at `engine_speed` (1/min).

    Each cylinder has one working stroke in two turns; all that goes into it counts as one stroke. Turned round from
    `pump.injected`.
    """
    return 2e3 * flow / (cylinders * engine_speed)
