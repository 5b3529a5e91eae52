"""The recorded pressure over the pump's turns: which rows, which orders, and whether the logger was fast enough."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from baybook.api import Estimate, InputError, Plot, Reading, Series

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from baybook_physics.strokes import Found

    Floats = NDArray[np.float64]
else:
    Floats = Any

SETTLE = 1.0  # s after the first turn, and for which the target stood still
UNSTEADY = 0.01  # of the speed: where it shakes by more at an order, pressure has that order from the engine's strokes


class Pump(NamedTuple):
    """Elements, lobes of its cam, turns of its shaft for one of the crank."""

    elements: int
    lobes: int
    ratio: float


class Ripple(NamedTuple):
    """The orders 1 to twice the elements, times the lobes; those that the engine's speed has itself; turns of the pump a
    second; mean pressure; the plot."""

    orders: tuple[Found, ...]
    of_speed: frozenset[float]
    rate: float
    pressure: Estimate
    by_speed: float
    """What a swing of the speed makes a sound element seem to lack, % of one."""
    plots: tuple[Plot, ...]


def ripple_of(request: Any, speed: Reading | None, pump: Pump, begin: Reading | None, finish: Reading | None) -> Ripple:
    """Read the capture and find its orders. Raises InputError: too slow a logger, too few turns, no speed."""
    import numpy as np

    from baybook_physics.orders import TURNS, measured_orders, share_by_speed
    from baybook_physics.rail import integral
    from baybook_physics.strokes import needed_rate

    recording = request.read()
    time, rail, rpm = _rows(recording, str(request), speed, begin, finish)
    turns = integral(time, rpm / 60 * pump.ratio)
    rate = float(turns[-1] - turns[0]) / float(time[-1] - time[0])
    logged, needed = 1.0 / float(np.median(np.diff(time))), needed_rate(rate, pump.elements, pump.lobes)
    if logged < needed:
        why = f"was logged at {logged:.4g} Hz, too slow for a pump that turns {60 * rate:.4g} times a minute"
        raise InputError.one("capture", str(request), why, f"log at {needed:.3g} Hz or more, or at a lower speed")
    wanted = [float(n * pump.lobes) for n in range(1, 2 * pump.elements + 1)]
    try:
        orders = measured_orders(turns, rail, wanted)
    except ValueError as error:
        hint = f"log {TURNS / rate:.3g} s and more at this speed"
        raise InputError.one("capture", str(request), f"holds only {error}", hint) from error
    mean = Estimate.of(float(rail.mean()), "bar", float(rail.std() / np.sqrt(len(rail))), kind="gauge pressure")
    even = float(np.ptp(rpm)) == 0.0
    shakes = [] if even else measured_orders(turns, rpm, wanted)
    own = frozenset(each.order for each in shakes if each.stands_out and each.amplitude > UNSTEADY * float(rpm.mean()))
    by_speed = 0.0 if even else 100 * share_by_speed(turns, rpm, pump.elements * pump.lobes)
    return Ripple(tuple(orders), own, rate, mean, by_speed, (_plot(orders),))


def _rows(
    recording: Any, name: str, speed: Reading | None, begin: Reading | None, finish: Reading | None
) -> tuple[Floats, Floats, Floats]:
    """Time (s), rail pressure (bar), speed (rpm): cut by the user, or the longest stretch that is steady."""
    import numpy as np

    from baybook_physics.following import runs, standing, turning

    time, rail = recording.time, recording.channel("rail").to("bar")
    if "rpm" not in recording.channels and speed is None:
        hint = 'name its column: --column rpm="…", or give a steady speed'
        raise InputError.one("speed", None, "is missing, and the capture has none", hint)
    rpm = recording.channels["rpm"].to("rpm") if "rpm" in recording.channels else np.full(len(time), speed.number("rpm"))  # type: ignore[union-attr]
    known = np.isfinite(rpm)
    if known.sum() < 8 or np.isfinite(rail).sum() < 8:
        raise InputError.one("capture", name, "has fewer than 8 rows with pressure and speed", "log for longer")
    good = np.isfinite(rail)
    time, rail, rpm = time[good], rail[good], np.interp(time, time[known], rpm[known])[good]
    if begin is not None or finish is not None:
        inside = (time >= (begin.number("s") if begin else -np.inf)) & (time <= (finish.number("s") if finish else np.inf))
    else:
        inside = turning(time, rpm, SETTLE)
        if inside.any():
            inside &= rpm >= 0.5 * float(np.median(rpm[inside]))
        if "set" in recording.channels:
            wanted = recording.channels["set"].to("bar")[good]
            told = np.isfinite(wanted)
            inside &= standing(time, np.interp(time, time[told], wanted[told]), SETTLE) if told.any() else True
    found = max(runs(inside), key=lambda run: run[1] - run[0], default=(0, 0))
    if found[1] - found[0] < 8:
        raise InputError.one("capture", name, "has no steady stretch with the pump turning", "log at a steady speed")
    rows = slice(*found)
    return time[rows], rail[rows], rpm[rows]


def _plot(orders: list[Found]) -> Plot:
    x, y = [each.order for each in orders], [each.amplitude for each in orders]
    points = Series("amplitude", x, y, "points")
    noise = Series("noise", x, [each.noise for each in orders])
    return Plot("Orders of the pump in rail pressure", "order", "", "amplitude", "bar", (points, noise))
