"""What is known after the capture: draws under each law a leak may follow, and how much belief each law deserves."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, NamedTuple

from .chance import counted
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


class NotAHoldError(ValueError):
    """Nothing that could be explains the capture."""


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

    @property
    def counts(self) -> dict[str, float]:
        """What each law's draws count for in flows and verdicts: as likely as it is, but a tight rail by `chance.counted`."""
        tight = self.probabilities["none"]
        share = counted(tight) if len(self.draws) > 1 else tight
        rest = (1.0 - share) / (1.0 - tight) if tight < 1.0 else 0.0
        return {law: share if law == "none" else rest * p for law, p in self.probabilities.items()}

    def under(self, law: str) -> Problem:
        """The problem under one law."""
        return replace(self.task, law=law)


class Explained(NamedTuple):
    """The best that each law can do for a capture."""

    task: Problem
    """With the noise grown."""
    fits: dict[str, tuple[Floats, float]]
    growth: float


def explain(task: Problem) -> Explained:
    """Fit every law; where none leaves only noise, the noise grows."""
    start = _start(task)
    fits = _fits(task, start)
    # one law that explains the capture is enough: the noise grows only when none does
    growth = min(noise_growth(replace(task, law=law), row) for law, (row, _) in fits.items())
    if growth > 1.0:
        task = replace(task, sigma=task.sigma * growth)
        fits = _fits(task, start)
    return Explained(task, fits, growth)


def understand(task: Problem, seed: int = 1) -> Posterior:
    """Belief after the capture of `task`; the same for the same `seed`. Raises `NotAHoldError` where nothing explains it."""
    return believe(explain(task), seed)


def believe(explained: Explained, seed: int = 1) -> Posterior:
    """Belief once every law was fitted. Raises `NotAHoldError`."""
    task, fits, growth = explained
    width = _leak_width(task, fits["mixed"][0])
    best_law = min(fits, key=lambda law: fits[law][1])
    near = [law for law in LAWS if law in fits and fits[law][1] < fits[best_law][1] + _HOPELESS]
    drawn = {law: draw(replace(task, law=law), fits[law][0], _COUNTS[law], seed) for law in near}
    draws = {law: found for law, found in drawn.items() if found is not None}
    if not draws:
        raise NotAHoldError("no leak, heat and rail that could be explain how this pressure moves")
    return Posterior(task, draws, _probabilities(draws), fits[best_law][0], best_law, growth, width)


def _start(task: Problem) -> Floats:
    """A fitted row to begin from; where the first leaves more than noise, other heat times are tried and the best is kept."""
    row, cost = fit(task, first_guess(task), _EASING)
    if noise_growth(task, row) <= 1.15:
        return row
    tries = [(row, cost)]
    for heat in (-1.5, 1.5):
        other = first_guess(task)
        other[NAMES.index("heat")] = heat
        tries.append(fit(task, other, _EASING))
    return min(tries, key=lambda found: found[1])[0]


def _fits(task: Problem, start: Floats) -> dict[str, tuple[Floats, float]]:
    """The most probable row under each law, and its cost; without a leak only where that is conceivable."""
    fits = {law: fit(replace(task, law=law), start) for law in ("mixed", "laminar", "orifice")}
    leak = float(task.members(fits["mixed"][0][None]).rails.leak[0])
    if leak < _CERTAIN * _leak_width(task, fits["mixed"][0]):
        row = start.copy()
        row[_RATE] = 0.0
        fits["none"] = fit(replace(task, law="none"), row, _EASING)
    return fits


def _leak_width(task: Problem, best: Floats) -> float:
    """Standard uncertainty (mL/min) that a leak would have if the same rail were tight."""
    import numpy as np

    row = best.copy()
    row[_RATE], row[NAMES.index("exponent")] = 0.0, 0.75
    jacobian = slopes(task, row)[1]
    row[_RATE] = math.sqrt(float(np.linalg.pinv(jacobian.T @ jacobian)[_RATE, _RATE]))
    return float(task.members(row[None]).rails.leak[0])


def _probabilities(draws: dict[str, Draws]) -> dict[str, float]:
    logs = {law: found.log_evidence + math.log(LAW_BELIEF[law]) for law, found in draws.items()}
    top = max(logs.values())
    total = sum(math.exp(value - top) for value in logs.values())
    return {law: math.exp(logs[law] - top) / total if law in logs else 0.0 for law in LAWS}
