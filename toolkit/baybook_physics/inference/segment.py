"""Where in a record a signal is left to itself and only falls: after the last rise, before anything opens."""

from __future__ import annotations

from itertools import pairwise
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from .weights import distances, median, quantile

Floats = NDArray[np.float64]

__all__ = ["Segment", "falling_segment"]

_BINS = 240
_ENOUGH = 14  # samples
_RESTLESS = 3.0  # times the scatter of a quiet signal
_BULGE = 0.05  # share of the fall: what slowly changes bulges as much
_OPENING = 0.1  # share of a piece that may lie behind an opening
_FLAT = 0.6  # of the fall behind it: so little falls where the signal is kept up
_FLAT_ENDS = 0.9
_FALL_AT_ONCE = 6.0  # times the falls around it
_PLAINLY = 4.0  # times what noise and step alone may do


class Segment(NamedTuple):
    """A piece of a signal: sample numbers from `first` up to, not including, `end`; and whether the record bounds it."""

    first: int
    end: int
    from_start: bool
    """The record begins with it; else what came before rose or was kept up."""
    to_end: bool
    """The record ends with it; else what follows rose, fell at once or was gone."""
    others: int = 0
    """Further pieces that fall plainly and last at least a third as long."""


def falling_segment(time: Floats, value: Floats, least: float) -> Segment:
    """The longest piece in which a signal only falls, ever more slowly, and never at once.

    `time` (s, rising) and `value`, shape (n,), finite; below `least` (its unit) the signal counts as gone.
    Raises `ValueError` where no piece of at least ten samples stays above `least`.
    """
    edges = _edges(time)
    level = np.array([median(value[a:b]) for a, b in pairwise(edges)])
    when = np.array([np.mean(time[a:b]) for a, b in pairwise(edges)])
    tolerance = _tolerance(value, edges)
    breaks = _breaks(when, level, tolerance, least)
    pieces = list(pairwise(breaks))
    held = [(a, b) for a, b in pieces if edges[b] - edges[a] >= 10 and level[b - 1] > least]
    if not held:
        raise ValueError(f"no piece in which the signal only falls, above {least:g}")
    first, last = max(held, key=lambda piece: when[piece[1] - 1] - when[piece[0]])
    long = (when[last - 1] - when[first]) / 3.0
    plain = [(a, b) for a, b in held if when[b - 1] - when[a] >= long and level[a] - level[b - 1] > _PLAINLY * tolerance]
    others = sum(piece != (first, last) for piece in plain)
    # the tail of a pump's ripple still counts as falling: begin at the top
    top = first + int(np.argmax(level[first : first + max((last - first) // 8, 1)]))
    first = top if level[top] > level[first] + tolerance else first
    first = _calm(time, value, edges, first, last)
    first, last = _hanging(when, level, first, last, tolerance)
    first = _behind_a_flat(when, level, first, last, tolerance)
    return Segment(int(edges[first]), int(edges[last]), first == 0, last == len(level), others)


def _calm(time: Floats, value: Floats, edges: Any, first: int, last: int) -> int:
    """Where a pump's ripple is over: behind the last window of the first half that scatters far more than the rest."""
    # windows of whole bins that hold enough samples for their scatter to mean something
    wide = int(np.ceil(_ENOUGH / median(np.diff(edges))))
    starts = list(range(first, last - wide, wide))
    scatters = [_scatter(time[edges[i] : edges[i + wide]], value[edges[i] : edges[i + wide]]) for i in starts]
    if len(starts) < 12:
        return first
    # a signal that stands on one step of the sensor scatters by nothing, and one that moves over steps by a third of one
    quiet = _RESTLESS * max(float(median(scatters[len(starts) // 2 :])), 0.3 * _step(value))
    restless = [i for i, scatter in zip(starts[: len(starts) // 2], scatters, strict=False) if scatter > quiet]
    return restless[-1] + wide if restless else first


def _scatter(time: Floats, value: Floats) -> float:
    """Standard deviation from the samples' own parabola."""
    t = (time - time.mean()) / np.ptp(time)
    basis = np.stack([np.ones(len(t)), t, t * t])
    coefficients = np.linalg.lstsq(basis.T, value, rcond=None)[0]
    return float(np.std(value - coefficients @ basis)) + 1e-6


def _hanging(when: Floats, level: Floats, first: int, last: int, tolerance: float) -> tuple[int, int]:
    """The part of a piece that can be left to itself.

    Left to itself a signal falls ever more slowly, so it hangs below the line from its first to its last point. What bulges
    above was kept up, up to there; or, where little follows, something opened behind it.
    """
    for _ in range(4):
        if last - first < 8:
            break
        whole = when[last - 1] - when[first]
        share = (when[first:last] - when[first]) / whole
        bulge = level[first:last] - (level[first] + share * (level[last - 1] - level[first]))
        if bulge.max() <= 2.0 * tolerance + _BULGE * (level[first] - level[last - 1]):
            break
        knee = first + int(np.argmax(bulge))
        if when[last - 1] - when[knee] < _OPENING * whole:
            last = knee + 1
        else:
            first = knee
    return first, last


def _behind_a_flat(when: Floats, level: Floats, first: int, last: int, tolerance: float) -> int:
    """Where a flat beginning ends: left to itself a signal never falls more slowly at first than right behind
    it; kept up it does.

    The fall over the first span of any length, up to a quarter of the piece, against that over as long a span behind it.
    """
    spans = np.arange(1, max((last - first) // 4, 1))
    middles = when[first + spans]
    behind = np.interp(2.0 * middles - when[first], when[first:last], level[first:last])
    fell, falls = level[first] - level[first + spans], level[first + spans] - behind
    flat = np.where(fell < _FLAT * falls, falls - fell, 0.0)
    if not len(flat) or flat.max() <= 2.0 * tolerance:
        return first
    return first + int(spans[np.argmax(flat > _FLAT_ENDS * flat.max())])


def _edges(time: Floats) -> Any:
    """Sample numbers between which the bins lie: evenly long, none empty."""
    wanted = np.linspace(time[0], time[-1], min(_BINS, max(len(time) // 3, 4)) + 1)[1:-1]
    inside = np.searchsorted(time, wanted)
    edges = np.concatenate([[0], inside[(inside > 0) & (inside < len(time))], [len(time)]])
    return edges[np.diff(edges, prepend=-1) > 0]


def _tolerance(value: Floats, edges: Any) -> float:
    """How far two bins' medians may differ by noise and step alone."""
    jumps = np.abs(np.diff(value))
    # the largest twentieth may be what opens or starts; the median alone is 0 where the step hides the noise
    noise = float(np.sqrt(np.mean(np.minimum(jumps, quantile(jumps, 0.95)) ** 2) / 2.0))
    step = _step(value)
    count = float(median(np.diff(edges)))
    return 8.0 * float(noise / np.sqrt(count)) + 2.0 * step + 1e-3 * float(np.ptp(value)) / 10.0


def _step(value: Floats) -> float:
    """The sensor's step, or what its noise leaves of it."""
    levels = distances(value)
    return quantile(levels, 0.05) if len(levels) else 0.0


def _breaks(when: Floats, level: Floats, tolerance: float, least: float) -> list[int]:
    """Bins at which a new piece starts, 0 and the number of bins included."""
    width = np.diff(when)
    rate = np.diff(level) / width
    found, lowest = [0], level[0]
    for i in range(1, len(level)):
        around = np.concatenate([rate[max(i - 6, found[-1]) : i - 1], rate[i : i + 5]])
        usual = max(-float(median(around)), 0.0) * width[i - 1] if len(around) else 0.0
        rises = level[i] > lowest + tolerance
        falls_at_once = level[i - 1] - level[i] > _FALL_AT_ONCE * usual + 3.0 * tolerance
        gone = level[i] <= least < level[i - 1]
        if rises or falls_at_once or gone:
            found.append(i)
            lowest = level[i]
        lowest = min(lowest, level[i])
    return [*found, len(level)]
