"""The time axis: seconds from the first row, rising; what stood out of order, twice or astray; interval and gaps."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..dataclass import dataclass, field
from ..errors import InputError
from .model import Dropped, Gap

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from .model import Floats
    from .rows import LineNumbers

_SHOWN = 10  # gaps in a report


@dataclass
class Axis:
    """Which rows stay and in which order (`rows`, shape (n,)), their `time` in s, and what there is to say."""

    rows: NDArray[np.int64] | range
    time: Floats
    dropped: list[Dropped] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    moved: bool = False  # rows stand in another order than in the file


@dataclass(frozen=True)
class Rhythm:
    """Sampling: the median interval in s (None for one row), whether most keep to it, and the gaps."""

    interval_s: float | None
    regular: bool
    count: int
    gaps: tuple[Gap, ...]
    rows_lost: int


def going_on(seconds: Floats, period: float) -> tuple[Floats, int]:
    """Times of a clock that begins again after a `period` in s, going on; and how often it began. Shape (n,), NaN kept."""
    import numpy as np

    known = np.flatnonzero(~np.isnan(seconds))
    steps = np.diff(seconds[known])
    turns = np.cumsum((steps < -period / 2).astype(int) - (steps > period / 2).astype(int))
    if not turns.any():
        return seconds, 0
    gone_on = seconds.copy()
    gone_on[known[1:]] += turns * period
    if turns.min() < 0 and (np.diff(gone_on[known]) > 0).any():  # neither going on nor, newest first, going back throughout
        return seconds, 0
    return gone_on, int(abs(turns).max())


def in_order(time: Floats, lines: LineNumbers, values: list[Floats], what: str) -> Axis:
    """The rows with a time, in its order, each time once.

    time: shape (n,), s, NaN where unreadable; lines: of each row; values: the channels, each of shape (n,).
    Raises InputError where the times are of two recordings, or too coarse to tell rows apart.
    """
    import numpy as np

    if (np.diff(time) > 0).all() and not np.isnan(time[:1]).any():  # of several, a missing one fails the first too
        return Axis(range(len(time)), time)
    known = np.flatnonzero(~np.isnan(time))
    axis = Axis(known, time)
    without = np.flatnonzero(np.isnan(time))
    if len(without):
        axis.dropped.append(Dropped("no readable time", len(without), lines[without[0]]))
    if len(without) == len(time):
        raise InputError.one("t", what, "holds no readable time", "name another column, or give the sample rate: --rate")
    rows = _sorted(axis, known, time, lines, what) if (np.diff(time[known]) < 0).any() else known
    steps = np.diff(time[rows])
    axis.rows = _once(axis, rows, time, lines, values, what, steps) if (steps == 0).any() else rows
    axis.time = time[axis.rows]
    return axis


def _sorted(axis: Axis, rows: NDArray[np.int64], time: Floats, lines: LineNumbers, what: str) -> NDArray[np.int64]:
    """The rows in the order of time, unless that would shuffle two recordings into one."""
    import numpy as np

    axis.moved = True
    given = time[rows]
    if (np.diff(given) <= 0).all():
        axis.notes.append("The rows stand newest first; they were turned round.")
        return rows[::-1]
    late = given < np.maximum.accumulate(given)  # after a row with a later time
    early = given > np.minimum.accumulate(given[::-1])[::-1]  # before a row with an earlier time
    astray = late if late.sum() <= early.sum() else early
    order = np.argsort(given, kind="stable")
    if astray.sum() > max(1, 0.02 * len(given)) and np.abs(order - np.arange(len(order))).max() > 50:
        back = int(np.flatnonzero(np.diff(given) < 0)[0]) + 1
        raise InputError.one(
            "t",
            what,
            f"starts again at line {lines[rows[back]]}: it goes back from {given[back - 1]:g} s to {given[back]:g} s",
            "give one recording to a file",
        )
    lost = _beyond(given, astray)
    first = lines[rows[np.flatnonzero(astray)[0]]]
    moved = int(astray.sum() - lost.sum())
    if lost.any():
        axis.dropped.append(Dropped("time far outside the recording", int(lost.sum()), lines[rows[np.flatnonzero(lost)[0]]]))
    if moved:
        rows_were = "1 row stood" if moved == 1 else f"{moved} rows stood"
        axis.notes.append(f"{rows_were} out of the order of time, the first at line {first}; now in order.")
    return rows[order[~lost[order]]]


def _beyond(given: Floats, astray: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Which of the rows astray lie far before or after all others: a wrong time, not a late row."""
    import numpy as np

    rest = given[~astray]
    margin = 10 * float(np.median(np.diff(rest))) if len(rest) > 1 else np.inf
    return np.asarray(astray & ((given < rest.min() - margin) | (given > rest.max() + margin)))


