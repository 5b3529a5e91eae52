"""Medians, and intervals of weighted draws."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .intervals import Interval

__all__ = ["distances", "median", "quantile", "weighted_interval"]

Floats = NDArray[np.float64]


def median(values: Any) -> Floats:
    """The median along the last axis. numpy's own takes ten times as long for a few values, and loads masked arrays first."""
    ordered = np.sort(values, axis=-1)
    half = (ordered.shape[-1] - 1) / 2.0
    middle: Floats = 0.5 * (ordered[..., math.floor(half)] + ordered[..., math.ceil(half)])
    return middle


def quantile(values: Floats, share: float) -> float:
    """The value below which a `share` of `values`, shape (n,), lies, between two of them in proportion; numpy's own loads
    masked arrays first."""
    ordered = np.sort(values)
    return float(np.interp(share * (len(ordered) - 1), np.arange(len(ordered)), ordered))


def distances(values: Floats) -> Floats:
    """Between the different values (to 1e-9) of a signal, shape (n,), those next to each other: its steps, where it has any."""
    between = np.diff(np.sort(np.round(values, 9)))  # numpy's unique loads masked arrays first
    found: Floats = between[between > 0.0]
    return found


def weighted_interval(values: Floats, weights: Floats) -> Interval:
    """Median, 95 % bounds and standard deviation of weighted draws, shape (n,) both."""
    order = np.argsort(values)
    v, w = values[order], weights[order] / weights.sum()
    place = np.cumsum(w) - 0.5 * w
    median, low, high = np.interp([0.5, 0.025, 0.975], place, v)
    mean = float(w @ v)
    return Interval(float(median), float(low), float(high), math.sqrt(float(w @ (v - mean) ** 2)))
