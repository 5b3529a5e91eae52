"""What is known after the capture: draws with a leak, draws without, and how much belief each deserves."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from .draws import Draws, draw
from .fit import ALL, TIGHT, Problem, first_guess, fit, noise_growth, slopes
from .knowledge import LEAK_SCALE, TIGHT_BELIEF
from .prior import NAMES

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
else:
    Floats = Any

LEAKING, TIGHT_DRAWS = 1400, 400
_RATE = NAMES.index("rate")


@dataclass(frozen=True)
class Posterior:
    """Belief after the capture."""

    task: Problem
    best: Floats
    """The most probable row with a leak."""
    leaking: Draws
    tight: Draws | None
    """None where a rail without a leak could not have done this."""
    tight_probability: float
    growth: float
    """Factor by which the noise grew to cover what the model leaves over; 1 when nothing is left over."""
    leak_width: float
    """Standard uncertainty of a leak near none in this test, mL/min."""


def understand(task: Problem, seed: int = 1) -> Posterior:
    """Belief after the capture of `task`. The same for the same `seed`."""
    best = fit(task, first_guess(task))
    growth = noise_growth(task, best)
    if growth > 1.0:
        task = replace(task, sigma=task.sigma * growth)
        best = fit(task, best)
    leaking = draw(task, best, ALL, LEAKING, seed)
    none, width = _no_leak(task, best)
    leak = float(task.members(best[None]).rails.leak[0])
    # beyond 25 widths the probability of a tight rail is nil whatever the draws say
    tight = draw(task, none, TIGHT, TIGHT_DRAWS, seed + 1) if leak < 25.0 * width else None
    return Posterior(task, best, leaking, tight, _tight_probability(leaking, tight), growth, width)


def _no_leak(task: Problem, best: Floats) -> tuple[Floats, float]:
    """The most probable row without a leak, and the leak's standard uncertainty there (mL/min)."""
    import numpy as np

    start = best.copy()
    start[_RATE] = 0.0
    start[NAMES.index("exponent")] = 0.75
    row = fit(task, start, TIGHT)
    jacobian = slopes(task, row, ALL)[1]
    variance = np.linalg.pinv(jacobian.T @ jacobian)[_RATE, _RATE]
    ahead = row.copy()
    ahead[_RATE] = math.sqrt(float(variance))
    return row, float(task.members(ahead[None]).rails.leak[0])


def _tight_probability(leaking: Draws, tight: Draws | None) -> float:
    if tight is None:
        return 0.0
    # the half-Cauchy belief about the leak was used without its constant 2/(pi scale)
    log_odds = tight.log_evidence - leaking.log_evidence - math.log(2.0 / (math.pi * LEAK_SCALE))
    log_odds += math.log(TIGHT_BELIEF / (1.0 - TIGHT_BELIEF))
    return 1.0 / (1.0 + math.exp(min(max(-log_odds, -700.0), 700.0)))
