"""The recorded pressure over the pump's turns: which rows, which orders, and whether the logger was fast enough."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from baybook.api import Estimate, InputError, Plot, Reading, Series

if TYPE_CHECKING:
    from baybook_physics.following import Floats
    from baybook_physics.strokes import Found

LEAST = 8  # rows, of which less is no recording


class Pump(NamedTuple):
    """Elements, lobes of its cam, turns of its shaft for one of the crank."""

    elements: int
    lobes: int
    ratio: float


class Ripple(NamedTuple):
    """The orders of the pump; its turns a second; mean pressure; what else makes orders, as in `Pulsation`; the plot."""

    orders: tuple[Found, ...]
    rate: float
    pressure: Estimate | None = None
    of_speed: frozenset[float] = frozenset()
    by_speed: float = 0.0
    plots: tuple[Plot, ...] = ()


def ripple_of(request: Any, speed: Reading | None, pump: Pump, begin: Reading | None, finish: Reading | None) -> Ripple:
    """Read the capture and find its orders. Raises InputError: too slow a logger, too few turns, no speed."""
    import numpy as np

    from baybook_physics.orders import TURNS, pulsation, turned
    from baybook_physics.strokes import needed_rate

    time, rail, rpm = _rows(request, speed, begin, finish)
    turns, rate = turned(time, rpm, pump.ratio)
    logged, needed = 1.0 / float(np.median(np.diff(time))), needed_rate(rate, pump.elements, pump.lobes)
    if logged < needed:
        why = f"was logged at {logged:.4g} Hz, too slow for a pump that turns {60 * rate:.4g} times a minute"
        raise InputError.one("capture", str(request), why, f"log at {needed:.3g} Hz or more, or at a lower speed")
    try:
        seen = pulsation(turns, rail, rpm, pump.elements, pump.lobes)
    except ValueError as error:
        hint = f"log {TURNS / rate:.3g} s and more at this speed"
        raise InputError.one("capture", str(request), f"holds only {error}", hint) from error
    mean = Estimate.of(seen.mean[0], "bar", seen.mean[1], kind="gauge pressure")
    return Ripple(seen.orders, rate, mean, seen.of_speed, seen.by_speed, (_plot(seen.orders),))


def _rows(request: Any, speed: Reading | None, begin: Reading | None, finish: Reading | None) -> tuple[Floats, Floats, Floats]:
    """Time (s), rail pressure (bar), speed (rpm): cut by the user, or the longest stretch that is steady."""
    import numpy as np

    from baybook_physics.following import runs
    from baybook_physics.orders import steady_stretch

    recording = request.read()
    time, rail = recording.time, recording.channel("rail").to("bar")
    if "rpm" in recording.channels:
        rpm = recording.channels["rpm"].to("rpm")
    elif speed is not None:
        rpm = np.full(len(time), speed.number("rpm"))
    else:
        hint = 'name its column: --column rpm="…", or give a steady speed'
        raise InputError.one("speed", None, "is missing, and the capture has none", hint)
    known, good = np.isfinite(rpm), np.isfinite(rail)
    if known.sum() < LEAST or good.sum() < LEAST:
        raise InputError.one("capture", str(request), "has fewer than 8 rows with pressure and speed", "log for longer")
    target = recording.channels["set"].to("bar")[good] if "set" in recording.channels else None
    time, rail, rpm = time[good], rail[good], np.interp(time, time[known], rpm[known])[good]
    rows = steady_stretch(time, rpm, target)
    if begin is not None or finish is not None:
        inside = (time >= (begin.number("s") if begin else -np.inf)) & (time <= (finish.number("s") if finish else np.inf))
        rows = slice(*max(runs(inside), key=lambda run: run[1] - run[0], default=(0, 0)))
    if rows.stop - rows.start < LEAST:
        raise InputError.one("capture", str(request), "has no steady stretch with the pump turning", "log at a steady speed")
    return time[rows], rail[rows], rpm[rows]


def _plot(orders: tuple[Found, ...]) -> Plot:
    x = [each.order for each in orders]
    points = Series("amplitude", x, [each.amplitude for each in orders], "points")
    noise = Series("noise", x, [each.noise for each in orders])
    return Plot("Orders of the pump in rail pressure", "order", "", "amplitude", "bar", (points, noise))
