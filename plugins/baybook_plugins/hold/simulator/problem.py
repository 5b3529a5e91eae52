"""A closed rail and a capture of its pressure, as a problem of inference."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from baybook.dataclass import dataclass, replace
from baybook_physics.closed_rail import Rails, Trajectory, integrate, together
from baybook_physics.fuels import FuelModel
from baybook_physics.inference.binning import Bins
from baybook_physics.leaks import ReferenceState

from ..beliefs import WARM_MOST, Normal
from .known import Known
from .parameters import FREE, NAMES, Member, log_prior, members, reference_state, warm_belief

Floats = NDArray[np.float64]

_SHARE_BELIEF = (0.5, 0.3)  # normal stand-in for the share's belief, for the fit alone
_SHARE_EDGE = 0.04
_WARM_EDGE = 0.1
_WIDE_LEAK = 100.0  # mL/min: keeps the fit well posed
_START_BELIEF = 3.0  # MPa: only to compare directions
_STEPS = {"start": 0.02, "rate": 0.002, "exponent": 0.01, "cooling": 0.05}
_IDLE = {
    "mixed": (),
    "laminar": ("exponent",),
    "orifice": ("exponent", "laminar_slope", "laminar_temperature"),
    "none": ("rate", "exponent", "laminar_slope", "laminar_temperature", "drift", "back"),
}


class Simulated(NamedTuple):
    """An ensemble of rails and where it went."""

    rails: Rails
    path: Trajectory


@dataclass(frozen=True)
class RailProblem:
    """One capture to be explained by a closed rail under one leak law; a `baybook_physics.inference.problem.Problem`."""

    bins: Bins
    known: Known
    fuel: FuelModel
    reference: ReferenceState
    sigma: Floats
    """Standard uncertainty of each bin's mean, MPa."""
    warm: Normal
    """Belief about the warm start, K."""
    law: str = "mixed"

    @property
    def names(self) -> tuple[str, ...]:
        """See `parameters.NAMES`."""
        return NAMES

    @property
    def free(self) -> tuple[int, ...]:
        """Places in a row that count: not what the law has no use for, nor what is known exactly."""
        exact = {name for name, pair in (("gas", self.known.free_gas), ("back", self.known.back_pressure)) if not pair[1]}
        exact |= {"wall_rate", "ambient"} if self.known.one_temperature else set()
        return tuple(i for i, name in enumerate(NAMES) if name not in exact and name not in _IDLE[self.law])

    @property
    def steps(self) -> Floats:
        """Of derivatives by differences."""
        return np.array([_STEPS.get(name, 0.05) for name in NAMES])

    @property
    def weak_precision(self) -> Floats:
        """Nothing is believed about the pressure at the start."""
        weak = np.zeros(len(NAMES))
        weak[NAMES.index("start")] = 1.0 / _START_BELIEF**2
        return weak

    @property
    def size(self) -> int:
        """Number of bins."""
        return len(self.bins.time)

    def under(self, law: str) -> RailProblem:
        """The same under another leak law."""
        return replace(self, law=law)

    def with_noise(self, factor: float) -> RailProblem:
        """The same with sigma so many times larger."""
        return replace(self, sigma=self.sigma * factor)

    def members(self, rows: Floats) -> Member:
        """The rails of `rows`."""
        return members(self.known, self.fuel, self.reference, self.bins.duration, self.law, rows)

    def simulate(self, rows: Floats) -> Simulated:
        """The rails of `rows`, and where they go."""
        rails = self.members(rows).rails
        return Simulated(rails, integrate(rails, self.reference, self.bins.nodes))

    def shown(self, rows: Floats, simulated: Simulated) -> Floats:
        """Bin means that the sensor would have shown, MPa gauge, shape (bins, n)."""
        path = simulated.path
        gauge: Floats = self.bins.means(path.pressure, path.slope) - self.known.atmosphere
        return gauge + self.known.zero * rows[:, NAMES.index("zero")]

    def normalised_residuals(self, rows: Floats, simulation: Simulated) -> Floats:
        """(shown - read)/sigma, shape (bins, n)."""
        return (self.shown(rows, simulation) - self.bins.value[:, None]) / self.sigma[:, None]

    def residuals(self, rows: Floats) -> Floats:
        """Of every bin, then of every belief, shape (bins + beliefs, n)."""
        return self.residuals_of([(self, rows)])[0]

    def residuals_of(self, asked: Sequence[tuple[RailProblem, Floats]]) -> list[Floats]:
        """The same of several laws, run as one ensemble."""
        found = [problem.members(rows) for problem, rows in asked]
        rails = found[0].rails if len(found) == 1 else together([member.rails for member in found])
        path = integrate(rails, self.reference, self.bins.nodes)
        ends = np.cumsum([len(rows) for _, rows in asked])[:-1]
        parts = zip(*(np.split(part, ends, axis=1) for part in path), strict=True)
        return [
            problem._with_beliefs(rows, member, Trajectory(*part))
            for (problem, rows), member, part in zip(asked, found, parts, strict=True)
        ]

    def _with_beliefs(self, rows: Floats, member: Member, path: Trajectory) -> Floats:
        data = self.normalised_residuals(rows, Simulated(member.rails, path))
        laminar = member.rails.leak.laminar_share
        share = (laminar - _SHARE_BELIEF[0]) / _SHARE_BELIEF[1] + np.zeros(len(rows))
        # outside its limits a share is pushed back hard, so that a mixture never wins by being none
        beyond = np.maximum(np.abs(laminar - 0.5) - 0.5, 0.0) / _SHARE_EDGE + np.zeros(len(rows))
        warm = (member.warm - self.warm.mean) / self.warm.standard
        hot = np.maximum(warm - WARM_MOST, 0.0) / _WARM_EDGE
        leak = member.rails.leak.flow / _WIDE_LEAK
        return np.vstack([data, rows[:, len(FREE) :].T, share, beyond, warm, hot, member.end_residual, leak])

    def log_prior(self, rows: Floats) -> Floats:
        """See `parameters.log_prior`."""
        return log_prior(self.members(rows), rows, self.law, self.warm)


def rail_problem(bins: Bins, known: Known, fuel: FuelModel, clock: float | Floats = 0.0) -> RailProblem:
    """The problem of a binned capture. clock: standard uncertainty of each bin's time, s."""
    sigma = np.hypot(bins.sigma, np.gradient(bins.value, bins.time) * clock)
    first, last = float(bins.value[0]), float(bins.value[-1])
    reference = reference_state(known, fuel, first, last, bins.duration)
    return RailProblem(bins, known, fuel, reference, sigma, warm_belief(known, fuel, first))


def first_guess(problem: RailProblem) -> Floats:
    """A row to start from: what falls beyond an ordinary cooling is leak."""
    b = problem.bins
    row = np.zeros(len(NAMES))
    row[NAMES.index("start")] = b.value[0]
    row[NAMES.index("exponent")] = 0.75
    stiff = 1.0 / float(np.exp(-problem.members(row[None]).log_per_warm[0]))
    row[NAMES.index("cooling")] = problem.warm.mean * stiff
    fall = float(b.value[0] - b.value[-1])
    row[NAMES.index("rate")] = max(fall - problem.warm.mean * stiff, 0.02 * fall, 0.0) / b.duration
    return row
