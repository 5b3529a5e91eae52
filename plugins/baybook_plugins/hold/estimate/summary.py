"""The outputs of a hold from its posterior: flows, law, verdict, and how small a leak this test could have shown."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from baybook.dataclass import dataclass
from baybook_physics.inference.intervals import Interval, normal_quantile
from baybook_physics.inference.weights import weighted_interval

from ..beliefs import LEAK_SCALE, STILL_TIGHT, TIGHT_BELIEF
from .flows import Flows, flows_under, join
from .forecast import cooling_pressure_drop, pressures_after, resampled, time_until
from .posterior import Posterior

Floats = NDArray[np.float64]

NAMED_FROM = 0.85
"""A law is named from this probability on; below it, it is "unknown". What is named is then right more than nine times in ten,
since most of it lies well above."""
NONE_FROM = 0.85
"""No leak is named from this probability on: what leaks less than shows can't be told from none, so more is hard to come by."""
MOSTLY = 0.7
"""A leak is named after what carries more than this share of it at the middle pressure; in between it is "mixed"."""


@dataclass(frozen=True)
class Asked:
    """What the user wants to know; pressures MPa gauge."""

    reference: float | None = None
    """Where `leak_collected` is stated; None: at the mean of first and last pressure."""
    until: float | None = None
    """A lower pressure, to say when it is reached."""
    after: float | None = None
    """s from the start, to say what pressure is left."""


class Curves(NamedTuple):
    """For a plot; shape (bins,). Times s, pressures MPa gauge."""

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
    bulk_modulus: Interval
    equivalent_orifice: Interval
    exponent: Interval | None
    """d ln Q/d ln dp at the mean pressure; None when the rail is more likely tight than not."""
    law: str
    shares: dict[str, float]
    """If it leaks, how likely the leak is mostly a clearance's, mostly a hole's, or both; see `MOSTLY`."""
    cooling_pressure_drop: Interval
    """Fall that would have happened without a leak, MPa."""
    mean_pressure: Interval
    """MPa gauge, the sensor's zero taken out."""
    time_until: Interval | None
    detection_limit: float
    """The least leak (at line) that this test would most likely have told from none."""
    leaks: bool
    """True when a tight rail is next to impossible after the test (`beliefs.STILL_TIGHT`)."""
    collected_draws: tuple[Floats, Floats]
    """Values and weights of `leak_collected`, for verdicts."""
    curves: Curves
    noise_inflation: float
    fits: bool
    """See `Explained.good`."""
    after_draws: tuple[Floats, Floats] | None
    """Pressures (MPa gauge) at `Asked.after`, the sensor's zero taken out, and weights."""
    fall_draws: tuple[Floats, Floats] | None
    tight_share: float
    """How probable a tight rail is."""


def summarise(posterior: Posterior, asked: Asked) -> HoldEstimate:
    """Outputs of a hold."""
    laws = posterior.probabilities
    states = {law: flows_under(posterior, law, asked.reference) for law in posterior.draws}
    joined = join(list(states.values()))
    leaking = join([found for law, found in states.items() if law != "none"] or list(states.values()))

    def flow(name: str) -> Interval:
        found = weighted_interval(np.maximum(getattr(joined, name), 0.0), joined.weights)
        return found._replace(value=0.0) if posterior.counts["none"] >= 0.5 else found

    at_line = flow("at_line")
    extra = resampled(posterior)
    left = None if asked.after is None else pressures_after(posterior, extra, asked.after)
    return HoldEstimate(
        leak_at_line=at_line,
        leak_collected=flow("collected"),
        bulk_modulus=weighted_interval(joined.modulus, joined.weights),
        equivalent_orifice=flow("orifice"),
        exponent=None if laws["none"] > 0.5 else weighted_interval(leaking.exponent, leaking.weights),
        law=_law(states, laws) if posterior.fits else "unknown",
        shares=_shares(states, laws),
        cooling_pressure_drop=cooling_pressure_drop(posterior, extra),
        mean_pressure=weighted_interval(joined.pressure - posterior.task.known.atmosphere, joined.weights),
        time_until=None if asked.until is None else time_until(posterior, extra, asked.until),
        detection_limit=_detection_limit(posterior.leak_width),
        leaks=at_line.low > 0.0,
        collected_draws=(np.maximum(joined.collected, 0.0), joined.weights),
        after_draws=None if left is None else (left[1], np.ones(len(left[1]))),
        fall_draws=None if left is None else (left[0] - left[1], np.ones(len(left[1]))),
        tight_share=laws["none"],
        curves=_curves(posterior),
        noise_inflation=posterior.inflation,
        fits=posterior.fits,
    )


def _shares(states: dict[str, Flows], laws: dict[str, float]) -> dict[str, float]:
    found = dict.fromkeys(("laminar", "orifice", "mixed"), 0.0)
    for law, draws in states.items():
        if law != "none":
            weights = draws.weights / max(float(draws.weights.sum()), 1e-300) * laws[law]
            found["laminar"] += float(weights[draws.share > MOSTLY].sum())
            found["orifice"] += float(weights[draws.share < 1.0 - MOSTLY].sum())
            found["mixed"] += float(weights[(draws.share <= MOSTLY) & (draws.share >= 1.0 - MOSTLY)].sum())
    total = sum(found.values()) or 1.0
    return {law: min(share / total, 1.0) for law, share in found.items()}


def _law(states: dict[str, Flows], laws: dict[str, float]) -> str:
    if laws["none"] >= NONE_FROM:
        return "none"
    found = _shares(states, laws)
    named = max(found, key=lambda law: found[law])
    return named if found[named] * (1.0 - laws["none"]) >= NAMED_FROM else "unknown"


def _detection_limit(width: float) -> float:
    """The leak that nine tests of ten like this one would have told from none; `width` is its standard uncertainty near none.

    A leak of z widths leaves odds of about o exp(-z^2/2) for a tight rail, o being those of a leak of none: belief, times the
    height of a normal of that width over that of the half-Cauchy belief at none.
    """
    height = 1.0 / (math.sqrt(2.0 * math.pi) * width) / (2.0 / (math.pi * LEAK_SCALE))
    odds = TIGHT_BELIEF / (1.0 - TIGHT_BELIEF) * height
    z = math.sqrt(2.0 * max(math.log(odds / STILL_TIGHT), 0.0))
    return (max(z, 1.96) + normal_quantile(0.9)) * width


def _curves(posterior: Posterior) -> Curves:
    task, b, row = posterior.under(posterior.best_law), posterior.task.bins, posterior.best[None]
    fitted = task.shown(row, task.simulate(row))[:, 0]
    dry = posterior.under("none")
    tight = dry.shown(row, dry.simulate(row))[:, 0]
    return Curves(b.time, b.value, fitted, tight, b.value - fitted, posterior.task.sigma, b.duration)
