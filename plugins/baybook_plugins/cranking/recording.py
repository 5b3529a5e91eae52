"""A recorded crank: how fast, how high, how soon, what the pump gives, and what is lost."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from baybook.api import Estimate, Plot, Series

from .content import balanced
from .rows import Rail, Rows, Seen, rows_of, settled

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
else:
    Floats = Any

LONG_ENOUGH = 2.0  # s of cranking after which a target that is missed is missed
HELD = 0.5  # s: a pressure that is held so long counts as reached


def crank(request: Any, rail: Rail | None, enabled: float | None) -> Seen:
    """Read the capture and look at its first crank. enabled: MPa. Raises InputError."""
    recording = request.read()
    rows = rows_of(recording, str(request))
    t, p = rows.time[rows.first : rows.end], rows.rail[rows.first : rows.end]
    seen = Seen(
        _mean(rows.time, rows.speed, settled(rows), "rpm"),
        _held(rows),
        _mean(rows.time, rows.rail * 10, slice(0, max(rows.first, 2)), "bar"),
        Estimate.of(float(t[-1] - t[0]), "s", 0.02),
        rows.started,
        _reached(t, p, enabled),
        _lowest(recording, "battery", "V", rows),
        _lowest(recording, "low", "bar", rows),
        wanted=_wanted(rows),
        currents=tuple(_currents(recording, rows)),
        plots=(_plot(rows),),
    )
    return seen if rail is None else balanced(seen, rows, rail)


def _mean(time: Floats, values: Floats, rows: slice, unit: str) -> Estimate:
    """The mean, with what its quarters' scatter, and the swing that it may begin and end in, make of its uncertainty."""
    import numpy as np

    from baybook_physics.following import lasting_means

    t, v = time[rows], values[rows]
    _, _, mean, u = lasting_means(t, v, float(t[-1] - t[0])).at(0)
    swings = max(int(np.count_nonzero(np.diff(v > mean))) / 2, 1.0)
    u = float(np.hypot(u, np.std(v) / (np.pi * swings)))
    return Estimate.of(mean, unit, u, kind="speed" if unit == "rpm" else "gauge pressure")


def _held(rows: Rows) -> Estimate:
    """The highest pressure that is held for a while; an engine that has started holds it after the crank."""
    import numpy as np

    from baybook_physics.following import lasting_means

    end = int(np.searchsorted(rows.time, rows.time[rows.end - 1] + HELD)) if rows.started else rows.end
    means = lasting_means(rows.time[rows.first : end], rows.rail[rows.first : end], HELD)
    place = int(means.mean.argmax())
    return Estimate.of(10 * float(means.mean[place]), "bar", 10 * float(means.u[place]), kind="gauge pressure")


def _reached(time: Floats, rail: Floats, enabled: float | None) -> Estimate | None:
    """When the enabling pressure is first shown by three rows in a row, from the first turn on."""
    import numpy as np

    if enabled is None:
        return None
    above = rail >= enabled
    three = np.flatnonzero(above[:-2] & above[1:-1] & above[2:])
    if not len(three):
        return None
    at, step = float(time[three[0]] - time[0]), float(np.median(np.diff(time)))
    return Estimate(at, "s", max(at - 2 * step, 0.0), at + max(2 * step, 0.05))


def _lowest(recording: Any, name: str, unit: str, rows: Rows) -> Estimate | None:
    """The lowest mean over a quarter of a second while cranking."""
    import numpy as np

    from baybook_physics.following import lasting_means

    channel = recording.channels.get(name)
    if channel is None or channel.reference == "absolute":
        return None
    values = channel.to(unit)
    begin, finish = rows.time[rows.first], rows.time[rows.end - 1]
    inside = np.isfinite(values) & (recording.time >= begin) & (recording.time <= finish)
    if inside.sum() < 8:
        return None
    means = lasting_means(recording.time[inside], values[inside], 0.25)
    place = int(means.mean.argmin())
    step = np.diff(np.unique(np.round(values[inside], 9)))
    u = float(np.hypot(means.u[place], (step.min() if len(step) else 0.0) / np.sqrt(12.0)))
    return Estimate.of(float(means.mean[place]), unit, u, kind="voltage" if unit == "V" else "gauge pressure")


def _wanted(rows: Rows) -> Estimate | None:
    """The target, where the crank lasted long enough for it to be met."""
    import numpy as np

    if rows.target is None or rows.started or rows.time[rows.end - 1] - rows.time[rows.first] < LONG_ENOUGH:
        return None
    target = 10 * float(np.nanmedian(rows.target[settled(rows)]))
    return Estimate.of(target, "bar", kind="gauge pressure") if np.isfinite(target) else None


def _currents(recording: Any, rows: Rows) -> Iterator[tuple[str, Estimate, Estimate, bool]]:
    import numpy as np

    from baybook_physics.coil import DRIVEN, undriven

    begin, finish = rows.time[rows.first], rows.time[rows.end - 1]
    inside = (recording.time >= begin) & (recording.time <= finish)
    for valve, short in (("inlet", "mv"), ("outlet", "pcv")):
        duty, current = recording.channels.get(f"d_{short}"), recording.channels.get(f"i_{short}")
        if duty is None or current is None:
            continue
        d, i = (each[inside & np.isfinite(each)] for each in (duty.to("%"), current.to("A")))
        if len(d) >= 8 and len(i) >= 8 and float(np.median(d)) / 100 >= DRIVEN:
            spread = [float(np.std(each) / np.sqrt(len(each))) for each in (d, i)]
            yield (
                valve,
                Estimate.of(float(np.median(d)), "%", spread[0], kind="ratio"),
                Estimate.of(float(np.median(i)), "A", spread[1], kind="current"),
                undriven(float(np.median(d)) / 100, float(np.median(i))),
            )


def _plot(rows: Rows) -> Plot:
    every = max(len(rows.time) // 400, 1)
    t = [float(x) for x in rows.time[::every]]
    line = Series("rail pressure", t, [10 * float(x) for x in rows.rail[::every]])
    return Plot("Rail pressure while cranking", "time", "s", "rail pressure", "bar", (line,))
