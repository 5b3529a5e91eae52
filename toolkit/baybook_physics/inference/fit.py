"""The most probable parameters: least squares over the data, with what was believed beforehand as further residuals."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .problem import Problem

__all__ = ["fit", "noise_inflation", "slopes"]

Floats = NDArray[np.float64]

_TRIES = 30
_FITTED = 6  # parameters that data usually fix


def slopes(problem: Problem[Any], row: Floats) -> tuple[Floats, Floats]:
    """Residuals at `row` and their derivatives in the parameters that count, by differences."""
    places = list(problem.free)
    steps = problem.steps[places]
    rows = np.repeat(row[None], 1 + len(places), axis=0)
    rows[np.arange(1, len(rows)), places] += steps
    found = problem.residuals(rows)
    return found[:, 0], (found[:, 1:] - found[:, :1]) / steps


def fit(problem: Problem[Any], start: Floats, easing: tuple[float, ...] = (1.0,)) -> tuple[Floats, float]:
    """The most probable row from `start` on, and half its sum of squares.

    `easing` fits first with sigma so many times larger: belief then leads the search into the right valley, which is narrow
    and bent.
    """
    row, cost = start, 0.0
    for factor in easing:
        row, cost = _fit(problem.with_noise(factor), row, 3e-3 if factor == 1.0 else 1e-2)
    return row, cost


def _fit(problem: Problem[Any], start: Floats, tolerance: float) -> tuple[Floats, float]:
    """Levenberg-Marquardt, damped by each parameter's own curvature, until a step gains less than `tolerance` of the cost."""
    places = list(problem.free)

    def both(x: Floats) -> tuple[Floats, Floats]:
        row = start.copy()
        row[places] = x
        return slopes(problem, row)

    x, damp = start[places], 1e-3
    residual, jacobian = both(x)
    cost = 0.5 * float(residual @ residual)
    for _ in range(_TRIES):
        precision, gradient = jacobian.T @ jacobian, jacobian.T @ residual
        step = np.linalg.solve(precision + damp * np.diag(np.diagonal(precision) + 1e-12), -gradient)
        found, slope = both(x + step)
        new = 0.5 * float(found @ found)
        if not new < cost:
            damp = max(damp * 10.0, 1e-6)
            if damp > 1e6:
                break
            continue
        done = cost - new < tolerance * cost
        x, residual, jacobian, cost, damp = x + step, found, slope, new, max(damp * 0.1, 1e-9)
        if done:
            break
    row = start.copy()
    row[places] = x
    return row, cost


def noise_inflation(problem: Problem[Any], best: Floats) -> float:
    """Factor, at least 1, by which sigma must grow for the residuals at `best` to look like noise; 1 for fewer than 12 data.

    The Birge ratio beyond its own chance (Birge 1932, from memory), times what neighbours that agree
    take off the number of data.
    """
    count, rows = problem.size, best[None]
    if count < 12:
        return 1.0
    r = problem.normalised_residuals(rows, problem.simulate(rows))[:, 0]
    free = max(count - _FITTED, 4)
    birge = math.sqrt(float(r @ r) / free)
    together = float(np.clip(r[1:] @ r[:-1] / (r @ r), 0.0, 0.8))
    if together < 2.5 / math.sqrt(count):  # no more than chance
        together = 0.0
    inflation = birge if birge > 1.0 + 1.5 / math.sqrt(2.0 * free) else 1.0
    return inflation * math.sqrt((1.0 + together) / (1.0 - together))
