"""What the capture adds to the belief: a fit, then weighted draws around it.

The fit (scipy's least squares, with the belief as extra residuals) gives the most probable rail and its curvature. Draws from a
heavy-tailed normal there are weighted by how well each explains the blocks, and redrawn from what the weights showed, until
enough of them count. Nothing is assumed straight at the edge where a leak cannot be below nothing.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from baybook.fuels import FuelModel

from .blocks import Blocks
from .prior import FREE, NAMES, Known, log_prior, middle, rails
from .trapped import Middle, Path, integrate

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
else:
    Floats = Any

DRAWS = 3000
ROUNDS = 4
ENOUGH = 500.0  # effective draws
_TAIL = 7.0  # degrees of freedom of the proposal
_SHARE_BELIEF = (0.5, 0.4)  # normal stand-in for the share's belief, for fit and proposal only
_STEPS = {"start": 0.02, "leak": 0.01, "laminar_share": 0.02}


@dataclass(frozen=True)
class Problem:
    """One hold to be understood."""

    blocks: Blocks
    known: Known
    fuel: FuelModel
    middle: Middle

    def path(self, z: Floats) -> Path:
        """Where rows `z` go."""
        return integrate(rails(self.known, self.fuel, z), self.middle, self.blocks.nodes)

    def shown(self, z: Floats, path: Path | None = None) -> Floats:
        """Block means the sensor would have shown for rows `z`, MPa gauge, shape (blocks, n)."""
        path = self.path(z) if path is None else path
        b = self.blocks
        width = (b.nodes[1:] - b.nodes[:-1])[b.cell][:, None]
        left, right, d_left, d_right = (w[:, None] for w in b.weights)
        true = left * path.pressure[b.cell] + right * path.pressure[b.cell + 1]
        true += width * (d_left * path.slope[b.cell] + d_right * path.slope[b.cell + 1])
        gauge: Floats = true - self.known.atmosphere + self.known.zero * z[:, NAMES.index("zero")]
        return gauge


@dataclass(frozen=True)
class Posterior:
    """Weighted draws."""

    problem: Problem
    draws: Floats
    """Shape (n, len(NAMES)), all possible."""
    weights: Floats
    """Sum 1."""
    path: Path
    best: Floats
    """The fit, shape (len(NAMES),)."""
    scale: float
    """Factor by which the noise had to grow for the residuals to look like noise; 1 or more."""
    effective: float
    """Effective number of draws."""
    log_tight: float
    """Logarithm of how much better "no leak" explains the capture than some leak."""
    leak_width: float
    """Standard uncertainty of the leak (mL/min) that the fit gives near no leak."""


def problem(blocks: Blocks, known: Known, fuel: FuelModel) -> Problem:
    """The problem of a reduced hold."""
    return Problem(blocks, known, fuel, middle(known, fuel, float(blocks.pressure[0]), float(blocks.pressure[-1])))


def understand(task: Problem, seed: int = 1) -> Posterior:
    """Posterior of a hold. Deterministic for a `seed`."""
    import numpy as np

    best, cov = fit(task, task.blocks.sigma)
    scale = _scale(task, best)
    sigma = task.blocks.sigma * scale
    if scale > 1.0:
        best, cov = fit(task, sigma, best)
    random = np.random.default_rng(seed)
    return _weigh(task, sigma, best, cov, scale, random)


def fit(task: Problem, sigma: Floats, start: Floats | None = None, fixed_leak: float | None = None) -> tuple[Floats, Floats]:
    """Most probable row and its covariance; `fixed_leak` (mL/min) holds the leak there."""
    import numpy as np
    from scipy.optimize import least_squares

    z0 = _first_guess(task) if start is None else start.copy()
    steps = np.array([_STEPS.get(name, 0.05) for name in NAMES])
    seen: dict[bytes, tuple[Floats, Floats]] = {}

    def both(z: Floats) -> tuple[Floats, Floats]:
        key = z.tobytes()
        if key not in seen:
            seen.clear()
            rows = np.vstack([z, z + np.diag(steps)])
            residuals = _residuals(task, sigma, rows, fixed_leak)
            seen[key] = residuals[:, 0], (residuals[:, 1:] - residuals[:, :1]) / steps
        return seen[key]

    found = least_squares(
        lambda z: both(z)[0], z0, jac=lambda z: both(z)[1], method="trf", x_scale="jac", xtol=1e-6, ftol=1e-6, gtol=1e-6, max_nfev=40
    )
    jacobian = both(found.x)[1]
    precision = jacobian.T @ jacobian
    return found.x, np.linalg.inv(precision + 1e-12 * np.trace(precision) / len(precision) * np.eye(len(precision)))


def _residuals(task: Problem, sigma: Floats, rows: Floats, fixed_leak: float | None) -> Floats:
    import numpy as np

    data = (task.shown(rows) - task.blocks.pressure[:, None]) / sigma[:, None]
    share = (rows[:, NAMES.index("laminar_share")] - _SHARE_BELIEF[0]) / _SHARE_BELIEF[1]
    leak = rows[:, NAMES.index("leak")]
    # a very wide belief keeps the fit well posed; it is taken out again by the weights
    leak_row = leak / 100.0 if fixed_leak is None else (leak - fixed_leak) / 1e-4
    return np.vstack([data, rows[:, len(FREE) :].T, share[None, :], leak_row[None, :]])


def _first_guess(task: Problem) -> Floats:
    import numpy as np

    b, m = task.blocks, task.middle
    z = np.zeros(len(NAMES))
    z[NAMES.index("start")] = b.pressure[0]
    z[NAMES.index("laminar_share")] = 0.6
    modulus = task.fuel.isothermal_modulus(m.temperature, m.pressure)
    fall = max(float(b.pressure[0] - b.pressure[-1]) - 4.0, 0.0)
    z[NAMES.index("leak")] = 60.0 * task.known.volume[0] * fall / modulus / b.duration
    return z


def _scale(task: Problem, best: Floats) -> float:
    """How much larger than expected the residuals are (Birge's ratio, never below 1), neighbours that agree counted in."""
    import numpy as np

    b = task.blocks
    if len(b.time) < 12:
        return 1.0
    r = (task.shown(best[None, :])[:, 0] - b.pressure) / b.sigma
    free = max(len(r) - 6, 4)
    birge = math.sqrt(float(r @ r) / free)
    together = float(np.clip(r[1:] @ r[:-1] / (r @ r), 0.0, 0.8))
    if together < 2.5 / math.sqrt(len(r)):  # no more than chance
        together = 0.0
    return max(1.0, birge if birge > 1.0 + 1.5 / math.sqrt(2.0 * free) else 1.0) * math.sqrt((1 + together) / (1 - together))


def _log_likelihood(task: Problem, sigma: Floats, rows: Floats, path: Path) -> Floats:
    import numpy as np

    r = (task.shown(rows, path) - task.blocks.pressure[:, None]) / sigma[:, None]
    value: Floats = -0.5 * np.sum(r * r, axis=0)
    return value


def _weigh(task: Problem, sigma: Floats, best: Floats, cov: Floats, scale: float, random: Any) -> Posterior:
    import numpy as np

    centre, spread = best, cov
    for turn in range(ROUNDS):
        count = DRAWS if turn < ROUNDS - 1 else 2 * DRAWS
        rows, log_q = _propose(centre, spread, count, random)
        log_p = log_prior(rows)
        rows, log_q, log_p = (a[np.isfinite(log_p)] for a in (rows, log_q, log_p))
        path = task.path(rows)
        log_w = log_p + _log_likelihood(task, sigma, rows, path) - log_q
        top = float(log_w.max())
        weights = np.exp(log_w - top)
        total = float(weights.sum())
        effective = total**2 / float(np.sum(weights**2))
        weights = weights / total
        if effective >= ENOUGH:
            break
        centre, spread = _refined(rows, weights, effective, centre, spread)
    evidence = top + math.log(total / count)
    log_tight, width = _tight(task, sigma, best, evidence, random)
    return Posterior(task, rows, weights, path, best, scale, effective, log_tight, width)


def _propose(centre: Floats, spread: Floats, count: int, random: Any) -> tuple[Floats, Floats]:
    """Rows of a multivariate t and the logarithm of its density."""
    import numpy as np

    size = len(centre)
    root = np.linalg.cholesky(spread)
    normal = random.standard_normal((count // 2, size))
    normal = np.vstack([normal, -normal])
    chi = random.chisquare(_TAIL, len(normal)) / _TAIL
    y = normal / np.sqrt(chi)[:, None]
    constant = math.lgamma((_TAIL + size) / 2) - math.lgamma(_TAIL / 2) - size / 2 * math.log(_TAIL * math.pi)
    constant -= float(np.sum(np.log(np.diag(root))))
    log_q = constant - (_TAIL + size) / 2 * np.log1p(np.sum(y * y, axis=1) / _TAIL)
    return centre + y @ root.T, log_q


def _refined(rows: Floats, weights: Floats, effective: float, centre: Floats, spread: Floats) -> tuple[Floats, Floats]:
    """Centre and spread the weights point to; the fewer draws count, the more of the old is kept."""
    import numpy as np

    trust = effective / (effective + 3.0 * rows.shape[1])
    tempered = weights ** (0.5 if effective < 60.0 else 1.0)
    tempered = tempered / tempered.sum()
    mean = tempered @ rows
    away = rows - mean
    found = (away * tempered[:, None]).T @ away
    new: Floats = trust * found + (1.0 - trust) * spread * 1.2
    return trust * mean + (1.0 - trust) * centre, 0.5 * (new + new.T) + 1e-12 * np.diag(np.diag(new))


def _tight(task: Problem, sigma: Floats, best: Floats, evidence: float, random: Any) -> tuple[float, float]:
    """Logarithm of the evidence for no leak over that for a leak, and the leak's standard uncertainty near none."""
    import numpy as np

    place, share = NAMES.index("leak"), NAMES.index("laminar_share")
    start = best.copy()
    start[place] = 0.0
    start[share] = 0.5
    zero, _ = fit(task, sigma, start, fixed_leak=0.0)
    zero[place] = 0.0
    _, cov_free = _curvature(task, sigma, zero)
    width = math.sqrt(float(cov_free[place, place]))
    keep = [i for i in range(len(NAMES)) if i not in (place, share)]
    # no leak: both leak parameters drop out, the rest is drawn anew around its own fit
    precision = np.linalg.inv(cov_free)[np.ix_(keep, keep)]
    inner = np.linalg.inv(precision)
    rows_kept, log_q = _propose(zero[keep], inner, DRAWS // 2, random)
    rows = np.zeros((len(rows_kept), len(NAMES)))
    rows[:, keep] = rows_kept
    rows[:, share] = 0.5
    log_p = -0.5 * np.sum(rows[:, len(FREE) :] ** 2, axis=1)
    log_w = log_p + _log_likelihood(task, sigma, rows, task.path(rows)) - log_q
    top = float(log_w.max())
    tight = top + math.log(float(np.mean(np.exp(log_w - top))))
    # the leak's half-Cauchy belief was used without its constant; the share's belief has area 1
    normal = math.log(math.pi / 2.0)
    from .knowledge import LEAK_SCALE

    return tight - (evidence - normal - math.log(LEAK_SCALE)), width


def _curvature(task: Problem, sigma: Floats, z: Floats) -> tuple[Floats, Floats]:
    import numpy as np

    steps = np.array([_STEPS.get(name, 0.05) for name in NAMES])
    rows = np.vstack([z, z + np.diag(steps)])
    residuals = _residuals(task, sigma, rows, None)
    jacobian = (residuals[:, 1:] - residuals[:, :1]) / steps
    precision = jacobian.T @ jacobian
    return residuals[:, 0], np.linalg.inv(precision + 1e-12 * np.trace(precision) / len(precision) * np.eye(len(precision)))
