"""The outputs of a hold from its posterior: flows, law, verdict, and how small a leak this test could have shown."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

from .chance import Interval, normal_quantile
from .knowledge import LEAK_SCALE, STILL_TIGHT, TIGHT_BELIEF
from .later import cooling_fall, resampled, time_until
from .posterior import Posterior
from .state import join, state
from .weights import weighted_interval

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
else:
    Floats = Any

NAMED_FROM = 0.9
"""A law is named from this probability on; below it, it is "unknown"."""
_TOO_MUCH = 2.5  # times the noise left over: something else moved the pressure, and no law is to be named from it


@dataclass(frozen=True)
class Asked:
    """What the user wants to know; pressures MPa gauge."""

    reference: float | None = None
    """Where `leak_collected` is stated; None: at the mean of first and last pressure."""
    until: float | None = None
    """A lower pressure, to say when it is reached."""


class Curves(NamedTuple):
    """For a plot; shape (blocks,). Times s, pressures MPa gauge."""

    time: Floats
    read: Floats
    fitted: Floats
    tight: Floats
    """What the same rail would have shown without its leak."""
    residual: Floats
    sigma: Floats
    duration: float


@dataclass(frozen=True)
class HoldEstimate:
    """Flows mL/min, pressures MPa, modulus MPa, diameter mm, times s."""

    leak_at_line: Interval
    """At the mean of the first and last pressure, at the fuel's temperature there."""
    leak_collected: Interval
    """At the reference pressure and the stated fuel temperature, as volume at atmospheric pressure."""
    collected_at_mean: Interval
    bulk_modulus: Interval
    equivalent_orifice: Interval
    exponent: Interval | None
    """d ln Q/d ln dp at the mean pressure; None when the rail is more likely tight than not."""
    law: str
    law_probabilities: dict[str, float]
    cooling_fall: Interval
    """Fall that would have happened without a leak, MPa."""
    mean_pressure: Interval
    """MPa gauge, the sensor's zero taken out."""
    time_until: Interval | None
    smallest_leak: float
    """The least leak (at line) that this test would most likely have told from none."""
    leaks: bool
    """True when a tight rail is next to impossible after the test (`knowledge.STILL_TIGHT`)."""
    collected_draws: tuple[Floats, Floats]
    """Values and weights of `leak_collected`, for verdicts."""
    curves: Curves
    growth: float
    effective: float

    def conformity(self, low: float | None, high: float | None) -> float:
        """Probability that `leak_collected` lies within `low` to `high` (mL/min; None: open)."""
        import numpy as np

        values, weights = self.collected_draws
        inside = np.ones(len(values), dtype=bool)
        if low is not None:
            inside &= values >= low
        if high is not None:
            inside &= values <= high
        return float(weights[inside].sum())


def summarise(posterior: Posterior, asked: Asked) -> HoldEstimate:
    """Outputs of a hold."""
    laws = posterior.probabilities
    states = {law: state(posterior, law, asked.reference) for law in posterior.draws}
    joined = join(list(states.values()))
    leaking = join([found for law, found in states.items() if law != "none"] or list(states.values()))
    named = max(laws, key=lambda law: laws[law])

    def flow(name: str) -> Interval:
        whole = weighted_interval(getattr(joined, name), joined.weights)
        if laws["none"] <= STILL_TIGHT:
            return whole
        # where the rail may be tight the high bound is that of the draws that leak: "if it leaks, less than"
        return whole._replace(low=0.0, high=max(whole.high, weighted_interval(getattr(leaking, name), leaking.weights).high))

    at_line = flow("at_line")
    extra = resampled(posterior)
    return HoldEstimate(
        leak_at_line=at_line,
        leak_collected=flow("collected"),
        collected_at_mean=flow("collected_mean"),
        bulk_modulus=weighted_interval(joined.modulus, joined.weights),
        equivalent_orifice=flow("orifice"),
        exponent=None if laws["none"] > 0.5 else weighted_interval(leaking.exponent, leaking.weights),
        law=named if laws[named] >= NAMED_FROM and posterior.growth < _TOO_MUCH else "unknown",
        law_probabilities=laws,
        cooling_fall=cooling_fall(posterior, extra),
        mean_pressure=weighted_interval(joined.pressure - posterior.task.known.atmosphere, joined.weights),
        time_until=None if asked.until is None else time_until(posterior, extra, asked.until),
        smallest_leak=_smallest(posterior.leak_width),
        leaks=at_line.low > 0.0,
        collected_draws=(joined.collected, joined.weights),
        curves=_curves(posterior),
        growth=posterior.growth,
        effective=1.0 / sum(laws[law] ** 2 / found.effective for law, found in posterior.draws.items()),
    )


def _smallest(width: float) -> float:
    """The leak that nine tests of ten like this one would have told from none; `width` is its standard uncertainty near none.

    A leak of z widths leaves odds of about o exp(-z^2/2) for a tight rail, o being those of a leak of none: belief, times the
    height of a normal of that width over that of the half-Cauchy belief at none.
    """
    height = 1.0 / (math.sqrt(2.0 * math.pi) * width) / (2.0 / (math.pi * LEAK_SCALE))
    odds = TIGHT_BELIEF / (1.0 - TIGHT_BELIEF) * height
    z = math.sqrt(2.0 * max(math.log(odds / STILL_TIGHT), 0.0))
    return (max(z, 1.96) + normal_quantile(0.9)) * width


def _curves(posterior: Posterior) -> Curves:
    task, b, row = posterior.under(posterior.best_law), posterior.task.blocks, posterior.best[None]
    fitted = task.shown(row, task.path(task.members(row)))[:, 0]
    dry = posterior.under("none")
    tight = dry.shown(row, dry.path(dry.members(row)))[:, 0]
    return Curves(b.time, b.pressure, fitted, tight, b.pressure - fitted, posterior.task.sigma, b.duration)
