"""What is known after the capture: draws under each law a leak may follow, and how much belief each law deserves."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from .draws import Draws, draw
from .fit import Problem, first_guess, fit, noise_growth, slopes
from .knowledge import LAW_BELIEF
from .prior import LAWS, NAMES

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
else:
    Floats = Any

_COUNTS = {"laminar": 600, "orifice": 600, "mixed": 700, "none": 400}
_EASING = (100.0, 10.0, 1.0)
_HOPELESS = 25.0  # a law whose best fit lies so far (in log) behind the best is left out
_CERTAIN = 15.0  # widths of a leak beyond which a tight rail needs no look
_RATE = NAMES.index("rate")


@dataclass(frozen=True)
class Posterior:
    """Belief after the capture."""

    task: Problem
    draws: dict[str, Draws]
    """Draws under each law that could have done this."""
    probabilities: dict[str, float]
    """Of every law; sum 1."""
    best: Floats
    """The most probable row of all."""
    best_law: str
    growth: float
    """Factor by which the noise grew to cover what the model leaves over; 1 when nothing is left over."""
    leak_width: float
    """Standard uncertainty of a leak near none in this test, mL/min."""

    def under(self, law: str) -> Problem:
        """The problem under one law."""
        return replace(self.task, law=law)


def understand(task: Problem, seed: int = 1) -> Posterior:
    """Belief after the capture of `task`. The same for the same `seed`."""
    start, cost = fit(task, first_guess(task), _EASING)
    growth = noise_growth(task, start)
    if growth > 1.0:
        task = replace(task, sigma=task.sigma * growth)
        start, cost = fit(task, start)
    leak, width = _leak_and_width(task, start)
    fits = {"mixed": (start, cost)}
    for law in ("laminar", "orifice"):
        fits[law] = fit(replace(task, law=law), start)
    if leak < _CERTAIN * width:
        row = start.copy()
        row[_RATE] = 0.0
        fits["none"] = fit(replace(task, law="none"), row, _EASING)
    best_law = min(fits, key=lambda law: fits[law][1])
    near = [law for law in LAWS if law in fits and fits[law][1] < fits[best_law][1] + _HOPELESS]
    draws = {law: draw(replace(task, law=law), fits[law][0], _COUNTS[law], seed) for law in near}
    return Posterior(task, draws, _probabilities(draws), fits[best_law][0], best_law, growth, width)


def _leak_and_width(task: Problem, best: Floats) -> tuple[float, float]:
    """The leak of a row (mL/min), and the standard uncertainty that a leak would have if the same rail were tight."""
    import numpy as np

    row = best.copy()
    row[_RATE], row[NAMES.index("exponent")] = 0.0, 0.75
    jacobian = slopes(task, row)[1]
    row[_RATE] = math.sqrt(float(np.linalg.pinv(jacobian.T @ jacobian)[_RATE, _RATE]))
    leak, width = task.members(np.vstack([best, row])).rails.leak
    return float(leak), float(width)


def _probabilities(draws: dict[str, Draws]) -> dict[str, float]:
    logs = {law: found.log_evidence + math.log(LAW_BELIEF[law]) for law, found in draws.items()}
    top = max(logs.values())
    total = sum(math.exp(value - top) for value in logs.values())
    return {law: math.exp(logs[law] - top) / total if law in logs else 0.0 for law in LAWS}
