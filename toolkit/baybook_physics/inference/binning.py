"""A logged signal, reduced to some forty bins whose means keep nearly all that it says about a slow change.

A bin lies in half a cell of the simulator's grid. Its mean is compared with the model's mean **over the same samples**, so
gaps, missing rows and any sample rate are taken as they are.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import numpy as np
from numpy.typing import NDArray

from baybook.dataclass import dataclass

from .weights import distances, median, quantile

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

__all__ = ["CELLS", "Bins", "bin_signal"]

CELLS = (24, 300)
"""Least and most cells."""
_LONG = 60  # cells of a signal too long for that
_STEP = 4.2  # s: longer steps follow what settles in 2 s too badly
_LONGEST_CELL = 1.65  # of the mean cell
_MODEL = 1e-4  # of the whole change: no model follows a real system closer
_AT_A_TIME = 1 << 16  # samples
_OUTLIER = 6.0  # robust standard deviations from the cell's own line


@dataclass(frozen=True)
class Bins:
    """A signal, reduced. Times are s from the first sample, values in the signal's own unit."""

    nodes: Floats
    """Times of the integrator's nodes, shape (cells + 1,)."""
    cell: Ints
    """Which cell each bin lies in, shape (bins,)."""
    weights: Floats
    """Mean Hermite weights of y_left, y_right, h dy_left, h dy_right over the bin's samples, shape (4, bins)."""
    time: Floats
    """Mean time of each bin's samples."""
    value: Floats
    """Mean reading of each bin."""
    sigma: Floats
    """Standard uncertainty of each mean from noise and step."""
    noise: float
    """Standard deviation of one sample."""
    step: float
    """The sensor's step; 0 where none shows."""
    samples: int
    dropped: int
    """Samples left out because they stand alone."""

    @property
    def duration(self) -> float:
        """s"""
        return float(self.nodes[-1])

    @property
    def longest(self) -> float:
        """The longest cell, s."""
        return float(self.nodes[-1] - self.nodes[-2])

    def means(self, value: Floats, slope: Floats) -> Floats:
        """What a simulated signal has for means over the bins' own samples, shape (bins, n).

        `value` and `slope` (per s) at the nodes, shape (cells + 1, n); between nodes it is Hermite's cubic.
        """
        width = (self.nodes[1:] - self.nodes[:-1])[self.cell][:, None]
        left, right, d_left, d_right = (w[:, None] for w in self.weights)
        mean: Floats = left * value[self.cell] + right * value[self.cell + 1]
        mean += width * (d_left * slope[self.cell] + d_right * slope[self.cell + 1])
        return mean


def bin_signal(time: Floats, value: Floats, known_noise: float = 0.0) -> Bins:
    """Bins of a signal: `time` (s, rising) and `value`, shape (n,), n at least 5, finite.

    `known_noise`: standard uncertainty of one reading where it is known; the scatter found never counts for less.

    Raises `ValueError` for fewer samples or a time that does not rise.
    """
    if len(time) < 5 or len(time) != len(value):
        raise ValueError(f"{len(time)} samples are too few for a fit: give at least 5")
    if not np.all(np.diff(time) > 0.0):
        raise ValueError("time does not rise from sample to sample")
    start = time[0]
    nodes = _nodes(float(time[-1] - start))
    clean, dropped = _clean(value)
    t, p = (time - start)[clean], value[clean] if dropped else value
    group = _groups(t, nodes)
    step = _step(p)
    noise = max(_noise(t, p, group, step), known_noise)
    cell = np.clip(np.searchsorted(nodes, t, side="right") - 1, 0, len(nodes) - 2)
    group = np.cumsum(np.diff(group, prepend=group[:1]) > 0)  # without halves that hold no sample
    counts = np.bincount(group)

    def mean(values: Floats) -> Floats:
        means: Floats = np.bincount(group, weights=values) / counts
        return means

    bin_cell = np.zeros(len(counts), dtype=np.int64)
    bin_cell[group] = cell
    share = t - nodes[cell]
    share /= np.diff(nodes)[cell]
    del cell
    weights = np.array([mean(w) for w in _hermite(share)])
    bin_mean = mean(p)
    return Bins(
        nodes, bin_cell, weights, mean(t), bin_mean,
        _sigma(counts, bin_mean, noise, step), noise, step, len(t), dropped,
    )  # fmt: skip


def _nodes(duration: float) -> Floats:
    """Cells that grow from the start, where what settles is quickest."""
    wanted = int(max(np.ceil(_LONGEST_CELL * duration / _STEP), CELLS[0]))
    # in hours no number of cells follows the quickest heat exchange, and none has to
    cells = wanted if wanted <= CELLS[1] else _LONG
    share = np.linspace(0.0, 1.0, cells + 1)
    return duration * (0.35 * share + 0.65 * share**2)


