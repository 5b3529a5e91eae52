"""A logged current to numbers: single pulses with their rise, kink, peak and decay, or a pulsed current with its duty."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from baybook.api import Estimate, InputError, Message, Plot, Reading, Series

if TYPE_CHECKING:
    from baybook_physics.driven import Number
    from baybook_physics.following import Floats
    from baybook_physics.pulses import Pulse

SOME = 20  # pulses that are looked at
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

    from baybook_physics.driven import is_silent, of_periods
    from baybook_physics.pulses import LEAST, periods

    seen = periods(time, current)
    if seen is None and is_silent(current):
        hint = "see that the clamp sits round one wire of the right part; then an open circuit, or no drive (calculator coil)"
        raise InputError.one("capture", str(request), "shows no current beyond the noise of its clamp", hint)
    if seen is None:
        hint = "log three periods and more of the switched current, by clamp, at 20 samples a period; or take form pulse"
        raise InputError.one("capture", str(request), "has no three periods of a pulsed current", hint)
    step, length = float(np.median(np.diff(time))), float(np.median(seen.length))
    if length < LEAST * step:
        why = f"has {length / step:.3g} samples in a period, too few for its shape"
        raise InputError.one("capture", str(request), why, f"log at {LEAST / length:.3g} Hz or more")
    of = of_periods(time, current, seen)
    found = {
        "frequency": Estimate.of(of.frequency.value, "Hz", of.frequency.u),
        "duty": Estimate.of(100 * of.duty.value, "%", 100 * of.duty.u, kind="ratio", at_least=0.0),
        "mean_current": _told(of.mean), "lowest_current": _told(of.low), "highest_current": _told(of.high),
    }  # fmt: skip
    return Drawn(found, (), (_plot(time, current, int(4 * length / step)),))


def logged_means(recording: Any, name: str, valve: str) -> Drawn:
    """Mean duty and current of a valve's drive, as live data hold them. Raises InputError where they are not there."""
    from baybook_physics.driven import mean_of, steady_rows

    short = {"inlet-valve": "mv", "outlet-valve": "pcv"}[valve]
    missing = [each for each in (f"d_{short}", f"i_{short}") if each not in recording.channels]
    if missing:
        hint = f'name the column: --column {missing[0]}="…", or --column i_coil="…" for the current of a clamp'
        raise InputError.one("capture", name, f"has no column that is plainly {missing[0]}", hint)
    duty, current = recording.channels[f"d_{short}"].to("%"), recording.channels[f"i_{short}"].to("A")
    rows = steady_rows(duty, current)
    if rows.sum() < 8:
        raise InputError.one("capture", name, "has fewer than 8 rows at a steady duty", "log at a steady duty")
    return Drawn({"duty": _told(mean_of(duty[rows]), "%", "ratio"), "mean_current": _told(mean_of(current[rows]))}, (SLOW,))


def single(request: Any, time: Floats, current: Floats, supply: Reading | None) -> Drawn:
    """Rise, kink, peak, hold and decay of single pulses. Raises InputError where none is whole, or too few samples."""
    import numpy as np

    from baybook_physics.driven import Number, coil_of, of_pulses
    from baybook_physics.pulses import LEAST, pulses

    whole = pulses(current)[:SOME]
    if not whole:
        hint = "log from before the current rises until it is gone, by clamp; or take form pwm"
        raise InputError.one("capture", str(request), "holds no whole pulse of current", hint)
    first = max(whole, key=lambda pulse: pulse.peak - pulse.first)
    if first.peak - first.first < LEAST:
        step, rise = float(np.median(np.diff(time))), float(time[first.peak] - time[first.first])
        why = f"has {first.peak - first.first} samples in the rise, too few for its shape"
        raise InputError.one("capture", str(request), why, f"log at {LEAST / max(rise, step):.3g} Hz or more")
    of = of_pulses(time, current, whole, first)
    volts = supply.to("V") if supply else None
    coil = coil_of(of.rise, Number(volts.value, volts.u) if volts else None)
    found = {"peak_current": _told(of.peak), "pulse_length": _told(of.length, "s", "time"),
             "decay_time": _told(of.decay, "s", "time")}  # fmt: skip
    if of.hold is not None:
        found["hold_current"] = _told(of.hold)
    if of.armature is not None:
        found |= {"armature_starts": Estimate(of.armature.starts[0], "s", *of.armature.starts[1:]),
                  "armature_stops": Estimate(of.armature.stops[0], "s", *of.armature.stops[1:])}  # fmt: skip
    parts = {
        "inductance": (coil.inductance, "H"),
        "resistance": (coil.resistance, "ohm"),
        "time_constant": (coil.time_constant, "s"),
    }
    found |= {name: Estimate.of(part.value, unit, part.u, at_least=0.0) for name, (part, unit) in parts.items() if part}
    notes = (APPARENT,) if of.armature is not None else (APPARENT, NO_KINK)
    return Drawn(found, notes, (_plot(time, current, int(1.5 * (first.end - first.first)), first),))


def _told(number: Number, unit: str = "A", kind: str = "current") -> Estimate:
    return Estimate.of(number.value, unit, number.u, kind=kind)


def _plot(time: Floats, current: Floats, count: int, pulse: Pulse | None = None) -> Plot:
    first = max(pulse.first - (pulse.end - pulse.first) // 5, 0) if pulse else 0
    rows = slice(first, min(first + max(count, 20), len(time)), max(count // 400, 1))
    line = Series("current", [1e3 * float(x) for x in time[rows]], [float(x) for x in current[rows]])
    return Plot("Current of the coil", "time", "ms", "current", "A", (line,))
