"""What the recorded current of a driven coil shows: single pulses, or a pulsed current; each with its standard uncertainty.

Arrays of shape (n,), time in s and rising, current in A; shares as fractions of one. `pulses` finds the pulses and periods.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .coil import DRIVEN, undriven
from .pulses import LEAST, Fit, Kink, Periods, Pulse, begins, decay_time, kink, noise, rise_fit

__all__ = [
    "Armature", "Asked", "Coil", "Number", "OfPeriods", "OfPulses", "asked", "coil_of", "is_silent", "mean_of", "of_periods",
    "of_pulses", "steady_rows",
]  # fmt: skip

Floats = NDArray[np.float64]
Rows = NDArray[np.bool_]
FEW = 8  # rows, of which less tell nothing
SILENT = 12.0  # times the noise: no wider does noise alone spread in any log


class Number(NamedTuple):
    """A value and its standard uncertainty."""

    value: float
    u: float


def mean_of(values: Floats, least: float = 0.0) -> Number:
    """The mean of several; least: the standard uncertainty of one of them, where they do not tell."""
    u = float(np.std(values, ddof=1) / np.sqrt(len(values))) if len(values) > 1 else 0.0
    return Number(float(np.mean(values)), max(u, least / float(np.sqrt(len(values)))))


def is_silent(current: Floats) -> bool:
    """Whether a current is nothing beyond its noise."""
    return float(np.ptp(current)) < SILENT * noise(current)


def steady_rows(duty: Floats, current: Floats) -> Rows:
    """Rows of logged means in which both are known and the duty (%) is the usual one, to 2 % of it and 0.5 %."""
    usual = float(np.nanmedian(duty))
    rows: Rows = np.isfinite(duty) & np.isfinite(current) & (np.abs(duty - usual) <= 0.02 * abs(usual) + 0.5)
    return rows


class Asked(NamedTuple):
    """What a valve is asked and gets: median duty (%), median current (A), and whether that is none."""

    duty: Number
    current: Number
    none: bool


def asked(duty: Floats, current: Floats) -> Asked | None:
    """That of logged means; None where fewer than `FEW` are known of either, or the duty asks for no current."""
    known = [each[np.isfinite(each)] for each in (duty, current)]
    if min(map(len, known)) < FEW:
        return None
    share, amps = (Number(float(np.median(each)), float(np.std(each) / np.sqrt(len(each)))) for each in known)
    return Asked(share, amps, undriven(share.value / 100, amps.value)) if share.value / 100 >= DRIVEN else None


class OfPeriods(NamedTuple):
    """A pulsed current: frequency (Hz), share of a period in which it rises, mean, lowest and highest of a period (A)."""

    frequency: Number
    duty: Number
    mean: Number
    low: Number
    high: Number


def of_periods(time: Floats, current: Floats, seen: Periods) -> OfPeriods:
    """What whole periods say. A turning point lies within a sample's step, and noise moves it to its flatter side."""
    step, length, count = float(np.median(np.diff(time))), float(np.median(seen.length)), len(seen.length)
    slope = float(np.mean(seen.high - seen.low)) / (length * max(1.0 - float(np.mean(seen.duty)), float(np.mean(seen.duty))))
    edge = float(np.hypot(step / np.sqrt(12.0), noise(current) / slope))
    return OfPeriods(
        Number(1.0 / length, float(np.std(seen.length)) / length**2 / np.sqrt(count) + 1e-9),
        Number(float(np.mean(seen.duty)), float(np.hypot(np.std(seen.duty) / np.sqrt(count), np.sqrt(2.0) * edge / length))),
        mean_of(seen.mean), mean_of(seen.low), mean_of(seen.high),
    )  # fmt: skip


class Armature(NamedTuple):
    """When the armature moves off and when it stops, s from the first current: each the likeliest, the earliest, the latest."""

    starts: tuple[float, float, float]
    stops: tuple[float, float, float]


class OfPulses(NamedTuple):
    """Single pulses: peak and what is held (A), length and decay (s), the first's armature, and the rise before it moves."""

    peak: Number
    length: Number
    decay: Number
    hold: Number | None
    armature: Armature | None
    rise: Fit | None