def _once(
    axis: Axis, rows: NDArray[np.int64], time: Floats, lines: LineNumbers, values: list[Floats], what: str, steps: Floats
) -> NDArray[np.int64]:
    """The rows without those whose time was there already."""
    import numpy as np

    again = np.flatnonzero(steps == 0) + 1
    distinct = len(rows) - len(again)
    if len(again) > 0.2 * len(rows) and len(rows) > 5:
        _too_coarse(time[rows], distinct, axis.moved, what)
    before, after = rows[again - 1], rows[again]
    same = np.ones(len(again), bool)
    for channel in values:
        same &= (channel[before] == channel[after]) | (np.isnan(channel[before]) & np.isnan(channel[after]))
    for why, which in (("row given twice", same), ("time given twice with other values, the first kept", ~same)):
        if which.any():
            axis.dropped.append(Dropped(why, int(which.sum()), min(lines[row] for row in after[which])))
    return np.delete(rows, again)


def _too_coarse(time: Floats, distinct: int, moved: bool, what: str) -> None:
    """Raise InputError for times that many rows share; with a rate only where the rows keep to one, in the file's order."""
    import numpy as np

    duration, rows = float(time[-1] - time[0]), len(time)
    if distinct < 2 or duration <= 0:
        raise InputError.one("t", what, "stands still", "name another column, or give the sample rate: --rate 100Hz")
    begins = np.flatnonzero(np.diff(time, prepend=time[0] - 1) > 0)
    inner, steps = np.diff(begins)[1:], np.diff(time[begins])
    steady = len(inner) > 1 and np.ptp(inner) <= max(2, 0.2 * inner.mean()) and np.ptp(steps) <= 0.1 * steps.mean()
    why = f"is too coarse: about {rows / distinct:.3g} rows share each of its times"
    if moved or not steady:
        raise InputError.one("t", what, why, "name another column, or give the recorder's sample rate: --rate")
    rate = rows / (duration * distinct / (distinct - 1))
    raise InputError.one("t", what, why, f"give the sample rate, near --rate {rate:.3g}Hz")


def rhythm(time: Floats, rows: NDArray[np.int64] | range, lines: LineNumbers) -> Rhythm:
    """The interval and the gaps of rising times in s, shape (n,); `rows`: each one's row in the file."""
    import numpy as np

    from baybook_physics.inference.weights import median

    if len(time) < 2:
        return Rhythm(None, True, 0, (), 0)
    steps = np.diff(time)
    # of millions of steps every so-many-th will do: a median over all takes as long as a third of the reading
    interval = float(median(steps[:: len(steps) // 50_000 | 1]))
    regular = bool(np.count_nonzero(np.abs(steps - interval) <= 0.1 * interval) >= 0.9 * len(steps))
    wide = np.flatnonzero(steps > (1.5 if regular else 5.0) * interval)
    lost = np.rint(steps[wide] / interval).astype(int) - 1
    longest = np.sort(wide[np.argsort(-steps[wide], kind="stable")[:_SHOWN]])
    gaps = tuple(
        Gap(float(time[place]), float(steps[place]), round(float(steps[place]) / interval) - 1, lines[rows[place]])
        for place in longest
    )
    return Rhythm(interval, regular, len(wide), gaps, int(lost.sum()))
