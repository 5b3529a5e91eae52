"""Weighted draws from what is known once the data are in.

Data fix a few combinations of parameters sharply (where a curve starts, how steep, how bent it is) and leave the rest to
belief. The sharp directions are curved: a straight normal in all of them misses. So draws are made in the belief's directions
only; each is then moved along the sharp directions to where it explains the data best, spread there by its own narrow
normal, and weighted by the exact belief and likelihood over the density it was drawn from.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Any, Generic, NamedTuple

import numpy as np
from numpy.typing import NDArray

from .fit import slopes
from .intervals import normal_quantile
from .problem import Problem, Simulation

__all__ = ["Sample", "sample"]

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


def sample(problem: Problem[Simulation], best: Floats, count: int, seed: int = 1) -> Sample[Simulation] | None:
    """At most `count` draws around the fit `best`; None where not one of them can be true.

    The same for the same `seed`.
    """
    random = np.random.default_rng(seed)
    size = len(problem.free)
    d = _directions(problem, best)
    normal = _even_normals(count, size, random) @ d.soft
    rows, root = _settle(problem, best + _WIDER * normal @ d.outer.T, d.inner)
    log_q = -0.5 * np.sum(normal**2, axis=1) - d.outer.shape[1] * math.log(_WIDER)
    normal = random.standard_normal((len(rows), size)) @ d.sharp
    rows = rows + np.einsum("nij,nj->ni", root, normal) @ d.inner.T
    log_q += -0.5 * np.sum(normal**2, axis=1) - np.linalg.slogdet(root)[1]
    basis = np.hstack([d.inner, d.outer])[list(problem.free)]
    log_q -= 0.5 * size * math.log(2.0 * math.pi) + float(np.linalg.slogdet(basis)[1])
    return _weighted(problem, rows, log_q, d.inner.shape[1])


def _weighted(problem: Problem[Simulation], rows: Floats, log_q: Floats, sharp: int) -> Sample[Simulation] | None:
    log_p = problem.log_prior(rows)
    drawn, keep = len(rows), np.isfinite(log_p)
    if not keep.any():
        return None
    rows = rows[keep]
    simulation = problem.simulate(rows)
    log_w = log_p[keep] - 0.5 * np.sum(problem.normalised_residuals(rows, simulation) ** 2, axis=0) - log_q[keep]
    log_w = np.where(np.isfinite(log_w), log_w, -np.inf)
    top = float(log_w.max())
    if not math.isfinite(top):
        return None
    weights = np.exp(log_w - top)
    # one stray draw must not speak for all: weights stop at sqrt(n) times their mean (Ionides 2008, from memory)
    weights = np.minimum(weights, float(weights.sum()) / drawn * math.sqrt(drawn))
    total = float(weights.sum())
    effective = total**2 / float(np.sum(weights**2))
    return Sample(rows, simulation, weights / total, top + math.log(total / drawn), effective, sharp)


def _even_normals(count: int, size: int, random: Any) -> Floats:
    """Normals in a Latin square: each column holds evenly spaced quantiles."""
    quantiles = _quantiles(count)
    normals: Floats = quantiles[random.permuted(np.tile(np.arange(count), (size, 1)), axis=1).T]
    return normals


@lru_cache(maxsize=8)
def _quantiles(count: int) -> Any:
    """The middles of `count` equally likely slices of a standard normal."""
    return np.array([normal_quantile((i + 0.5) / count) for i in range(count)])


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


def _inverse_root(precision: Floats) -> Floats:
    """The symmetric root of each inverse: unlike a triangular one it does not depend on the order and signs of the axes."""
    values, vectors = np.linalg.eigh(precision)
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
