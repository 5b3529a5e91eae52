"""What is judged of a hold, as draws; of a rail that may have been empty at the end no more than a least or a most."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from baybook.api import Draws

from ..inputs.rail import Rail
from ..inputs.wanted import Wanted

if TYPE_CHECKING:
    from ..estimate.summary import HoldEstimate
    from ..two_point.estimate import TwoReadingResult

    Found = TwoReadingResult | HoldEstimate


def may_be_empty(end: float, rail: Rail) -> bool:
    """Whether a rail that ended at `end` (MPa gauge) may have been empty by then, as far as its sensor's zero is known."""
    return end - rail.back_pressure.number("MPa") < rail.zero_uncertainty.number("MPa")


def quantities(
    found: Found, rail: Rail, wanted: Wanted, *, empty: bool, stops: bool, read_after: float | None
) -> Iterator[tuple[str, Draws]]:
    """By the output's name what is known of it.

    empty: the rail may have been so at the end. What it lost by then it lost in that time or sooner, so its leak is known as a
    least. read_after: when (s) the last of two readings was taken; what was left sooner or is left later is then known as a
    most, and so it is of a fall that `stops`. None where the whole course was seen.
    """
    if rail.known_volume is not None:
        values, weights = drawn(found.collected_draws)
        yield "leak_collected", Draws(values, "mL/min", weights, "flow", most=_ends(values, math.inf) if empty else None,
                                      told=not empty)  # fmt: skip
    if wanted.after is None or found.after_draws is None or found.fall_draws is None:
        return
    left, weights = drawn(found.after_draws, 10.0)
    fell, _ = drawn(found.fall_draws, 10.0)
    if not (empty or stops) or read_after in (None, wanted.after.number("s")):
        yield "pressure_after", Draws(left, "bar", weights, "gauge pressure")
        yield "fall_after", Draws(fell, "bar", weights, "pressure difference")
        return
    start = [one + other for one, other in zip(left, fell, strict=True)]
    yield "pressure_after", Draws(_ends(left, 0.0), "bar", weights, "gauge pressure", most=left, told=False)
    yield "fall_after", Draws(fell, "bar", weights, "pressure difference", most=start, told=False)


def drawn(draws: tuple[Any, Any], factor: float = 1.0) -> tuple[list[float], list[float]]:
    """Values, times `factor`, and weights, as plain numbers."""
    return [factor * float(value) for value in draws[0]], [float(weight) for weight in draws[1]]


def _ends(values: list[float], end: float) -> list[float]:
    return [end] * len(values)
