"""What is known after the capture: draws under each law a leak may follow, and how much belief each law deserves."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from baybook.dataclass import dataclass
from baybook_physics.inference.evidence import HOPELESS, most_probable, probabilities, sample_all
from baybook_physics.inference.fit import Fit, fit, fit_all, noise_inflation, slopes
from baybook_physics.inference.sample import Sample

from ..beliefs import LAW_BELIEF, counted
from ..simulator.parameters import LAWS, NAMES
from ..simulator.problem import RailProblem, Simulated, first_guess

Floats = NDArray[np.float64]

_COUNTS = {"laminar": 240, "orifice": 240, "mixed": 280, "none": 160}
EASING = (100.0, 10.0, 1.0)
_FAR = 300.0  # of the data's number: a cost beyond it lies in another valley
_CERTAIN = 15.0  # widths of a leak beyond which a tight rail needs no look
_RATE = NAMES.index("rate")


TOO_MUCH = 2.5
"""Times the noise left over: something else moved the pressure, and neither law nor verdict is to be had from it."""
STRAINED = 36.0
"""Sum of squares by which the best fit leaves what is believed of heat, fuel and rail, in their widths: beyond it, it is no fit
either. Of 56 simulated holds, within and beyond those beliefs, one in twenty had more than 18, none more than 28."""


class NotAHoldError(ValueError):
    """Nothing that could be explains the capture."""


@dataclass(frozen=True)
class Posterior:
    """Belief after the capture."""

    task: RailProblem
    draws: dict[str, Sample[Simulated]]
    """Draws under each law that could have done this."""
    probabilities: dict[str, float]
    """Of every law; sum 1."""
    best: Floats
    """The most probable row of all."""
    best_law: str
    inflation: float
    """Factor by which the noise grew to cover what the model leaves over; 1 when nothing is left over."""
    fits: bool
    """See `Explained.good`."""
    leak_width: float
    """Standard uncertainty of a leak near none in this test, mL/min."""

    @property
    def counts(self) -> dict[str, float]:
        """What each law's draws count for in flows and verdicts: as likely as it is, but a tight rail by `beliefs.counted`."""
        tight = self.probabilities["none"]
        share = counted(tight) if len(self.draws) > 1 else tight
        rest = (1.0 - share) / (1.0 - tight) if tight < 1.0 else 0.0
        return {law: share if law == "none" else rest * p for law, p in self.probabilities.items()}

    def under(self, law: str) -> RailProblem:
        """The problem under one law."""
        return self.task.under(law)


class Explained(NamedTuple):
    """The best that each law can do for a capture."""

    task: RailProblem
    """With the noise grown."""
    fits: dict[str, Fit]
    inflation: float

    @property
    def good(self) -> bool:
        """False where something that no leak, heat or rail explains moved the pressure too."""
        best = self.fits[most_probable(self.fits)]
        return self.inflation < TOO_MUCH and 2.0 * best.cost - float(best.left @ best.left) < STRAINED


def explain(task: RailProblem) -> Explained:
    """Fit every law; where none leaves only noise, the noise grows."""
    start = _start(task)
    fits = _fits(task, start)
    # one law that explains the capture is enough: the noise grows only when none does
    inflation = min(noise_inflation(found.left) for found in fits.values())
    if inflation > 1.0:
        task = task.with_noise(inflation)
        fits = _fits(task, fit(task, start.row))
    return Explained(task, fits, inflation)


def conclude(explained: Explained) -> Posterior:
    """Belief once every law was fitted; the same each time. Raises `NotAHoldError` where nothing explains the capture."""
    task, fits, inflation = explained
    width = _leak_width(task, fits["mixed"].row)
    best = most_probable(fits)
    draws = sample_all({law: task.under(law) for law in LAWS}, fits, _counts(fits), LAW_BELIEF)
    if not draws:
        raise NotAHoldError("no leak, heat and rail that could be explain how this pressure moves")
    after = probabilities({law: found.log_evidence for law, found in draws.items()}, LAW_BELIEF)
    return Posterior(task, draws, after, fits[best].row, best, inflation, explained.good, width)


def _counts(fits: dict[str, Fit]) -> dict[str, int]:
    """How many draws each law gets: fewer where it fits so much worse that it will hardly count."""
    least = min(found.cost for found in fits.values())
    return {law: round(_COUNTS[law] * max(math.exp((least - found.cost) / 4.0), 0.4)) for law, found in fits.items()}


def _start(task: RailProblem) -> Fit:
    """The mixed law, fitted from a first guess; where that leaves more than noise, other heat times are tried and the best is
    kept."""
    first = fit(task, first_guess(task), EASING)
    if noise_inflation(first.left) <= 1.15:
        return first
    others = {"quick": first_guess(task), "slow": first_guess(task)}
    others["quick"][NAMES.index("heat")], others["slow"][NAMES.index("heat")] = -1.5, 1.5
    tries = fit_all(dict.fromkeys(others, task), others, dict.fromkeys(others, EASING)).values()
    return min([first, *tries], key=lambda found: found.cost)


def _fits(task: RailProblem, mixed: Fit) -> dict[str, Fit]:
    """The most probable row under each law, and its cost; without a leak only where that is conceivable.

    Each of the pure laws is a limit of the `mixed` one, and one that explains the capture so much worse that it will not count
    is not fitted to the end.
    """
    others = {law: task.under(law) for law in ("laminar", "orifice")}
    starts = dict.fromkeys(others, mixed.row)
    costs = [0.5 * float(np.sum(found**2)) for found in task.residuals_of([(p, mixed.row[None]) for p in others.values()])]
    easing: dict[str, tuple[float, ...]] = {
        law: (10.0, 1.0) if cost > _FAR * task.size else (1.0,) for law, cost in zip(others, costs, strict=True)
    }
    leak = float(task.members(mixed.row[None]).rails.leak.flow[0])
    if leak < _CERTAIN * _leak_width(task, mixed.row):
        others["none"], easing["none"], starts["none"] = task.under("none"), EASING, mixed.row.copy()
        starts["none"][_RATE] = 0.0
    return {"mixed": mixed, **fit_all(others, starts, easing, mixed.cost + HOPELESS)}


def _leak_width(task: RailProblem, best: Floats) -> float:
    """Standard uncertainty (mL/min) that a leak would have if the same rail were tight."""
    row = best.copy()
    row[_RATE], row[NAMES.index("exponent")] = 0.0, 0.75
    jacobian = slopes(task, row)[1]
    row[_RATE] = math.sqrt(float(np.linalg.pinv(jacobian.T @ jacobian)[_RATE, _RATE]))
    return float(task.members(row[None]).rails.leak.flow[0])
