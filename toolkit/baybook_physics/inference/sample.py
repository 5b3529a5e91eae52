"""Weighted draws from what is known once the data are in.

Data fix a few combinations of parameters sharply (where a curve starts, how steep, how bent it is) and leave the rest to
belief. The sharp directions are curved: a straight normal in all of them misses. So draws are made in the belief's directions
only; each is then moved along the sharp directions to where it explains the data best, spread there by its own narrow
normal, and weighted by the exact belief and likelihood over the density it was drawn from.
"""

from __future__ import annotations

import math
from functools import cache
from random import Random
from typing import Any, Generic, NamedTuple

import numpy as np
from numpy.typing import NDArray

from .fit import slopes
from .intervals import normal_quantile
from .problem import Problem, Simulation

__all__ = ["Draws", "Sample"]

Floats = NDArray[np.float64]

_SHARP = 20.0  # times as much from the data as from belief
_WIDER = 1.15  # of the draws against the fitted width, so that no weight runs away
_SETTLING = 2
_NUDGE = 0.3  # posterior widths, for derivatives


class Sample(NamedTuple, Generic[Simulation]):
    """Rows that can be true, what the simulator made of them, their weights (sum 1), and how well they explain the data."""

    rows: Floats
    simulation: Simulation
    weights: Floats
    log_evidence: float
    effective: float
    """Number of equally weighted draws that would be as good."""
    sharp: int
    """Number of directions that the data fix."""


class Draws(Generic[Simulation]):
    """Draws around the fit `best` of a problem, as many as are asked for; the same for the same `seed`."""

    def __init__(self, problem: Problem[Simulation], best: Floats, seed: int = 1) -> None:
        self.problem, self.best, self.random = problem, best, Random(seed)
        self.directions = _directions(problem, best)
        self.drawn = 0
        self.rows, self.logs = np.empty((0, len(best))), np.empty(0)
        self.simulations: list[Simulation] = []

    def draw(self, count: int) -> None:
        """So many more, less those that can't be true."""
        rows, log_q = self._proposed(count)
        log_p = self.problem.log_prior(rows)
        keep = np.isfinite(log_p)
        self.drawn += count
        if not keep.any():
            return
        rows = rows[keep]
        simulation = self.problem.simulate(rows)
        log_w = log_p[keep] - 0.5 * np.sum(self.problem.normalised_residuals(rows, simulation) ** 2, axis=0) - log_q[keep]
        self.rows = np.concatenate([self.rows, rows])
        self.logs = np.concatenate([self.logs, np.where(np.isfinite(log_w), log_w, -np.inf)])
        self.simulations.append(simulation)

    def _proposed(self, count: int) -> tuple[Floats, Floats]:
        """Rows, and the logarithm of the density that each was drawn from."""
        d, size = self.directions, len(self.problem.free)
        normal = _even_normals(count, size, self.random) @ d.soft
        rows, root = _settle(self.problem, self.best + _WIDER * normal @ d.outer.T, d.inner)
        log_q = -0.5 * np.sum(normal**2, axis=1) - d.outer.shape[1] * math.log(_WIDER)
        normal = _even_normals(count, size, self.random) @ d.sharp
        rows = rows + np.einsum("nij,nj->ni", root, normal) @ d.inner.T
        log_q += -0.5 * np.sum(normal**2, axis=1) - np.linalg.slogdet(root)[1]
        basis = np.hstack([d.inner, d.outer])[list(self.problem.free)]
        log_q -= 0.5 * size * math.log(2.0 * math.pi) + float(np.linalg.slogdet(basis)[1])
        return rows, log_q

    @property
    def possible(self) -> bool:
        """Whether any of them can be true."""
        return bool(np.isfinite(self.logs).any())

    def weighed(self) -> tuple[Floats, float, float]:
        """Weights (sum 1), logarithm of the evidence, and how many equally likely draws would be as good."""
        top = float(self.logs.max())
        weights = np.exp(self.logs - top)
        # one stray draw must not speak for all: weights stop at sqrt(n) times their mean (Ionides 2008, from memory)
        weights = np.minimum(weights, float(weights.sum()) / self.drawn * math.sqrt(self.drawn))
        total = float(weights.sum())
        return weights / total, top + math.log(total / self.drawn), total**2 / float(np.sum(weights**2))

    def sample(self) -> Sample[Simulation]:
        """All of them."""
        weights, evidence, effective = self.weighed()
        simulation = self.simulations[0] if len(self.simulations) == 1 else self.problem.simulate(self.rows)
        return Sample(self.rows, simulation, weights, evidence, effective, self.directions.inner.shape[1])


