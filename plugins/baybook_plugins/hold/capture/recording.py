"""The hold in a capture: only rows with the engine at rest, found or cut where the user says."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from baybook.api import InputError, Reading

from .window import AT_REST, Window, find_at_rest, find_collapse, find_window, stands_still, stretches

Floats = NDArray[np.float64]
Rows = NDArray[np.bool_]
_WORTH = 2.0
"""s: what falls for less before the pressure is gone at once is no hold."""
_BEGINNING = 0.02
"""Of a capture without the engine's speed: a pressure that falls from within this share of it on was let go before it."""


class Held(NamedTuple):
    """Time (s) and pressure (MPa gauge) of one hold, shape (n,)."""

    time: Floats
    pressure: Floats
    window: Window | None = None
    """Where it was found; None where the user cut it."""
    kept_up: bool = False
    """It hardly falls, and nothing shows that the pump stood: it may have been kept up."""
    turning: bool = False
    """Rows with the engine turning were left out."""
    unseen: bool = False
    """The capture has no engine speed, and begins with the hold."""
    clock: Floats | None = None
    """Standard uncertainty of each time (s) where it is not as good as exact."""
    before: tuple[Floats, Floats] | None = None
    """Time and pressure of rows in front, from the highest on, in which the pump stood too and the pressure fell at once."""

    @property
    def whole(self) -> tuple[Floats, Floats]:
        """Time and pressure, with what came before."""
        if self.before is None:
            return self.time, self.pressure
        return np.concatenate([self.before[0], self.time]), np.concatenate([self.before[1], self.pressure])


def held(request: Any, begin: Reading | None, finish: Reading | None) -> Held:
    """Read the capture, find its hold or cut it. Raises InputError."""
    recording = request.read()
    channel = recording.channel("rail")
    pressure = channel.to("MPa")
    if channel.reference == "absolute":
        pressure = pressure - 0.101325
    good = np.isfinite(pressure)
    rest = _at_rest(recording)
    time = recording.time
    if not good.all():
        time, pressure, rest = time[good], pressure[good], None if rest is None else rest[good]
    del recording, channel  # of millions of rows each column that is not needed counts
    if begin is None and finish is None:
        window = _found(request, time, pressure, rest)
        first, end = window.first, window.end
    else:
        window = None
        _within(begin, float(time[-1]) if len(time) else 0.0)
        low, high = (begin.number("s") if begin else -np.inf), (finish.number("s") if finish else np.inf)
        first, end = _cut(request, (time >= low) & (time <= high), rest)
    still = rest is None and end - first > 2 and stands_still(time[first:end], pressure[first:end])
    turning = rest is not None and not bool(rest.all())
    top = first if window is None else _top(pressure, rest, first)
    before = (time[top:first], pressure[top:first]) if top < first and (rest is not None or _begins(time, top)) else None
    return Held(time[first:end], pressure[first:end], window, still, turning, rest is None and first == 0, before=before)


def _begins(time: Floats, row: int) -> bool:
    return bool(time[row] - time[0] <= _BEGINNING * (time[-1] - time[0]))


def _top(pressure: Floats, rest: Rows | None, first: int) -> int:
    """The row of the highest pressure before the hold, of those right in front of it in which the engine stood."""
    turning = np.flatnonzero(~rest[:first]) if rest is not None else np.empty(0, dtype=int)
    begin = int(turning[-1]) + 1 if len(turning) else 0
    return begin + int(np.argmax(pressure[begin : first + 1]))


def _within(begin: Reading | None, length: float) -> None:
    """Raises InputError for a start that lies behind the end of the capture."""
    if begin is not None and begin.number("s") >= length:
        why = f"is after the end of the capture, {length:.4g} s"
        raise InputError.one("window_start", begin.text, why, "give a time within it")


def _at_rest(recording: Any) -> Rows | None:
    """Whether the engine stood, row by row, as last logged; None without its speed."""
    if "rpm" not in recording.channels:
        return None
    speed = recording.channel("rpm").to("rpm")
    rows = np.flatnonzero(np.isfinite(speed))
    last = rows[np.maximum(np.searchsorted(rows, np.arange(len(speed)), "right") - 1, 0)]
    rest: Rows = np.abs(speed[last]) < AT_REST
    return rest


def _found(request: Any, time: Floats, pressure: Floats, rest: Rows | None) -> Window:
    if rest is not None and not rest.any():
        raise _turns(request)
    gone = find_collapse(time, pressure, rest)
    try:
        window = find_window(time, pressure) if rest is None else find_at_rest(time, pressure, rest)
    except ValueError as error:
        if gone is not None:
            return gone
        hint = "give a capture of a shut rail, or say where it is with window_start and window_end"
        raise InputError.one("capture", str(request), f"has no pressure-decay segment: {error}", hint) from error
    return window if gone is None or window.end_time - window.begin_time > _WORTH else gone


def _cut(request: Any, inside: Rows, rest: Rows | None) -> tuple[int, int]:
    """The longest run of rows inside the cut with the engine at rest."""
    if rest is not None and inside.any() and not (inside & rest).any():
        raise _turns(request)
    runs = stretches(inside if rest is None else inside & rest)
    return max(runs, key=lambda run: run[1] - run[0], default=(0, 0))


def _turns(request: Any) -> InputError:
    hint = "log on after the stop: a rail is left to itself only with the engine at rest"
    return InputError.one("capture", str(request), "has no pressure-decay segment: the engine turns in every row", hint)
