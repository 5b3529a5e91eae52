"""A logged current to numbers: single pulses with their rise, kink, peak and decay, or a pulsed current with its duty."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from baybook.api import Estimate, InputError, Message, Plot, Reading, Series

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from baybook_physics.pulses import Pulse

    Floats = NDArray[np.float64]
else:
    Floats = Any

SOME = 20  # pulses that are looked at
NONE = 12.0  # times the noise: no wider does noise alone spread in any log
NO_KINK = Message(
    "No kink of the armature stands out of the rise. An armature that does not move shows none, nor does a rise that is logged "
    "too coarsely, a high boost voltage, or a piezo."
)
APPARENT = Message(
    "Inductance and resistance are apparent: iron that saturates and eddy currents lift the rise above that of a plain coil."
)
SLOW = Message("Duty and current were logged as means; the pulses themselves are not seen.")


class Drawn(NamedTuple):
    """Outputs by name, what to tell, the plot."""

    found: dict[str, Estimate]
    notes: tuple[Message, ...] = ()
    plots: tuple[Plot, ...] = ()


def current_of(request: Any) -> tuple[Any, Floats, Floats]:
    """The recording, its time (s) and current (A) where both are known. Raises InputError."""
    import numpy as np

    recording = request.read()
    if "i_coil" not in recording.channels:
        return recording, np.empty(0), np.empty(0)
    current = recording.channels["i_coil"].to("A")
    good = np.isfinite(current)
    return recording, recording.time[good], current[good]


def pulsed(request: Any, time: Floats, current: Floats) -> Drawn:
    """Frequency, duty and currents of a pulsed current. Raises InputError where no periods stand out, or too few samples."""
    import numpy as np

    from baybook_physics.pulses import LEAST, noise, periods

    seen = periods(time, current)
    if seen is None and float(np.ptp(current)) < NONE * noise(current):
        hint = "see that the clamp sits round one wire of the right part; then an open circuit, or no drive (calculator coil)"
        raise InputError.one("capture", str(request), "shows no current beyond the noise of its clamp", hint)
    if seen is None:
        hint = "log three periods and more of the switched current, by clamp, at 20 samples a period; or take form pulse"
        raise InputError.one("capture", str(request), "has no three periods of a pulsed current", hint)
    step = float(np.median(np.diff(time)))
    length = float(np.median(seen.length))
    if length < LEAST * step:
        why = f"has {length / step:.3g} samples in a period, too few for its shape"
        raise InputError.one("capture", str(request), why, f"log at {LEAST / length:.3g} Hz or more")
    slope = float(np.mean(seen.high - seen.low)) / (length * max(1.0 - float(np.mean(seen.duty)), float(np.mean(seen.duty))))
    edge = float(np.hypot(step / np.sqrt(12.0), noise(current) / slope))  # noise moves a turning point to its flatter side
    duty_u = float(np.hypot(np.std(seen.duty) / np.sqrt(len(seen.duty)), np.sqrt(2.0) * edge / length))
    found = {
        "frequency": Estimate.of(1.0 / length, "Hz", float(np.std(seen.length)) / length**2 / np.sqrt(len(seen.length)) + 1e-9),
        "duty": Estimate.of(100 * float(np.mean(seen.duty)), "%", 100 * duty_u, kind="ratio", at_least=0.0),
        "mean_current": _mean(seen.mean),
        "lowest_current": _mean(seen.low),
        "highest_current": _mean(seen.high),
    }
    return Drawn(found, (), (_plot(time, current, int(4 * length / step)),))


def logged_means(recording: Any, name: str, valve: str) -> Drawn:
    """Mean duty and current of a valve's drive, as live data hold them. Raises InputError where they are not there."""
    import numpy as np

    short = {"inlet-valve": "mv", "outlet-valve": "pcv"}[valve]
    missing = [each for each in (f"d_{short}", f"i_{short}") if each not in recording.channels]
    if missing:
        hint = f'name the column: --column {missing[0]}="…", or --column i_coil="…" for the current of a clamp'
        raise InputError.one("capture", name, f"has no column that is plainly {missing[0]}", hint)
    duty, current = recording.channels[f"d_{short}"].to("%"), recording.channels[f"i_{short}"].to("A")
    good = np.isfinite(duty) & np.isfinite(current)
    steady = good & (np.abs(duty - np.nanmedian(duty)) <= 0.02 * abs(float(np.nanmedian(duty))) + 0.5)
    if steady.sum() < 8:
        raise InputError.one("capture", name, "has fewer than 8 rows at a steady duty", "log at a steady duty")
    return Drawn({"duty": _mean(duty[steady], "%", "ratio"), "mean_current": _mean(current[steady])}, (SLOW,))


