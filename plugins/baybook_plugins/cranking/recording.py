"""A recorded crank: how fast, how high, how soon, what the pump gives, and what is lost."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from baybook.api import Estimate, Plot, Series

from .content import balanced
from .rows import Rail, Rows, Seen, rows_of, settled

if TYPE_CHECKING:
    from baybook_physics.following import Floats

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

    from baybook_physics.following import lowest

    channel = recording.channels.get(name)
    if channel is None:
        return None
    values = channel.gauge(unit) if unit == "bar" else channel.to(unit)
    inside = np.isfinite(values) & _while_cranking(recording, rows)
    if inside.sum() < 8:
        return None
    mean, u = lowest(recording.time[inside], values[inside], 0.25)
    return Estimate.of(mean, unit, u, kind="voltage" if unit == "V" else "gauge pressure")


def _wanted(rows: Rows) -> Estimate | None:
    """The target, where the crank lasted long enough for it to be met."""
    import numpy as np

    if rows.target is None or rows.started or rows.time[rows.end - 1] - rows.time[rows.first] < LONG_ENOUGH:
        return None
    target = 10 * float(np.nanmedian(rows.target[settled(rows)]))
    return Estimate.of(target, "bar", kind="gauge pressure") if np.isfinite(target) else None


def _currents(recording: Any, rows: Rows) -> Iterator[tuple[str, Estimate, Estimate, bool]]:
    from baybook_physics.driven import asked

    inside = _while_cranking(recording, rows)
    for valve, short in (("inlet", "mv"), ("outlet", "pcv")):
        duty, current = recording.channels.get(f"d_{short}"), recording.channels.get(f"i_{short}")
        if duty is not None and current is not None and (seen := asked(duty.to("%")[inside], current.to("A")[inside])):
            share = Estimate.of(seen.duty.value, "%", seen.duty.u, kind="ratio")
            yield valve, share, Estimate.of(seen.current.value, "A", seen.current.u, kind="current"), seen.none


def _while_cranking(recording: Any, rows: Rows) -> Any:
    """Rows of the recording, those without a pressure among them."""
    return (recording.time >= rows.time[rows.first]) & (recording.time <= rows.time[rows.end - 1])


def _plot(rows: Rows) -> Plot:
    from baybook_physics.following import thinned

    t, pressure = thinned(rows.time, 10 * rows.rail)
    line = Series("rail pressure", t, pressure)
    return Plot("Rail pressure while cranking", "time", "s", "rail pressure", "bar", (line,))
