"""A pressure that hunts: a regular swing about the target, slower than the strokes of pump and engine."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from baybook.api import Estimate

if TYPE_CHECKING:
    from baybook_physics.following import Floats

SMOOTH = 0.25
"""s: a working cycle at 480 rpm, where the speed is not known; over one of them strokes of pump and engine are averaged out."""
CYCLES = 3.0
"""What swings faster is of the pump, or of the engine, itself."""
DOMINANT = 0.5
"""Of the whole swing: less of it that is slow is no hunting but what is quick."""
HALVES = 5
"""Half swings at least, so that two whole ones were seen. These are common practice, no source."""
REGULAR = 0.5
"""Standard deviation of the half swings' lengths over their mean, at most."""


class Hunting(NamedTuple):
    """Mean deviation over whole swings with its standard uncertainty, and half the swing, bar; the period, s."""

    mean: float
    u: float
    half: float
    period: Estimate


def hunting(t: Floats, away: Floats, rpm: Floats | None) -> Hunting | None:
    """The slow swing of a deviation (bar) over time (s); None where there is none that is regular and about the target.

    rpm: the engine's speed meanwhile, None where it was not logged.
    """
    import numpy as np

    cycle = SMOOTH if rpm is None else 120.0 / max(float(np.nanmedian(rpm)), 1.0)
    rows = max(round(cycle / max(float(np.median(np.diff(t))), 1e-9)), 1)
    if len(t) < 4 * rows:
        return None
    slow = np.convolve(away, np.ones(rows) / rows, "valid")
    low, high = np.percentile(slow, (2.5, 97.5))
    whole = np.percentile(away, (2.5, 97.5))
    least = min(-float(low), float(high))
    if least <= 0 or high - low < DOMINANT * float(whole[1] - whole[0]):
        return None
    turns = _crossings(slow, 0.5 * least)
    times = t[rows // 2 : rows // 2 + len(slow)][turns]
    halves = np.diff(times)
    if (
        len(halves) < HALVES
        or 2 * float(halves.mean()) < CYCLES * cycle
        or float(halves.std()) > REGULAR * float(halves.mean())
    ):
        return None
    swings = [float(slow[a:b].mean()) for a, b in zip(turns[:-2:2], turns[2::2], strict=False)]
    u = float(np.std(swings, ddof=1) / np.sqrt(len(swings))) if len(swings) > 1 else float(high - low)
    mean = float(slow[turns[0] : turns[2 * len(swings)]].mean())
    period, error = 2 * float(halves.mean()), 2 * float(halves.std() / np.sqrt(len(halves)))
    return Hunting(mean, u, float(whole[1] - whole[0]) / 2, Estimate.of(period, "s", error, kind="time"))


def _crossings(values: Floats, beyond: float) -> list[int]:
    """Where it comes out beyond the one end after it was beyond the other."""
    import numpy as np

    side = np.where(values > beyond, 1, np.where(values < -beyond, -1, 0))
    at = np.flatnonzero(side)
    changed = np.flatnonzero(np.diff(side[at])) + 1
    return [int(at[n]) for n in changed]