def of_pulses(time: Floats, current: Floats, whole: list[Pulse], first: Pulse) -> OfPulses:
    """What whole pulses say, with rise and armature of one of them."""
    step = float(np.median(np.diff(time)))
    held = [mean for p in whole if (mean := _hold(current, p)) is not None]
    t, i = time[first.first : first.peak + 1] - begins(time, current, first), current[first.first : first.peak + 1]
    seen, until = kink(t, i), len(t)
    if seen is not None:
        earliest = _earliest(seen)
        until = earliest if earliest >= LEAST else seen.starts
    rest = float(np.median(current[current <= np.quantile(current, 0.2)]))  # what the clamp shows of no current
    return OfPulses(
        _peak(current, whole),
        mean_of(np.array([time[p.off] - begins(time, current, p) for p in whole]), step),
        mean_of(np.array([decay_time(time, current, p) for p in whole]), step),
        mean_of(np.array(held), noise(current)) if held else None,
        _armature(t, seen) if seen is not None else None,
        rise_fit(t[:until], i[:until] - rest),
    )


def _earliest(seen: Kink) -> int:
    """It moves off from rest: the slope falls by most when it has been moving for a while."""
    return max(2 * seen.starts - seen.stops, 0)


def _armature(time: Floats, seen: Kink) -> Armature:
    starts, stops = (_at(time, place, seen.width) for place in (seen.starts, seen.stops))
    return Armature((starts[0], min(starts[1], float(time[_earliest(seen)])), starts[2]), stops)


def _at(time: Floats, place: int, width: int) -> tuple[float, float, float]:
    """The time of a sample that a step may lie about half a line's width beside."""
    half = max(width / 2, 2.0) * float(time[1] - time[0])
    value = float(time[min(place, len(time) - 1)])
    return value, max(value - half, 0.0), value + half


def _peak(current: Floats, whole: list[Pulse]) -> Number:
    """The mean of the highest of each pulse. Of many that are alike noise makes the highest too high, by no more than some
    sqrt(2 ln n) of it (from memory: extremes of a normal); a sharp one lay between two samples, up to half a step higher."""
    sigma = noise(current)
    each = []
    for p in whole:
        top = float(current[p.peak])
        alike = int(np.count_nonzero(current[p.first : p.end] >= top - 4 * sigma))
        step = float(np.diff(current[max(p.peak - 3, 0) : p.peak + 1]).max(initial=0.0))
        each.append((top, sigma * np.sqrt(2 * np.log(max(alike, 1))), step if step > 4 * sigma else 0.0))
    tops, excess, steps = (np.array(column) for column in zip(*each, strict=True))
    u = np.sqrt(sigma**2 + np.mean(excess) ** 2 / 12 + np.mean(steps) ** 2 / 16)
    return mean_of(tops - excess / 2 + steps / 4, float(u) * float(np.sqrt(len(whole))))


def _hold(current: Floats, pulse: Pulse) -> float | None:
    """The mean of the last third before the current dies away, where that is well below the peak: it was held."""
    length = pulse.off - pulse.peak
    if length < 9:
        return None
    mean = float(current[pulse.off - length // 3 : pulse.off].mean())
    return mean if mean < 0.85 * current[pulse.peak] else None


class Coil(NamedTuple):
    """Inductance (H) and resistance (ohm) that a rise shows, or their ratio (s) where the supply is not known."""

    inductance: Number | None = None
    resistance: Number | None = None
    time_constant: Number | None = None


def coil_of(fit: Fit | None, supply: Number | None) -> Coil:
    """By a rise that fits; supply: V, whose error it shares; nothing where the rise has no inductance."""
    if fit is None or fit.inductance <= 0:
        return Coil()
    parts = Number(fit.inductance, fit.inductance_u), Number(fit.resistance, fit.resistance_u)
    if supply is None:
        if fit.resistance <= 0:
            return Coil()
        tau, shares = fit.inductance / fit.resistance, [part.u / part.value for part in parts]
        return Coil(time_constant=Number(tau, tau * float(np.hypot(shares[0], shares[1]))))
    share = supply.u / supply.value
    return Coil(
        *(Number(supply.value * part.value, supply.value * float(np.hypot(part.u, part.value * share))) for part in parts)
    )