def single(request: Any, time: Floats, current: Floats, supply: Reading | None) -> Drawn:
    """Rise, kink, peak, hold and decay of single pulses. Raises InputError where none is whole, or too few samples."""
    import numpy as np

    from baybook_physics.pulses import LEAST, begins, decay_time, kink, pulses, rise_fit

    whole = pulses(current)[:SOME]
    if not whole:
        hint = "log from before the current rises until it is gone, by clamp; or take form pwm"
        raise InputError.one("capture", str(request), "holds no whole pulse of current", hint)
    first = max(whole, key=lambda pulse: pulse.peak - pulse.first)
    if first.peak - first.first < LEAST:
        step, rise = float(np.median(np.diff(time))), float(time[first.peak] - time[first.first])
        why = f"has {first.peak - first.first} samples in the rise, too few for its shape"
        raise InputError.one("capture", str(request), why, f"log at {LEAST / max(rise, step):.3g} Hz or more")
    found = {
        "peak_current": _peak(current, whole),
        "pulse_length": _mean(np.array([time[p.off] - begins(time, current, p) for p in whole]), "s", "time", _step(time)),
        "decay_time": _mean(np.array([decay_time(time, current, p) for p in whole]), "s", "time", _step(time)),
    }
    held = [m for p in whole if (m := _hold(current, p)) is not None]
    if held:
        found["hold_current"] = _mean(np.array(held), least=_noise_of(current))
    notes = [APPARENT]
    t, i = time[first.first : first.peak + 1] - begins(time, current, first), current[first.first : first.peak + 1]
    seen, until = kink(t, i), len(t)
    if seen is not None:
        starts, travels = _at(t, seen.starts, seen.width), seen.stops - seen.starts
        # it moves off from rest: the slope falls by most when it has been moving for a while
        earliest = max(seen.starts - travels, 0)
        found["armature_starts"] = Estimate(starts.value, "s", min(starts.low, float(t[earliest])), starts.high)
        found["armature_stops"] = _at(t, seen.stops, seen.width)
        until = earliest if earliest >= LEAST else seen.starts
    else:
        notes.append(NO_KINK)
    rest = float(np.median(current[current <= np.quantile(current, 0.2)]))  # what the clamp shows of no current
    fit = rise_fit(t[:until], i[:until] - rest)
    if fit is not None and fit.inductance > 0:
        found |= _coil(fit, supply)
    return Drawn(found, tuple(notes), (_plot(time, current, int(1.5 * (first.end - first.first)), first),))


def _peak(current: Floats, whole: list[Pulse]) -> Estimate:
    """The mean of the highest of each pulse. Of many that are alike noise makes the highest too high, by no more than some
    sqrt(2 ln n) of it (from memory: extremes of a normal); a sharp one lay between two samples, up to half a step higher."""
    import numpy as np

    sigma = _noise_of(current)
    each = []
    for p in whole:
        top = float(current[p.peak])
        alike = int(np.count_nonzero(current[p.first : p.end] >= top - 4 * sigma))
        step = float(np.diff(current[max(p.peak - 3, 0) : p.peak + 1]).max(initial=0.0))
        each.append((top, sigma * np.sqrt(2 * np.log(max(alike, 1))), step if step > 4 * sigma else 0.0))
    tops, excess, steps = (np.array(column) for column in zip(*each, strict=True))
    u = np.sqrt(sigma**2 + np.mean(excess) ** 2 / 12 + np.mean(steps) ** 2 / 16)
    return _mean(tops - excess / 2 + steps / 4, least=float(u) * float(np.sqrt(len(whole))))


def _coil(fit: Any, supply: Reading | None) -> dict[str, Estimate]:
    """L and R where the supply is known, else their ratio alone."""
    import numpy as np

    if supply is None:
        if fit.resistance <= 0:
            return {}
        tau = fit.inductance / fit.resistance
        u = tau * float(np.hypot(fit.inductance_u / fit.inductance, fit.resistance_u / fit.resistance))
        return {"time_constant": Estimate.of(tau, "s", u, at_least=0.0)}
    volts = supply.to("V")
    share = volts.u / volts.value
    u_l, u_r = (
        volts.value * float(np.hypot(u, size * share))
        for u, size in ((fit.inductance_u, fit.inductance), (fit.resistance_u, fit.resistance))
    )
    return {
        "inductance": Estimate.of(volts.value * fit.inductance * 1e3, "mH", u_l * 1e3, at_least=0.0),
        "resistance": Estimate.of(volts.value * fit.resistance, "ohm", u_r, at_least=0.0),
    }


def _hold(current: Floats, pulse: Pulse) -> float | None:
    """The mean of the last third before the current dies away, where that is well below the peak: it was held."""
    length = pulse.off - pulse.peak
    if length < 9:
        return None
    mean = float(current[pulse.off - length // 3 : pulse.off].mean())
    return mean if mean < 0.85 * current[pulse.peak] else None


def _at(time: Floats, place: int, width: int) -> Estimate:
    """The time of a sample that a step may lie about half a line's width beside."""
    half = max(width / 2, 2.0) * float(time[1] - time[0])
    value = float(time[min(place, len(time) - 1)])
    return Estimate(value, "s", max(value - half, 0.0), value + half)


def _step(time: Floats) -> float:
    import numpy as np

    return float(np.median(np.diff(time)))


def _noise_of(current: Floats) -> float:
    from baybook_physics.pulses import noise

    return noise(current)


def _mean(values: Floats, unit: str = "A", kind: str = "current", least: float = 0.0) -> Estimate:
    """The mean of several, with its standard uncertainty; least: that of one of them, where they do not tell."""
    import numpy as np

    u = float(np.std(values, ddof=1) / np.sqrt(len(values))) if len(values) > 1 else 0.0
    return Estimate.of(float(np.mean(values)), unit, max(u, least / float(np.sqrt(len(values)))), kind=kind)


def _plot(time: Floats, current: Floats, count: int, pulse: Pulse | None = None) -> Plot:
    first = max(pulse.first - (pulse.end - pulse.first) // 5, 0) if pulse else 0
    rows = slice(first, min(first + max(count, 20), len(time)), max(count // 400, 1))
    line = Series("current", [1e3 * float(x) for x in time[rows]], [float(x) for x in current[rows]])
    return Plot("Current of the coil", "time", "ms", "current", "A", (line,))
