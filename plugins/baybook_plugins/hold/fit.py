"""The most probable rail for a capture: least squares over the blocks, with what was known beforehand as further residuals."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from baybook.fuels import FuelModel

from .blocks import Blocks
from .knowledge import Normal
from .prior import FREE, NAMES, Known, Member, members, middle, warm_belief
from .trapped import Middle, Path, integrate

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
else:
    Floats = Any

_SHARE_BELIEF = (0.5, 0.3)  # normal stand-in for the share's belief, for the fit alone
_SHARE_EDGE = 0.04
_WIDE_LEAK = 100.0  # mL/min: keeps the fit well posed
_TRIES = 30
_STEPS = {"start": 0.02, "rate": 0.002, "exponent": 0.01, "warmth": 0.05}
_IDLE = {
    "mixed": (),
    "laminar": ("exponent",),
    "orifice": ("exponent", "laminar_slope", "laminar_warmth"),
    "none": ("rate", "exponent", "laminar_slope", "laminar_warmth", "drift", "back"),
}


@dataclass(frozen=True)
class Problem:
    """One hold to be understood. A row holds one value for each of `prior.NAMES`; rows have shape (n, len(NAMES))."""

    blocks: Blocks
    known: Known
    fuel: FuelModel
    middle: Middle
    sigma: Floats
    """Standard uncertainty of each block's mean, MPa."""
    warm: Normal
    """Belief about the warm start, K."""
    law: str = "mixed"

    @property
    def places(self) -> tuple[int, ...]:
        """Places in a row that count: not what the law has no use for, nor what is known exactly."""
        exact = {name for name, pair in (("gas", self.known.free_gas), ("back", self.known.back_pressure)) if not pair[1]}
        exact |= {"wall_rate", "ambient"} if self.known.settled else set()
        return tuple(i for i, name in enumerate(NAMES) if name not in exact and name not in _IDLE[self.law])

    def members(self, rows: Floats) -> Member:
        """The rails of `rows`."""
        return members(self.known, self.fuel, self.middle, self.blocks.duration, self.law, rows, self.blocks.longest / 2.0)

    def path(self, member: Member) -> Path:
        """Where they go."""
        return integrate(member.rails, self.middle, self.blocks.nodes)

    def shown(self, rows: Floats, path: Path) -> Floats:
        """Block means the sensor would have shown, MPa gauge, shape (blocks, n)."""
        b = self.blocks
        width = (b.nodes[1:] - b.nodes[:-1])[b.cell][:, None]
        left, right, d_left, d_right = (w[:, None] for w in b.weights)
        true = left * path.pressure[b.cell] + right * path.pressure[b.cell + 1]
        true += width * (d_left * path.slope[b.cell] + d_right * path.slope[b.cell + 1])
        gauge: Floats = true - self.known.atmosphere + self.known.zero * rows[:, NAMES.index("zero")]
        return gauge

    def misfit(self, rows: Floats, path: Path) -> Floats:
        """(shown - read)/sigma, shape (blocks, n)."""
        return (self.shown(rows, path) - self.blocks.pressure[:, None]) / self.sigma[:, None]


def problem(blocks: Blocks, known: Known, fuel: FuelModel) -> Problem:
    """The problem of a reduced hold."""
    first, last = float(blocks.pressure[0]), float(blocks.pressure[-1])
    tied = middle(known, fuel, first, last, blocks.duration)
    return Problem(blocks, known, fuel, tied, blocks.sigma, warm_belief(known, fuel, first))


def residuals(task: Problem, rows: Floats) -> Floats:
    """Misfit of every block, then of every belief, shape (blocks + beliefs, n)."""
    import numpy as np

    member = task.members(rows)
    data = task.misfit(rows, task.path(member))
    share = (member.rails.laminar_share - _SHARE_BELIEF[0]) / _SHARE_BELIEF[1] + np.zeros(len(rows))
    # outside its limits a share is pushed back hard, so that a mixture never wins by being none
    beyond = np.maximum(np.abs(member.rails.laminar_share - 0.5) - 0.5, 0.0) / _SHARE_EDGE + np.zeros(len(rows))
    warm = (member.warm - task.warm.mean) / task.warm.standard
    return np.vstack([data, rows[:, len(FREE) :].T, share, beyond, warm, member.end_misfit, member.rails.leak / _WIDE_LEAK])


