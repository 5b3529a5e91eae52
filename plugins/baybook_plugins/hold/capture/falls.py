"""A fall that was over before its record was: one that stopped far above nothing, as at a valve, and one to nothing at once."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

_MOST = 0.9  # of the whole fall
_SOON = 0.6  # of the record; a leak that leaves less than a fifth of its pressure takes longer, whatever its law
_FAR = 0.2  # of the pressure at the start
_EMPTY = 1.0  # MPa: of a rail that stood at five times as much nothing is left
_AT_ONCE = (3, 1.0)  # rows, or s
_NEAR = 16  # rows


class Fall(NamedTuple):
    """From `start` to `end` (MPa gauge) in `time` (s); then it stayed about `rest`, or nothing was left."""

    start: float
    end: float
    time: float
    rest: float


def stopping(time: Floats, pressure: Floats, back: float) -> Fall | None:
    """The fall of a record (s; MPa gauge, shape (n,)) that is nearly over within its first part, far above `back`; else None.

    Leaks do not end so, but fuel that cools does.
    """
    start, last = float(pressure[0]), float(pressure[-max(len(time) // 10, 1) :].mean())
    over = int(np.argmax(pressure <= start - _MOST * (start - last)))
    rest, took = float(np.median(pressure[over:])), float(time[over] - time[0])
    if not over or took > _SOON * (time[-1] - time[0]) or rest - back < _FAR * (start - back):
        return None
    return Fall(start, float(pressure[over]), took, rest)


def collapse(time: Floats, pressure: Floats, back: float = 0.0) -> tuple[int, int] | None:
    """The last row before a fall to nothing at once, and the first behind it, nothing following; None where there is none."""
    left = np.flatnonzero(pressure - back > _EMPTY)
    end = int(left[-1]) + 1 if len(left) else 0
    if not 0 < end < len(pressure):
        return None
    first = max(end - _NEAR, 0)
    near = pressure[first:end] - back
    top = first + int(np.flatnonzero(near >= 0.9 * near.max())[-1])
    at_once = end - top <= _AT_ONCE[0] or time[end] - time[top] <= _AT_ONCE[1]
    return (top, end) if at_once and near.max() > 5.0 * _EMPTY else None
