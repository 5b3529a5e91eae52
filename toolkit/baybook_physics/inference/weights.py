"""Medians, and intervals of weighted draws."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .intervals import Interval

__all__ = ["median", "weighted_interval"]

Floats = NDArray[np.float64]


def median(values: Any) -> Floats:
    """The median along the last axis. numpy's own takes ten times as long for a few values, and loads masked arrays first."""
    ordered = np.sort(values, axis=-1)
    half = (ordered.shape[-1] - 1) / 2.0
    middle: Floats = 0.5 * (ordered[..., math.floor(half)] + ordered[..., math.ceil(half)])
    return middle


def weighted_interval(values: Floats, weights: Floats) -> Interval:
    """Median, 95 % bounds and standard deviation of weighted draws, shape (n,) both."""
    order = np.argsort(values)
    v, w = values[order], weights[order] / weights.sum()
    place = np.cumsum(w) - 0.5 * w
    median, low, high = np.interp([0.5, 0.025, 0.975], place, v)
    mean = float(w @ v)
    return Interval(float(median), float(low), float(high), math.sqrt(float(w @ (v - mean) ** 2)))
