"""Weighted draws from what is known after the capture.

A capture fixes a few combinations of parameters sharply (the pressure at the start, how steep, how bent) and leaves the rest to
belief. The sharp directions are curved: a straight normal in all of them misses. So draws are made in the belief's directions
only; each is then moved along the sharp directions to where it explains the capture best, spread there by its own narrow
normal, and weighted by the exact belief and likelihood over the density it was drawn from.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING, Any, NamedTuple

from .chance import normal_quantile
from .fit import Problem, residuals, slopes
from .prior import NAMES, Member, log_prior
from .trapped import Path

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
else:
    Floats = Any

_SHARP = 20.0  # times as much from the capture as from belief
_WIDER = 1.15  # of the draws against the fitted width, so that no weight runs away
_SETTLING = 3
_NUDGE = 0.3  # posterior widths, for derivatives
_START_BELIEF = 3.0  # MPa: only to compare directions


class Draws(NamedTuple):
    """Rows that can be true, their weights (sum 1), where they go, and how well they explain the capture."""

    rows: Floats
    member: Member
    path: Path
    weights: Floats
    log_evidence: float
    effective: float
    """Number of equally weighted draws that would be as good."""
    sharp: int
    """Number of directions that the capture fixes."""


def draw(task: Problem, best: Floats, count: int, seed: int = 1) -> Draws | None:
    """At most `count` draws around the fit `best` under the task's law; None where not one of them can be true.

    The same for the same `seed`.
    """
    import numpy as np

    random = np.random.default_rng(seed)
    places = list(task.places)
    inner, outer = _directions(task, best)
    normal = _even_normals(count, outer.shape[1], random)
    rows, root = _settle(task, best + _WIDER * normal @ outer.T, inner)
    log_q = -0.5 * np.sum(normal**2, axis=1) - outer.shape[1] * math.log(_WIDER)
    normal = random.standard_normal((len(rows), inner.shape[1]))
    rows = rows + np.einsum("nij,nj->ni", root, normal) @ inner.T
    log_q += -0.5 * np.sum(normal**2, axis=1) - np.sum(np.log(np.diagonal(root, axis1=1, axis2=2)), axis=1)
    basis = np.hstack([inner, outer])[places]
    log_q -= 0.5 * len(places) * math.log(2.0 * math.pi) + float(np.linalg.slogdet(basis)[1])
    return _weighted(task, rows, log_q, inner.shape[1])


def _weighted(task: Problem, rows: Floats, log_q: Floats, sharp: int) -> Draws | None:
    import numpy as np

    log_p = log_prior(task.members(rows), rows, task.law, task.warm)
    drawn, keep = len(rows), np.isfinite(log_p)
    if not keep.any():
        return None
    rows = rows[keep]
    member = task.members(rows)
    path = task.path(member)
    log_w = log_p[keep] - 0.5 * np.sum(task.misfit(rows, path) ** 2, axis=0) - log_q[keep]
    log_w = np.where(np.isfinite(log_w), log_w, -np.inf)
    top = float(log_w.max())
    if not math.isfinite(top):
        return None
    weights = np.exp(log_w - top)
    # one stray draw must not speak for all: weights stop at sqrt(n) times their mean (Ionides 2008, from memory)
    weights = np.minimum(weights, float(weights.sum()) / drawn * math.sqrt(drawn))
    total = float(weights.sum())
    effective = total**2 / float(np.sum(weights**2))
    return Draws(rows, member, path, weights / total, top + math.log(total / drawn), effective, sharp)


def _even_normals(count: int, size: int, random: Any) -> Floats:
    """Normals in a Latin square: each column holds evenly spaced quantiles."""
    import numpy as np

    quantiles = _quantiles(count)
    normals: Floats = quantiles[random.permuted(np.tile(np.arange(count), (size, 1)), axis=1).T]
    return normals


@lru_cache(maxsize=8)
def _quantiles(count: int) -> Any:
    """The middles of `count` equally likely slices of a standard normal."""
    import numpy as np

    return np.array([normal_quantile((i + 0.5) / count) for i in range(count)])


def _directions(task: Problem, best: Floats) -> tuple[Floats, Floats]:
    """Directions the capture fixes sharply, and those left mostly to belief; one column each, one posterior width long."""
    import numpy as np

    places = list(task.places)
    jacobian = slopes(task, best)[1]
    blocks = len(task.blocks.time)
    data, belief = jacobian[:blocks], jacobian[blocks:]
    known = belief.T @ belief
    known[0, 0] += 1.0 / _START_BELIEF**2
    # eigenvectors of the capture's precision against belief's, by the root of the latter
    root = np.linalg.cholesky(known)
    half = np.linalg.solve(root, np.linalg.solve(root, data.T @ data).T)
    gain, turned = np.linalg.eigh(0.5 * (half + half.T))
    vectors = np.linalg.solve(root.T, turned)
    columns = np.zeros((len(NAMES), len(places)))
    columns[places] = vectors / np.sqrt(1.0 + np.maximum(gain, 0.0))
    sharp = gain > _SHARP
    return columns[:, sharp], columns[:, ~sharp]


def _settle(task: Problem, rows: Floats, inner: Floats) -> tuple[Floats, Floats]:
    """Every row moved along the `inner` directions to its best, and the root of its covariance there (in those directions).

    Levenberg-Marquardt, all rows at once: a step that made a row worse is taken back and shortened.
    """
    import numpy as np

    size = inner.shape[1]
    cost, damp, held = np.full(len(rows), np.inf), np.full(len(rows), 1e-3), rows
    precision, gradient = np.tile(np.eye(size), (len(rows), 1, 1)), np.zeros((len(rows), size))
    for turn in range(_SETTLING):
        found, new_precision, new_gradient = _inner_slopes(task, rows, inner)
        better = found < cost
        held, cost = np.where(better[:, None], rows, held), np.where(better, found, cost)
        precision[better], gradient[better] = new_precision[better], new_gradient[better]
        damp = np.where(better, damp * 0.1, damp * 20.0)
        if turn + 1 < _SETTLING:
            scaled = precision + damp[:, None, None] * precision * np.eye(size)
            rows = held - np.linalg.solve(scaled, gradient[:, :, None])[:, :, 0] @ inner.T
    return held, np.linalg.cholesky(np.linalg.inv(precision))


def _inner_slopes(task: Problem, rows: Floats, inner: Floats) -> tuple[Floats, Floats, Floats]:
    """Cost, precision and gradient of each row along the `inner` directions."""
    import numpy as np

    several = np.concatenate([rows[None], rows[None] + _NUDGE * inner.T[:, None, :]])
    found = residuals(task, several.reshape(-1, rows.shape[1])).reshape(-1, len(several), len(rows))
    base = found[:, 0]
    jacobian = (found[:, 1:] - base[:, None]) / _NUDGE
    precision = np.einsum("rin,rjn->nij", jacobian, jacobian)
    return np.einsum("rn,rn->n", base, base), precision, np.einsum("rin,rn->ni", jacobian, base)
