"""The most probable parameters: least squares over the data, with what was believed beforehand as further residuals."""

from __future__ import annotations

import math
from collections.abc import Generator, Mapping
from typing import Any, NamedTuple, TypeVar

import numpy as np
from numpy.typing import NDArray

from .problem import Problem

__all__ = ["Fit", "fit", "fit_all", "noise_inflation", "slopes"]

Floats = NDArray[np.float64]
Found = TypeVar("Found")
Search = Generator[tuple[Problem[Any], Floats], Floats, Found]
"""Yields a problem with rows and is sent their residuals."""

_TRIES = 30
_FITTED = 6  # parameters that data usually fix
_CRAWL = 0.05  # of the cost: a hopeless search that gains less in a step is given up


class Fit(NamedTuple):
    """The most probable row, half its sum of squares, and the normalised residuals of the data there."""

    row: Floats
    cost: float
    left: Floats


def slopes(problem: Problem[Any], row: Floats) -> tuple[Floats, Floats]:
    """Residuals at `row` and their derivatives in the parameters that count, by differences."""
    return _slopes(problem, problem.residuals(_around(problem, row)))


def _around(problem: Problem[Any], row: Floats) -> Floats:
    """The row, and one for each parameter that counts, a step away."""
    return np.vstack([row, row + np.diag(problem.steps)[list(problem.free)]])


def _slopes(problem: Problem[Any], found: Floats) -> tuple[Floats, Floats]:
    return found[:, 0], (found[:, 1:] - found[:, :1]) / problem.steps[list(problem.free)]


def fit(problem: Problem[Any], start: Floats, easing: tuple[float, ...] = (1.0,)) -> Fit:
    """The most probable row from `start` on.

    `easing` fits first with sigma so many times larger: belief then leads the search into the right valley, which is narrow
    and bent.
    """
    return fit_all({"": problem}, {"": start}, {"": easing})[""]


def fit_all(
    problems: Mapping[str, Problem[Any]],
    starts: Mapping[str, Floats],
    easing: Mapping[str, tuple[float, ...]],
    hopeless: float = math.inf,
) -> dict[str, Fit]:
    """The same for several problems that differ in hypothesis or noise alone, in step: their ensembles are run as one.

    hopeless: a cost beyond which nobody asks how good a fit becomes. A search that lies beyond it and crawls is given up, and
    one that lies beyond it with the noise eased is not followed to the true noise, under which it costs more still.
    """
    searches = {name: _eased(problem, starts[name], easing[name], hopeless) for name, problem in problems.items()}
    asked = {name: next(search) for name, search in searches.items()}
    done: dict[str, Fit] = {}
    while asked:
        answers = next(iter(problems.values())).residuals_of(list(asked.values()))
        for name, answer in zip(list(asked), answers, strict=True):
            try:
                asked[name] = searches[name].send(answer)
            except StopIteration as end:
                done[name] = end.value
                del asked[name]
    return {name: done[name] for name in problems}


def _eased(problem: Problem[Any], start: Floats, easing: tuple[float, ...], hopeless: float) -> Search[Fit]:
    row = start
    for factor in easing:
        found = yield from _search(problem.with_noise(factor), row, 3e-3 if factor == 1.0 else 1e-2, hopeless)
        row = found.row
        if found.cost > hopeless:
            break
    data = 0.5 * float(found.left @ found.left)
    return Fit(row, found.cost + (factor**2 - 1.0) * data, factor * found.left)  # with the true noise, wherever it ended


def _search(problem: Problem[Any], row: Floats, tolerance: float, hopeless: float) -> Search[Fit]:
    """Levenberg-Marquardt, damped by each parameter's own curvature, until a step gains less than `tolerance` of the cost;
    beyond a `hopeless` cost, less than `_CRAWL` of it.

    Yields the rows whose residuals it wants. The damping follows how much of the gain that was promised came true: Nielsen's
    rule (Madsen, Nielsen, Tingleff, Methods for non-linear least squares problems, 2004, eq. 3.17: from memory).
    """
    places, damp, harder = list(problem.free), 1e-3, 2.0
    residual, jacobian = _slopes(problem, (yield problem, _around(problem, row)))
    cost = 0.5 * float(residual @ residual)
    for _ in range(_TRIES):
        precision, gradient = jacobian.T @ jacobian, jacobian.T @ residual
        scale = np.diagonal(precision) + 1e-12
        step = np.linalg.solve(precision + damp * np.diag(scale), -gradient)
        promised = 0.5 * float(step @ (damp * scale * step - gradient))
        there = row.copy()
        there[places] += step
        found, slope = _slopes(problem, (yield problem, _around(problem, there)))
        gain = cost - 0.5 * float(found @ found)
        if not gain > 0.0:
            if not promised >= tolerance * cost:  # nor where it is no number
                break
            damp, harder = damp * harder, harder * 2.0
            continue
        row, residual, jacobian, cost = there, found, slope, cost - gain
        if gain < (_CRAWL if cost > hopeless else tolerance) * (cost + gain):
            break
        damp, harder = damp * max(1.0 / 3.0, 1.0 - (2.0 * gain / promised - 1.0) ** 3), 2.0
    return Fit(row, cost, residual[: problem.size])


def noise_inflation(left: Floats) -> float:
    """Factor, at least 1, by which sigma must grow for the residuals of a fit to look like noise; 1 for fewer than 8 data.

    The Birge ratio beyond its own chance (Birge 1932, from memory), times what neighbours that agree
    take off the number of data.
    """
    count = len(left)
    if count < 8:
        return 1.0
    free, square = count - _FITTED, float(left @ left)
    birge = math.sqrt(square / free)
    together = float(np.clip(left[1:] @ left[:-1] / square, 0.0, 0.8))
    if together < 2.5 / math.sqrt(count):  # no more than chance
        together = 0.0
    inflation = birge if birge > 1.0 + 1.5 / math.sqrt(2.0 * free) else 1.0
    return inflation * math.sqrt((1.0 + together) / (1.0 - together))