def slopes(task: Problem, row: Floats) -> tuple[Floats, Floats]:
    """Residuals at `row` and their derivatives in the parameters that count, by differences."""
    import numpy as np

    places = task.places
    steps = np.array([_STEPS.get(NAMES[i], 0.05) for i in places])
    rows = np.repeat(row[None], 1 + len(places), axis=0)
    rows[np.arange(1, len(rows)), list(places)] += steps
    found = residuals(task, rows)
    return found[:, 0], (found[:, 1:] - found[:, :1]) / steps


def fit(task: Problem, start: Floats, easing: tuple[float, ...] = (1.0,)) -> tuple[Floats, float]:
    """The most probable row under the task's law, and half its sum of squares.

    `easing` fits first with sigma so many times larger: belief then leads the search into the right valley, which is narrow
    and bent.
    """
    row, cost = start, 0.0
    for factor in easing:
        row, cost = _fit(replace(task, sigma=task.sigma * factor), row, 3e-3 if factor == 1.0 else 1e-2)
    return row, cost


def _fit(task: Problem, start: Floats, tolerance: float) -> tuple[Floats, float]:
    """Levenberg-Marquardt, damped by each parameter's own curvature, until a step gains less than `tolerance` of the cost."""
    import numpy as np

    places = list(task.places)

    def both(x: Floats) -> tuple[Floats, Floats]:
        row = start.copy()
        row[places] = x
        return slopes(task, row)

    x, damp = start[places], 1e-3
    residual, jacobian = both(x)
    cost = 0.5 * float(residual @ residual)
    for _ in range(_TRIES):
        precision, gradient = jacobian.T @ jacobian, jacobian.T @ residual
        step = np.linalg.solve(precision + damp * np.diag(np.diagonal(precision) + 1e-12), -gradient)
        found, slope = both(x + step)
        new = 0.5 * float(found @ found)
        if not new < cost:
            damp = max(damp * 10.0, 1e-6)
            if damp > 1e6:
                break
            continue
        done = cost - new < tolerance * cost
        x, residual, jacobian, cost, damp = x + step, found, slope, new, max(damp * 0.1, 1e-9)
        if done:
            break
    row = start.copy()
    row[places] = x
    return row, cost


def first_guess(task: Problem) -> Floats:
    """A row to start from: what falls beyond an ordinary cooling is leak."""
    import numpy as np

    b = task.blocks
    row = np.zeros(len(NAMES))
    row[NAMES.index("start")] = b.pressure[0]
    row[NAMES.index("exponent")] = 0.75
    stiff = 1.0 / float(np.exp(-task.members(row[None]).log_per_warm[0]))
    row[NAMES.index("warmth")] = task.warm.mean * stiff
    fall = float(b.pressure[0] - b.pressure[-1])
    row[NAMES.index("rate")] = max(fall - task.warm.mean * stiff, 0.02 * fall, 0.0) / b.duration
    return row


def noise_growth(task: Problem, best: Floats) -> float:
    """Factor, at least 1, by which the blocks' sigma must grow for the residuals to look like noise.

    Birge's ratio beyond its own chance, times what neighbours that agree take off the number of blocks.
    """
    import numpy as np

    count = len(task.blocks.time)
    if count < 12:
        return 1.0
    r = task.misfit(best[None], task.path(task.members(best[None])))[:, 0]
    free = max(count - 6, 4)
    birge = math.sqrt(float(r @ r) / free)
    together = float(np.clip(r[1:] @ r[:-1] / (r @ r), 0.0, 0.8))
    if together < 2.5 / math.sqrt(count):  # no more than chance
        together = 0.0
    growth = birge if birge > 1.0 + 1.5 / math.sqrt(2.0 * free) else 1.0
    return growth * math.sqrt((1.0 + together) / (1.0 - together))
