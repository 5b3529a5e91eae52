"""The part of a capture that is the hold, and why it begins and ends there."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from baybook.api import Message

from .falls import collapse

Floats = NDArray[np.float64]
Rows = NDArray[np.bool_]

_EMPTY = 1.0  # MPa: below it a rail is empty, not holding
_FEWEST = 10  # samples
_STILL = 0.01  # share of the pressure that a shut rail loses by cooling alone within a hold worth the name
AT_REST = 30.0
"""rpm: below it a crankshaft has stopped, but for its last swing; a starter turns it at 100 to 300 (common practice, no
source)."""


CAPTURE_BEGINS = Message("the capture begins")
CAPTURE_ENDS = Message("the capture ends")
PRESSURE_ROSE = Message("until then pressure rose or was kept up")
PRESSURE_GONE = Message("then pressure rose, fell at once or was gone")
ENGINE_STOPPED = Message("the engine came to rest")
ENGINE_TURNED = Message("then the engine turned")
NO_SHUT_RAIL = Message("what came before fits no shut rail")


class Window(NamedTuple):
    """Sample numbers from `first` up to, not including, `end`; and what bounds it on either side."""

    first: int
    end: int
    begins: Message
    ends: Message
    begin_time: float
    """s, as in the capture."""
    end_time: float
    others: int = 0
    """Further stretches in which the pressure only falls, at least a third as long."""

    def moved(self, by: int, begin_time: float) -> Window:
        """The same with its begin so many samples later, because what came before does not fit a shut rail."""
        return self._replace(first=self.first + by, begins=NO_SHUT_RAIL, begin_time=begin_time)


def find_window(time: Floats, pressure: Floats) -> Window:
    """The longest stretch in which pressure (MPa gauge, shape (n,)) only falls, and never at once.

    Raises `ValueError` where no stretch of at least ten samples stays above 1 MPa.
    """
    from baybook_physics.inference.segment import falling_segment

    try:
        found = falling_segment(time, pressure, _EMPTY)
    except ValueError as error:
        raise ValueError("no stretch in which the pressure only falls, above 1 MPa") from error
    begins = CAPTURE_BEGINS if found.from_start else PRESSURE_ROSE
    ends = CAPTURE_ENDS if found.to_end else PRESSURE_GONE
    begin_time, end_time = float(time[found.first]), float(time[found.end - 1])
    return Window(found.first, found.end, begins, ends, begin_time, end_time, found.others)


def find_at_rest(time: Floats, pressure: Floats, rest: Rows) -> Window:
    """The longest hold among the stretches with the engine at `rest` (true or false, shape (n,)). Raises `ValueError`."""
    found = []
    for first, end in stretches(rest):
        if end - first >= _FEWEST:
            try:
                window = find_window(time[first:end], pressure[first:end])
            except ValueError:
                continue
            begins = ENGINE_STOPPED if first and not window.first else window.begins
            ends = ENGINE_TURNED if end < len(time) and window.end == end - first else window.ends
            found.append(window._replace(first=window.first + first, end=window.end + first, begins=begins, ends=ends))
    if not found:
        raise ValueError("no stretch in which the engine stands and the pressure only falls, above 1 MPa")
    longest = max(found, key=lambda window: window.end_time - window.begin_time)
    third = (longest.end_time - longest.begin_time) / 3.0
    more = sum(window is not longest and window.end_time - window.begin_time >= third for window in found)
    return longest._replace(others=longest.others + more)


def find_collapse(time: Floats, pressure: Floats, rest: Rows | None) -> Window | None:
    """From the last row before the pressure is gone at once to the end of the record, the engine at `rest`; None without."""
    runs = [(0, len(time))] if rest is None else stretches(rest)[-1:]
    for first, end in runs:
        first = max(first - 1, 0)  # the row in which it stopped
        if (rows := collapse(time[first:end], pressure[first:end])) is not None:
            top, gone = first + rows[0], first + rows[1]
            begins = ENGINE_STOPPED if first else CAPTURE_BEGINS
            return Window(top, end, begins, PRESSURE_GONE, float(time[top]), float(time[gone]))
    return None


def stretches(rest: Rows) -> list[tuple[int, int]]:
    """First sample and the one behind the last of each run of true."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], rest.astype(int), [0]])))
    return [(int(first), int(end)) for first, end in edges.reshape(-1, 2)]


def stands_still(time: Floats, pressure: Floats) -> bool:
    """Whether the pressure falls by no more than it scatters, or by a hundredth: a shut rail that cools does more."""
    tenth = max(len(time) // 10, 1)
    fall = float(pressure[:tenth].mean() - pressure[-tenth:].mean())
    t = (time - time[0]) / max(float(time[-1] - time[0]), 1e-9)
    scatter = float(np.std(pressure - np.polyval(np.polyfit(t, pressure, 1), t)))
    return fall <= max(2.0 * scatter, _STILL * float(pressure.mean()))
