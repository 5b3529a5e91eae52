"""The current of a driven coil over time: how it rises, where the armature moves, how it is held, how it dies away.

Arrays of shape (n,), time in s and rising, current in A. A series circuit of resistance and inductance: U = R i + L di/dt.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .rail import integral

__all__ = [
    "Fit",
    "Kink",
    "Periods",
    "Pulse",
    "begins",
    "decay_time",
    "kink",
    "noise",
    "periods",
    "pulses",
    "rise_fit",
]

Floats = NDArray[np.float64]
LEAST = 20
"""Samples of a rise, or of a period of pulses, that it takes to tell its shape (common practice, no source)."""
SURE = 5.0  # times the noise by which a slope has to step
BLOCKS = 8
SHARES = (40, 20, 10)  # of a rise over which slopes are taken, the finest first


class Pulse(NamedTuple):
    """One energising: first sample, that of the peak, that at which the current begins to die away, the one behind the last."""

    first: int
    peak: int
    off: int
    end: int


def pulses(current: Floats) -> list[Pulse]:
    """Every whole pulse: from where the current leaves zero, as far as noise tells, to where it is there again.

    A pulse is one where the current passes a fifth of the highest; it ends where it has fallen below a tenth.
    """
    top, floor = float(np.quantile(current, 0.999)), float(np.median(current[current <= np.quantile(current, 0.2)]))
    height = top - floor
    above, gone, low = (np.flatnonzero(rows) for rows in (
        current > floor + 0.2 * height, current <= floor + 0.1 * height, current <= floor + 0.05 * height
    ))  # fmt: skip
    least = -3.0 * noise(current) * np.sqrt(2.0)
    found: list[Pulse] = []
    at = 0
    while (rise := _from(above, at)) is not None and (end := _from(gone, rise)) is not None:
        before = int(np.searchsorted(low, rise, "right")) - 1
        if before >= 0 and low[before] >= at:
            first = int(low[before])
            peak = first + int(np.argmax(current[first:end]))
            found.append(Pulse(first, peak, _off(current[first:end], least) + first, end))
        at = end + 1
    return found


def _from(samples: NDArray[np.int64], at: int) -> int | None:
    """The first of the rising sample numbers that is not before `at`."""
    place = int(np.searchsorted(samples, at))
    return int(samples[place]) if place < len(samples) else None


def _off(pulse: Floats, least: float) -> int:
    """Where the last fall begins: behind the last hundredth of the pulse in which it does not fall by more than noise, `least`.

    From one sample to the next, noise would hide a fall that is logged finely, and the pulse would last into its own decay.
    """
    width = max(len(pulse) // 100, 1)
    rising = np.flatnonzero(pulse[width:] - pulse[:-width] > least)
    return int(rising[-1]) + width if len(rising) else 0


def begins(time: Floats, current: Floats, pulse: Pulse) -> float:
    """When the current leaves zero: the straight line through its rise, as far as three tenths of the peak, brought back to
    zero. The first sample above the noise is later, the slower the rise the more."""
    rise = current[pulse.first : pulse.peak + 1]
    floor = float(np.median(current[current <= np.quantile(current, 0.2)]))
    until = int(np.argmax(rise >= floor + 0.3 * (rise[-1] - floor))) + 1
    if until < 4:
        return float(time[pulse.first])
    slope, zero = np.polyfit(time[pulse.first : pulse.first + until] - time[pulse.first], rise[:until] - floor, 1)
    return float(time[pulse.first] - zero / slope) if slope > 0 else float(time[pulse.first])


class Fit(NamedTuple):
    """A rise as t = (L/U) i + (R/U) ∫i: inductance and resistance over the supply, with their standard uncertainties."""

    inductance: float
    resistance: float
    inductance_u: float
    resistance_u: float


def rise_fit(time: Floats, current: Floats) -> Fit | None:
    """By least squares over the whole of what is handed in, from rest on; None for fewer samples than tell a shape.

    Integrated once, so that noise is not multiplied as it is by a derivative; the uncertainty is that of its parts left out one
    at a time (jackknife).
    """
    if len(time) < LEAST:
        return None
    columns = np.column_stack([current, integral(time, current), np.ones(len(time))])
    whole = np.linalg.lstsq(columns, time, rcond=None)[0]
    groups = BLOCKS * np.arange(len(time)) // len(time)
    each = np.array([np.linalg.lstsq(columns[groups != g], time[groups != g], rcond=None)[0] for g in range(BLOCKS)])
    u = np.sqrt((BLOCKS - 1) / BLOCKS * ((each - each.mean(axis=0)) ** 2).sum(axis=0))
    return Fit(float(whole[0]), float(whole[1]), float(u[0]), float(u[1]))


class Kink(NamedTuple):
    """Where the armature begins to move and where it stops, as sample numbers, and by what the slope steps there, A/s.

    width: samples of the straight lines that were compared; so many to either side a step may lie.
    """

    starts: int
    stops: int
    fall: float
    rise: float
    width: int


def kink(time: Floats, current: Floats) -> Kink | None:
    """The armature's motion in a rise: its voltage takes the slope down while it moves, and gives it back when it stops.

    The slopes of straight lines before and behind each sample are compared, over a fortieth of the rise, and where noise drowns
    that over a twentieth and a tenth. None where no step up stands out of the noise by five times behind a step down.
    """
    for share in SHARES:
        width = max(len(time) // share, 4)
        found = _kink(time, current, width) if len(time) >= 4 * width else None
        if found is not None:
            return found
    return None


def _kink(time: Floats, current: Floats, width: int) -> Kink | None:
    step = float(np.median(np.diff(time)))
    x = np.arange(width) - (width - 1) / 2
    weights = x / (x @ x) / step
    slopes = np.convolve(current, weights[::-1], "valid")  # of the samples from each on
    change = slopes[width:] - slopes[:-width]  # at sample `width` and on
    scatter = noise(current) * np.sqrt(2.0 * float(weights @ weights))
    drift = np.median(change)
    stop = int(np.argmax(change))
    if change[stop] - drift < SURE * scatter or change[stop] <= 0.1 * abs(float(np.median(slopes))) or stop < width:
        return None
    start = int(np.argmin(change[: stop - width // 2 + 1]))
    if drift - change[start] < SURE * scatter:
        return None
    return Kink(start + width, stop + width, float(change[start]), float(change[stop]), width)


def noise(current: Floats) -> float:
    """Standard deviation of one sample, from third differences, which leave no slope and no bend (their own factor is 20)."""
    third = np.diff(current, 3)
    return float(np.median(np.abs(third)) / 0.6745 / np.sqrt(20.0))


def decay_time(time: Floats, current: Floats, pulse: Pulse) -> float:
    """Seconds from where the current begins to die away until a tenth of what it was then."""
    start = current[pulse.off]
    below = np.flatnonzero(current[pulse.off : pulse.end + 1] <= 0.1 * start)
    last = pulse.off + (int(below[0]) if len(below) else pulse.end - pulse.off)
    return float(time[min(last, len(time) - 1)] - time[pulse.off])


class Periods(NamedTuple):
    """Whole periods of a pulsed current: lengths (s), share of each in which it rises, its lowest, highest and mean."""

    length: Floats
    duty: Floats
    low: Floats
    high: Floats
    mean: Floats


def periods(time: Floats, current: Floats) -> Periods | None:
    """Every period between two valleys that the noise does not make; None for fewer than three.

    The current of a coil with a freewheel diode rises while it is switched on and falls while it is off.
    """
    low, high = np.quantile(current, (0.02, 0.98))
    gap = 0.4 * float(high - low)
    if gap <= 3.0 * noise(current):
        return None
    valleys, peaks = _turning_points(current, gap)
    if len(valleys) < 4:
        return None
    starts, tops, ends = valleys[:-1], peaks[1 : len(valleys)], valleys[1:]
    sums = integral(time, current)
    length = time[ends] - time[starts]
    return Periods(
        length, (time[tops] - time[starts]) / length, current[starts], current[tops], (sums[ends] - sums[starts]) / length
    )


def _turning_points(current: Floats, gap: float) -> tuple[list[int], list[int]]:
    """Valleys and peaks that lie apart by at least `gap`, in turn; a peak comes first."""
    valleys: list[int] = []
    peaks: list[int] = []
    rising, extreme = True, 0
    for at, value in enumerate(current.tolist()):
        best = current[extreme]
        if (rising and value > best) or (not rising and value < best):
            extreme = at
        elif abs(value - best) > gap:
            (peaks if rising else valleys).append(extreme)
            rising, extreme = not rising, at
    return valleys, peaks