def _even_normals(count: int, size: int, random: Random) -> Floats:
    """Normals in a Latin square: each column holds evenly spaced quantiles, in an order of its own.

    The order comes from Python's own generator: numpy's takes as long to import as all draws of a sample take.
    """
    order = np.argsort(np.reshape([random.random() for _ in range(count * size)], (count, size)), axis=0)
    normals: Floats = _quantiles(count)[order]
    return normals


@cache
def _quantiles(count: int) -> Floats:
    """The middles of `count` equally likely slices of a standard normal."""
    half = np.array([normal_quantile((i + 0.5) / count) for i in range(count // 2)])
    return np.concatenate([half, np.zeros(count % 2), -half[::-1]])


class _Directions(NamedTuple):
    """Where the data fix the parameters sharply (inner), and where they are left mostly to belief (outer).

    Of both: columns in a row's parameters, one posterior width long; and the same as unit vectors where belief is round. Draws
    are made in the round space and turned into these, so that it does not matter which of equal directions come out.
    """

    inner: Floats
    outer: Floats
    sharp: Floats
    soft: Floats


def _directions(problem: Problem[Any], best: Floats) -> _Directions:
    places = list(problem.free)
    jacobian = slopes(problem, best)[1]
    data, belief = jacobian[: problem.size], jacobian[problem.size :]
    known = belief.T @ belief
    known[np.diag_indices(len(places))] += problem.weak_precision[places]
    # eigenvectors of the data's precision against belief's, by the root of the latter
    root = np.linalg.cholesky(known)
    half = np.linalg.solve(root, np.linalg.solve(root, data.T @ data).T)
    gain, turned = np.linalg.eigh(0.5 * (half + half.T))
    # which way an axis points is a matter of rounding, and slopes by differences depend on it: the largest part is positive
    turned *= np.sign(turned[np.argmax(np.abs(turned), axis=0), np.arange(len(places))])
    vectors = np.linalg.solve(root.T, turned)
    columns = np.zeros((len(problem.names), len(places)))
    columns[places] = vectors / np.sqrt(1.0 + np.maximum(gain, 0.0))
    sharp = gain > _SHARP
    return _Directions(columns[:, sharp], columns[:, ~sharp], turned[:, sharp], turned[:, ~sharp])


def _settle(problem: Problem[Any], rows: Floats, inner: Floats) -> tuple[Floats, Floats]:
    """Every row moved along the `inner` directions to its best, and the root of its covariance there (in those directions).

    Levenberg-Marquardt, all rows at once: a step that made a row worse is taken back and shortened. The last step is looked at
    without new derivatives.
    """
    size = inner.shape[1]
    cost, damp, held = np.full(len(rows), np.inf), np.full(len(rows), 1e-3), rows
    precision, gradient = np.tile(np.eye(size), (len(rows), 1, 1)), np.zeros((len(rows), size))
    for _ in range(_SETTLING):
        found, new_precision, new_gradient = _inner_slopes(problem, rows, inner)
        better = found < cost
        held, cost = np.where(better[:, None], rows, held), np.where(better, found, cost)
        precision[better], gradient[better] = new_precision[better], new_gradient[better]
        damp = np.where(better, damp * 0.1, damp * 20.0)
        scaled = precision + damp[:, None, None] * precision * np.eye(size)
        rows = held - np.linalg.solve(scaled, gradient[:, :, None])[:, :, 0] @ inner.T
    better = np.sum(problem.residuals(rows) ** 2, axis=0) < cost
    return np.where(better[:, None], rows, held), _inverse_root(precision)


_LEAST_SHARE = 1e-12  # of the largest


def _inverse_root(precision: Floats) -> Floats:
    """The symmetric root of each inverse: unlike a triangular one it does not depend on the order and signs of the axes."""
    values, vectors = np.linalg.eigh(precision)
    values = np.maximum(values, _LEAST_SHARE * values[:, -1:])  # rounding may leave the least of them below nothing
    root: Floats = np.einsum("nij,nj,nkj->nik", vectors, 1.0 / np.sqrt(values), vectors)
    return root


def _inner_slopes(problem: Problem[Any], rows: Floats, inner: Floats) -> tuple[Floats, Floats, Floats]:
    """Cost, precision and gradient of each row along the `inner` directions."""
    several = np.concatenate([rows[None], rows[None] + _NUDGE * inner.T[:, None, :]])
    found = problem.residuals(several.reshape(-1, rows.shape[1])).reshape(-1, len(several), len(rows))
    base = found[:, 0]
    jacobian = (found[:, 1:] - base[:, None]) / _NUDGE
    precision = np.einsum("rin,rjn->nij", jacobian, jacobian)
    return np.einsum("rn,rn->n", base, base), precision, np.einsum("rin,rn->ni", jacobian, base)