def _groups(t: Floats, nodes: Floats) -> Ints:
    """Halves of cells, or each sample on its own where there are few."""
    halves = np.sort(np.concatenate([nodes, 0.5 * (nodes[1:] + nodes[:-1])]))
    if len(t) <= 4 * len(halves):
        return np.arange(len(t))
    return np.clip(np.searchsorted(halves, t, side="right") - 1, 0, len(halves) - 2)


def _hermite(x: Floats) -> Iterator[Floats]:
    """The four weights, one at a time: of millions of samples each is as large as the signal."""
    square, cube = x * x, x * x * x
    yield 1.0 - 3.0 * square + 2.0 * cube
    yield 3.0 * square - 2.0 * cube
    yield x - 2.0 * square + cube
    yield cube - square


def _residual(t: Floats, p: Floats, group: Ints) -> Floats:
    """Distance of each sample from its group's own straight line (zero where a group has fewer than three)."""
    counts = np.maximum(np.bincount(group), 1)
    mean_t = np.bincount(group, weights=t) / counts
    mean_p = np.bincount(group, weights=p) / counts
    dt, dp = t - mean_t[group], p - mean_p[group]
    spread = np.bincount(group, weights=dt * dt)
    slope = np.bincount(group, weights=dt * dp) / np.where(spread > 0.0, spread, 1.0)
    dt *= slope[group]
    dp -= dt
    dp[counts[group] <= 2] = 0.0
    return dp


def _clean(p: Floats) -> tuple[Any, int]:
    """Which samples stay: a spike far from its neighbours' median goes."""
    if len(p) < 9:
        return np.ones(len(p), dtype=bool), 0
    windows = np.lib.stride_tricks.sliding_window_view(np.pad(p, 3, mode="reflect", reflect_type="odd"), 7)
    distance = np.empty(len(p))
    for at in range(0, len(p), _AT_A_TIME):  # sorting takes the room of all windows
        part = slice(at, at + _AT_A_TIME)
        distance[part] = np.abs(p[part] - median(windows[part]))
    scale = 1.4826 * float(median(distance)) + 2.0 * _step(p) + 1e-3 * float(np.ptp(p))
    keep = distance <= _OUTLIER * scale
    return keep, int(np.count_nonzero(~keep))


def _step(p: Floats) -> float:
    """The sensor's step: the distance of which nearly all gaps between its levels are multiples; 0 where none is."""
    gaps = distances(p)
    if len(gaps) < 3:
        return float(gaps.min()) if len(gaps) else 0.0
    step = quantile(gaps, 0.05)
    multiples = gaps / step
    whole = float(np.mean(np.abs(multiples - np.round(multiples)) < 0.05))
    return step if step > 1e-6 * float(np.ptp(p)) and whole > 0.9 else 0.0


def _noise(t: Floats, p: Floats, group: Ints, step: float) -> float:
    """Standard deviation of one sample, from lines through groups or, with few samples, from second differences."""
    counts = np.bincount(group)
    if median(counts) >= 4:
        free = float(np.sum(np.maximum(counts - 2, 0)))
        found = float(np.sqrt(np.sum(_residual(t, p, group) ** 2) / free))
    elif len(p) >= 12:
        left, right = (t[1:-1] - t[:-2]), (t[2:] - t[1:-1])
        share = left / (left + right)
        second = p[1:-1] - (1.0 - share) * p[:-2] - share * p[2:]
        found = float(np.sqrt(np.mean(second**2 / (1.0 + (1.0 - share) ** 2 + share**2))))
    else:
        found = 0.0
    return max(found, step / math.sqrt(12.0), 1e-5 * float(np.abs(p).max()))


def _sigma(counts: Ints, bin_mean: Floats, noise: float, step: float) -> Floats:
    """Standard uncertainty of bin means.

    Noise averages out, but never below what the model is good for. The step's error averages out only when the noise shakes it
    about (share left exp(-2 pi^2 (noise/step)^2)) or the signal runs through several steps within the bin (a saw, whose
    mean's error falls with their number); bins on one level share its error, so they count as one.
    """
    white = np.hypot(noise / np.sqrt(counts), _MODEL * float(np.ptp(bin_mean)))
    if step <= 0.0:
        return white
    shake = np.sqrt(max(noise**2 - step**2 / 12.0, 0.0)) / step
    left = step / np.sqrt(12.0) * np.exp(-2.0 * (np.pi * shake) ** 2)
    crossed = np.maximum(np.abs(np.gradient(bin_mean)) / step, 1e-3) if len(bin_mean) > 1 else np.ones(1)
    sigma: Floats = np.sqrt(white**2 + left**2 / np.where(crossed > 1.0, crossed**2, crossed))
    return sigma
