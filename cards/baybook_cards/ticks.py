"""Round numbers for the ticks of an axis, on a linear or a logarithmic scale."""

from __future__ import annotations

import math


def step_near(span: float, count: int) -> float:
    """The step of 1, 2, 2.5 or 5 times a power of ten that cuts `span` (> 0) into about `count` parts, never more."""
    raw = span / max(count, 1)
    power = 10.0 ** math.floor(math.log10(raw))
    return next((m * power for m in (1, 2, 2.5, 5, 10) if m * power >= raw * (1 - 1e-9)), 10 * power)


def linear_ticks(low: float, high: float, count: int) -> list[float]:
    """Multiples of a round step from `low` to `high`, both included when they are multiples."""
    step = step_near(high - low, count)
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return [index * step for index in range(first, last + 1)]


def log_ticks(low: float, high: float, count: int) -> list[float]:
    """1, 2, 5 in each decade between `low` and `high` (both > 0); only powers of ten where that would be too many."""
    decades = range(math.floor(math.log10(low) + 1e-9), math.ceil(math.log10(high) - 1e-9) + 1)
    for digits in ((1, 2, 5), (1, 3), (1,)):
        ticks = [d * 10.0**p for p in decades for d in digits if low * (1 - 1e-9) <= d * 10.0**p <= high * (1 + 1e-9)]
        if len(ticks) <= count:
            break
    return ticks


def fine_ticks(low: float, high: float, scale: str, labelled: list[float]) -> list[float]:
    """Unlabelled ticks: each whole digit of a decade, or five to a labelled step."""
    if scale == "log":
        powers = range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
        chosen = [digit * 10.0**power for power in powers for digit in range(1, 10)]
    else:
        step = (labelled[1] - labelled[0]) / 5 if len(labelled) > 1 else high - low
        chosen = [index * step for index in range(math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9) + 1)]
    return [value for value in chosen if low * (1 - 1e-9) <= value <= high * (1 + 1e-9)]


def decimals_for(ticks: list[float]) -> int:
    """Decimals that show every tick exactly, at most 6."""
    for decimals in range(6):
        if all(abs(tick - round(tick, decimals)) <= 1e-9 * max(abs(tick), 1e-9) for tick in ticks):
            return decimals
    return 6


def widened(low: float, high: float, scale: str) -> tuple[float, float]:
    """A range that can be drawn: never empty, rounded outward to a tick."""
    if scale == "log":
        return (10.0 ** math.floor(math.log10(low) + 1e-9), 10.0 ** math.ceil(math.log10(high) - 1e-9))
    if high <= low:
        margin = abs(low) * 0.1 or 1.0
        return low - margin, high + margin
    step = step_near(high - low, 5)
    return math.floor(low / step + 1e-9) * step, math.ceil(high / step - 1e-9) * step
