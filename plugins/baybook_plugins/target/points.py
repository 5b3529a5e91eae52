"""What was read, point by point: from a table, or the stretches of a capture in which the target stands still."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from baybook.api import Estimate, InputError, Message, Plot, Reading, Series, propagate
from baybook.dataclass import dataclass, field

from .demand import currents_in, demand_of
from .hunting import hunting

if TYPE_CHECKING:
    from baybook_physics.following import Floats, Lasting

Limits = tuple[float | None, float | None]
MOST = 12
_LEAST = 8  # rows
IDLE = 1200.0  # rpm: no warm diesel idles faster (common practice, no source)
_ONE_SIDE = 1.645  # 95 % of a normal on one side: the guard band of a verdict
LONG = Message(
    "The capture has more points than are shown: the {count} farthest from their target, in the order of time.", count=MOST
)
NO_SPEED = Message("The capture has no engine speed: rows with the engine at rest are not told apart.")


class Point(NamedTuple):
    """One point: both pressures, the deviation, and what only a capture tells."""

    target: Estimate
    actual: Estimate
    deviation: Estimate
    begins: Estimate | None = None
    parting: Estimate | None = None
    swing: Estimate | None = None
    period: Estimate | None = None
    """Of a swing about the target that is slower than any stroke: the pressure hunts."""
    demand: str = ""
    parts: Estimate | None = None
    currents: tuple[tuple[str, Estimate, Estimate, bool], ...] = ()
    """Valves that a duty asks of: duty, current, and whether that is none."""


@dataclass(frozen=True)
class Points:
    """All points, the lowest supply pressure, whether the engine was under load (None: not known), what to tell, the plot."""

    each: tuple[Point, ...]
    supply: Estimate | None = None
    loaded: bool | None = None
    notes: tuple[Message, ...] = ()
    plots: tuple[Plot, ...] = field(default=())
    missing: float = 0.0
    """s in which no pressure was logged."""

    def outputs(self) -> dict[str, tuple[Estimate | None, ...]]:
        """Each as a vector, those that nothing is known of left out."""
        names = {"deviation": "deviation", "target_pressure": "target", "actual_pressure": "actual", "begins": "begins",
                 "parting": "parting", "swing": "swing", "period": "period"}  # fmt: skip
        found = {name: tuple(getattr(point, part) for point in self.each) for name, part in names.items()}
        return {name: values for name, values in found.items() if any(value is not None for value in values)}


def from_table(actual: tuple[Reading, ...], target: tuple[Reading, ...], supply: Reading | None) -> Points:
    """A point for each pair."""
    found = []
    for one, other in zip(actual, target, strict=True):
        read, wanted = one.to("bar"), other.to("bar")
        away = propagate(lambda read, wanted: read - wanted, "pressure difference", read=read, wanted=wanted)
        found.append(Point(Estimate.from_reading(wanted), Estimate.from_reading(read), away))
    return Points(tuple(found), Estimate.from_reading(supply) if supply else None)


def from_capture(request: Any, settle: Reading, lasting: Reading, inlet_kind: str, limits: Limits) -> Points:
    """A point for each stretch in which the engine turns and the target stands still. Raises InputError.

    limits: the ends of the band, bar.
    """
    import numpy as np

    from baybook_physics.following import held, runs, standing, turning, unlogged

    recording = request.read()
    rail, wanted = recording.channel("rail").gauge("bar"), held(recording.time, recording.channel("set").gauge("bar"))
    good = np.flatnonzero(np.isfinite(rail) & np.isfinite(wanted))
    if len(good) < _LEAST:
        raise InputError.one("capture", str(request), f"has fewer than {_LEAST} rows with both pressures", "log for longer")
    names = ("rpm", "low", "d_mv", "i_mv", "d_pcv", "i_pcv")
    signals = {
        name: held(recording.time, _number(recording.channels[name]))[good] for name in names if name in recording.channels
    }
    time, rail, wanted, seconds = recording.time[good], rail[good], wanted[good], settle.number("s")
    inside = standing(time, wanted, seconds)
    if "rpm" in signals:
        inside &= turning(time, signals["rpm"], seconds)
    log = _Log(time, rail, wanted, signals, lasting.number("s"), inlet_kind, limits)
    found = [point for first, end in runs(inside) if (point := log.point(first, end)) is not None]
    if not found:
        hint = "log for longer with the engine turning and the target standing still, or give a smaller settle or lasting"
        raise InputError.one("capture", str(request), "has no stretch in which the target stands still for long enough", hint)
    notes = [] if "rpm" in signals else [NO_SPEED]
    if len(found) > MOST:
        worst = sorted(found, key=lambda point: -abs(point.deviation.value))[:MOST]
        found, notes = [point for point in found if point in worst], [*notes, LONG]
    plots = (_plot(time, rail, wanted),)
    missing = unlogged(recording.time, np.isin(np.arange(len(recording.time)), good))
    return Points(tuple(found), log.supply(inside), log.loaded(inside), tuple(notes), plots, missing)


def _number(channel: Any) -> Floats:
    """Its values in the unit that this calculator works in."""
    unit = {"rpm": "rpm", "low": "bar"}.get(channel.name, "A" if channel.name.startswith("i_") else "%")
    values: Floats = channel.gauge(unit) if channel.name == "low" else channel.to(unit)
    return values


class _Log(NamedTuple):
    """The rows with both pressures (bar), time in s."""

    time: Floats
    rail: Floats
    wanted: Floats
    signals: dict[str, Floats]
    lasting: float
    inlet_kind: str
    limits: Limits

    def point(self, first: int, end: int) -> Point | None:
        """That of one stretch; None for one that is shorter than what counts as lasting."""
        import numpy as np

        from baybook_physics.following import lasting_means, slope, step

        t, away = self.time[first:end], (self.rail - self.wanted)[first:end]
        if len(t) < _LEAST or t[-1] - t[0] < self.lasting:
            return None
        means = lasting_means(t, away, self.lasting)
        error = np.hypot(means.u, step(self.rail[first:end]) / np.sqrt(12.0))
        place = int(np.argmax(np.abs(means.mean)))
        begin, finish, mean, _ = means.at(place)
        speed = self.signals.get("rpm")
        slow = hunting(t, away, None if speed is None else speed[first:end])
        if slow is not None:
            begin, finish, mean = 0, len(t), slow.mean
        here = {name: values[first:end] for name, values in self.signals.items()}
        u, target, rise = (
            float(error[place]) if slow is None else slow.u,
            float(self.wanted[first:end][begin:finish].mean()),
            slope(t, away),
        )
        return Point(
            Estimate.of(target, "bar", kind="gauge pressure"),
            Estimate.of(target + mean, "bar", u, kind="gauge pressure"),
            Estimate.of(mean, "bar", u, kind="pressure difference"),
            self._when(float(t[begin])),
            Estimate.of(rise[0], "bar/s", rise[1]),
            _swing(away[begin:finish]),
            slow.period if slow else None,
            demand_of(here, self._driven(), self.inlet_kind, *_while_away(means, place)),
            None if slow else self._parts(t[means.first], means.mean, error),
            tuple(currents_in(here)),
        )

    def _driven(self) -> dict[str, Floats]:
        """The signals while the engine turned."""
        from baybook_physics.following import TURNING

        speed = self.signals.get("rpm")
        rows = slice(None) if speed is None or not (speed >= TURNING).any() else speed >= TURNING
        return {name: values[rows] for name, values in self.signals.items()}

    def loaded(self, inside: Any) -> bool | None:
        """Whether the engine ran faster than it idles: what a pump can spare at idle hides a weak one. None without a speed."""
        speed = self.signals.get("rpm")
        return None if speed is None or not inside.any() else bool((speed[inside] > IDLE).any())

    def _when(self, seconds: float) -> Estimate:
        return Estimate(seconds, "s", max(seconds - self.lasting / 2, 0.0), seconds + self.lasting / 2)

    def _parts(self, begins: Floats, mean: Floats, error: Floats) -> Estimate | None:
        """When the first mean begins that lies beyond the band with 95 %."""
        import numpy as np

        low, high = (np.inf * sign if end is None else end for end, sign in zip(self.limits, (-1, 1), strict=True))
        beyond = np.flatnonzero((mean + _ONE_SIDE * error < low) | (mean - _ONE_SIDE * error > high))
        return self._when(float(begins[beyond[0]])) if len(beyond) else None

    def supply(self, inside: Any) -> Estimate | None:
        """The lowest lasting supply pressure while the engine turns."""
        import numpy as np

        from baybook_physics.following import lowest

        values = self.signals.get("low")
        rows = None if values is None else np.flatnonzero(inside & np.isfinite(values))
        if values is None or rows is None or len(rows) < _LEAST:
            return None
        mean, u = lowest(self.time[rows], values[rows], self.lasting)
        return Estimate.of(mean, "bar", u, kind="gauge pressure")


def _while_away(means: Lasting, worst: int) -> tuple[int, int]:
    """The last of the means that are at least half as far from the target as the worst, and on its side: what the control has
    come to ask for while pressure is still away."""
    import numpy as np

    last = int(np.flatnonzero(means.mean * np.sign(means.mean[worst]) >= 0.5 * abs(means.mean[worst]))[-1])
    return int(means.first[last]), int(means.end[last])


def _swing(away: Floats) -> Estimate:
    """Half of the width that holds 95 % of the rows; its own error by their number (from memory: about one in its root)."""
    import numpy as np

    low, high = np.percentile(away, (2.5, 97.5))
    half, share = float(high - low) / 2, 1.0 / float(np.sqrt(len(away)))
    return Estimate(half, "bar", half * (1 - share), half * (1 + share), "pressure difference")


def _plot(time: Floats, rail: Floats, wanted: Floats) -> Plot:
    """Both over time, at most some hundred points."""
    from baybook_physics.following import thinned

    t, actual, target = thinned(time, rail, wanted)
    lines = (Series("actual", t, actual), Series("target", t, target))
    return Plot("Actual and target pressure", "time", "s", "rail pressure", "bar", lines)
