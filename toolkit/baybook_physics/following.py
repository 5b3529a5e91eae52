"""How one signal follows another: where the wanted one stands still, and how far the other lastingly is from it.

Arrays of shape (n,), time in s and rising; pressures in any one unit.
"""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "COAST", "TURNING", "Lasting", "held", "joined", "lasting_means", "lowest", "runs", "slope", "standing", "step", "thinned",
    "turning", "unlogged",
]  # fmt: skip

Floats = NDArray[np.float64]
Rows = NDArray[np.bool_]

TURNING = 60.0
"""rpm: a starter turns an engine at 80 to 300 (common practice, no source); below this it only swings out."""
COAST = 1.0
"""s: within this an engine that is stopped comes to rest (common practice, no source)."""
_GRID = 0.1  # s: the wanted value is looked at so often
_MOVED = 0.05  # share of its value by which it has to move to count as a change
_BLOCKS = 4
STALE = 3.0  # intervals: a signal that comes later than this is missing
_AT_A_TIME = 1 << 16  # means: what is worked out for each takes many times the room of the recording


def runs(rows: Rows) -> list[tuple[int, int]]:
    """First sample and the one behind the last of each run of true."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], rows.astype(int), [0]])))
    return [(int(first), int(end)) for first, end in edges.reshape(-1, 2)]


def turning(time: Floats, speed: Floats, settle: float) -> Rows:
    """Rows in which the engine turns, begun at least `settle` seconds ago where it started, and not about to come to rest.

    speed: rpm; a gap in it takes the value before.
    """
    known = np.flatnonzero(np.isfinite(speed))
    if not len(known):
        return np.ones(len(time), bool)
    filled = speed[known[np.maximum(np.searchsorted(known, np.arange(len(speed)), "right") - 1, 0)]]
    found = np.zeros(len(time), bool)
    for first, end in joined(time, runs(filled >= TURNING), 0.2):
        begin = time[first] + settle if first else time[0]
        finish = time[end - 1] - COAST if end < len(time) else time[-1]
        found[first:end] = (time[first:end] >= begin) & (time[first:end] <= finish)
    return found


def joined(time: Floats, found: list[tuple[int, int]], gap: float) -> list[tuple[int, int]]:
    """Runs that less than `gap` seconds part are one: a single low reading is no standstill."""
    whole: list[tuple[int, int]] = []
    for first, end in found:
        if whole and time[first] - time[whole[-1][1] - 1] < gap:
            whole[-1] = (whole[-1][0], end)
        else:
            whole.append((first, end))
    return whole


def standing(time: Floats, wanted: Floats, settle: float) -> Rows:
    """Rows in which the wanted value has not moved by more than a twentieth of itself for `settle` seconds."""
    grid = np.arange(time[0], time[-1] + _GRID, _GRID)
    at = np.interp(grid, time, wanted)
    width = round(settle / _GRID) + 1
    padded = np.concatenate([np.full(width - 1, at[0]), at])
    windows = np.lib.stride_tricks.sliding_window_view(padded, width)
    still = windows.max(axis=1) - windows.min(axis=1) <= _MOVED * np.maximum(np.abs(at), 1e-9)
    place = np.minimum(np.searchsorted(grid, time, "left"), len(grid) - 1)
    found: Rows = still[place]
    return found


class Lasting(NamedTuple):
    """Means over a stated length, one from each sample: where each begins and ends, the mean, its standard uncertainty."""

    first: NDArray[np.int64]
    end: NDArray[np.int64]
    mean: Floats
    u: Floats

    def at(self, place: int) -> tuple[int, int, float, float]:
        """One of them."""
        return int(self.first[place]), int(self.end[place]), float(self.mean[place]), float(self.u[place])


def lasting_means(time: Floats, values: Floats, length: float) -> Lasting:
    """Means over `length` seconds of evenly logged values, with what the scatter of their quarters makes of their uncertainty.

    A stretch that is shorter gives one mean over all of it.
    """
    end = np.searchsorted(time, time + length, "left")
    whole = time + length <= time[-1] + 1e-9
    first = np.flatnonzero(whole) if whole.any() else np.array([0])
    end = end[first] if whole.any() else np.array([len(time)])
    end = np.maximum(end, first + 1)
    sums = np.concatenate([[0.0], np.cumsum(values)])
    mean = (sums[end] - sums[first]) / (end - first)
    u = np.empty(len(first))
    for at in range(0, len(first), _AT_A_TIME):
        u[at : at + _AT_A_TIME] = _scatter_of_quarters(sums, first[at : at + _AT_A_TIME], end[at : at + _AT_A_TIME])
    u[end - first < 2 * _BLOCKS] = np.inf if len(values) < 2 else np.std(values)
    return Lasting(first, end, mean, u)


def held(time: Floats, values: Floats) -> Floats:
    """The values; where one is missing the last known, for up to `STALE` of its own usual intervals."""
    known = np.flatnonzero(np.isfinite(values))
    if len(known) < 2:
        return values
    last = known[np.maximum(np.searchsorted(known, np.arange(len(values)), "right") - 1, 0)]
    age = time - time[last]
    fresh = (age >= 0.0) & (age <= STALE * float(np.median(np.diff(time[known]))))
    filled: Floats = np.where(fresh, values[last], np.nan)
    return filled


def unlogged(time: Floats, known: Rows) -> float:
    """s without a value: holes, before the first and after the last, each longer than a second and ten usual intervals."""
    at = time[known]
    if len(at) < 2:
        return float(time[-1] - time[0])
    holes = np.diff(np.concatenate([time[:1], at, time[-1:]]))
    return float(holes[holes > max(1.0, 10.0 * float(np.median(np.diff(at))))].sum())


def lowest(time: Floats, values: Floats, length: float) -> tuple[float, float]:
    """The lowest of the means over `length` seconds, and its standard uncertainty with the step in which it was logged."""
    means = lasting_means(time, values, length)
    _, _, mean, u = means.at(int(np.argmin(means.mean)))
    return mean, float(np.hypot(u, step(values) / np.sqrt(12.0)))


def step(values: Floats) -> float:
    """The smallest step in which it was logged; 0 where it stands still."""
    levels = np.diff(np.unique(np.round(values, 9)))
    return float(levels.min()) if len(levels) else 0.0


def thinned(*columns: Floats, most: int = 400) -> list[list[float]]:
    """Each with every so many-th value, about `most` of them: for a plot."""
    every = max(len(columns[0]) // most, 1)
    return [[float(value) for value in column[::every]] for column in columns]


def _scatter_of_quarters(sums: Floats, first: NDArray[np.int64], end: NDArray[np.int64]) -> Floats:
    """Standard uncertainty of means from `first` to before `end`."""
    edges = [first + (end - first) * part // _BLOCKS for part in range(_BLOCKS + 1)]
    parts = [(sums[b] - sums[a]) / np.maximum(b - a, 1) for a, b in pairwise(edges)]
    u: Floats = np.std(parts, axis=0, ddof=1) / np.sqrt(_BLOCKS)
    return u


def slope(time: Floats, values: Floats) -> tuple[float, float]:
    """Slope of a straight line, and its standard uncertainty, widened by how much neighbouring residuals hang together."""
    if len(time) < 3 or np.ptp(time) <= 0.0:
        return 0.0, 0.0
    t = time - time.mean()
    rise = float(t @ values / (t @ t))
    left = values - values.mean() - rise * t
    scatter = float(left @ left) / (len(t) - 2)
    hang = float(left[:-1] @ left[1:] / max(float(left @ left), 1e-300))
    wider = (1 + hang) / (1 - hang) if hang > 0 else 1.0
    return rise, float(np.sqrt(scatter * min(wider, len(t) / 2) / (t @ t)))
