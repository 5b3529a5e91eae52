"""The outputs of a hold from its posterior: flows, law, verdict, and how small a leak this test could have shown."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

from baybook.fuels import equations

from .chance import Interval, normal_quantile
from .draws import Draws
from .knowledge import LEAK_SCALE, TIGHT_BELIEF
from .posterior import Posterior
from .prior import NAMES
from .trapped import integrate, leak

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
else:
    Floats = Any

LAWS = ("laminar", "orifice", "mixed", "none")
NAMED_FROM = 0.9
"""A law is named from this probability on; below it, it is "unknown"."""
_EDGE = 0.15  # share of the other kind that still counts as one kind
_HORIZON = 10.0  # holds
_EXTRA = 300  # draws for what needs a further integration


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
    """True when no leak at all is outside the 95 % interval."""
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


class _State(NamedTuple):
    """What a set of draws says at the mean pressure."""

    weights: Floats
    pressure: Floats
    at_line: Floats
    collected_mean: Floats
    collected: Floats
    orifice: Floats
    modulus: Floats
    exponent: Floats


def summarise(posterior: Posterior, asked: Asked) -> HoldEstimate:
    """Outputs of a hold."""
    import numpy as np

    parts = [(posterior.leaking, 1.0 - posterior.tight_probability)]
    if posterior.tight is not None and posterior.tight_probability > 0.0:
        parts.append((posterior.tight, posterior.tight_probability))
    states = [_state(posterior, draws, share, asked) for draws, share in parts]
    joined = _State(*(np.concatenate(column) for column in zip(*states, strict=True)))
    laws = _law_probabilities(posterior)
    named = max(laws, key=lambda law: laws[law])
    flow = lambda name: _flow_interval(getattr(joined, name), joined.weights, getattr(states[0], name), states[0].weights)  # noqa: E731
    at_line = flow("at_line")
    rows = _resampled(parts)
    tight = posterior.tight_probability > 0.5
    return HoldEstimate(
        leak_at_line=at_line,
        leak_collected=flow("collected"),
        collected_at_mean=flow("collected_mean"),
        bulk_modulus=weighted_interval(joined.modulus, joined.weights),
        equivalent_orifice=flow("orifice"),
        exponent=None if tight else weighted_interval(states[0].exponent, states[0].weights),
        law=named if laws[named] >= NAMED_FROM else "unknown",
        law_probabilities=laws,
        cooling_fall=_cooling(posterior, rows),
        mean_pressure=weighted_interval(joined.pressure - posterior.task.known.atmosphere, joined.weights),
        time_until=None if asked.until is None else _time_until(posterior, rows, asked.until),
        smallest_leak=_smallest(posterior.leak_width),
        leaks=at_line.low > 0.0,
        collected_draws=(joined.collected, joined.weights),
        curves=_curves(posterior),
        growth=posterior.growth,
        effective=posterior.leaking.effective,
    )


def weighted_interval(values: Floats, weights: Floats) -> Interval:
    """Median, 95 % bounds and standard deviation of weighted draws."""
    import numpy as np

    order = np.argsort(values)
    v, w = values[order], weights[order] / weights.sum()
    place = np.cumsum(w) - 0.5 * w
    median, low, high = np.interp([0.5, 0.025, 0.975], place, v)
    mean = float(w @ v)
    return Interval(float(median), float(low), float(high), math.sqrt(float(w @ (v - mean) ** 2)))


def _flow_interval(values: Floats, weights: Floats, leaking: Floats, leaking_weights: Floats) -> Interval:
    """Interval of a flow. Where the rail may be tight the high bound is that of the draws that leak: "if it leaks, less than"."""
    whole = weighted_interval(values, weights)
    return whole._replace(high=max(whole.high, weighted_interval(leaking, leaking_weights).high))


def _state(posterior: Posterior, draws: Draws, share: float, asked: Asked) -> _State:
    import numpy as np

    task, r, c = posterior.task, draws.member.rails, draws.member.rails.fuel
    first, last = draws.path.pressure[0], draws.path.pressure[-1]
    p = 0.5 * (first + last)
    t = draws.path.temperature[np.argmin(np.abs(draws.path.pressure - p), axis=0), np.arange(len(p))]
    stated, air = task.known.temperature[0], task.known.atmosphere
    rho = equations.density(c, t, p, np)
    flow = leak(r, task.middle, p, t, rho)
    light = equations.density(c, t, air, np)
    if asked.reference is None:
        collected = flow * rho / light
    else:
        p_ref = asked.reference + air
        rho_ref = equations.density(c, stated, p_ref, np)
        collected = leak(r, task.middle, p_ref, stated, rho_ref) * rho_ref / equations.density(c, stated, air, np)
    difference = p - task.middle.back
    area = flow / 60.0 * 1e-6 / (task.known.discharge * np.sqrt(2e6 * difference / rho))
    modulus = equations.isothermal_modulus(c, t, p, np)
    clear = leak(r._replace(laminar_share=1.0), task.middle, p, t, rho)
    part = np.where(flow > 0.0, r.laminar_share * clear / np.where(flow > 0.0, flow, 1.0), r.laminar_share)
    exponent = part * (1.0 - r.laminar_slope * difference) + (1.0 - part) * 0.5 * (1.0 - difference / modulus)
    return _State(
        draws.weights * share, p, flow, flow * rho / light, collected, np.sqrt(4.0 * np.maximum(area, 0.0) / math.pi) * 1e3,
        modulus, exponent,
    )  # fmt: skip


def _law_probabilities(posterior: Posterior) -> dict[str, float]:
    share, weights = posterior.leaking.member.rails.laminar_share, posterior.leaking.weights
    leaks = 1.0 - posterior.tight_probability
    laminar = float(weights[share > 1.0 - _EDGE].sum()) * leaks
    orifice = float(weights[share < _EDGE].sum()) * leaks
    return {
        "laminar": laminar, "orifice": orifice, "mixed": max(leaks - laminar - orifice, 0.0), "none": posterior.tight_probability,
    }  # fmt: skip


def _resampled(parts: list[tuple[Draws, float]]) -> Floats:
    """Equally likely rows of all parts together."""
    import numpy as np

    rows = np.concatenate([draws.rows for draws, _ in parts])
    weights = np.concatenate([draws.weights * share for draws, share in parts])
    ladder = (np.arange(_EXTRA) + 0.5) / _EXTRA * weights.sum()
    return rows[np.minimum(np.searchsorted(np.cumsum(weights), ladder), len(rows) - 1)]


def _cooling(posterior: Posterior, rows: Floats) -> Interval:
    import numpy as np

    dry = rows.copy()
    dry[:, NAMES.index("rate")] = 0.0
    path = posterior.task.path(posterior.task.members(dry))
    return weighted_interval(path.pressure[0] - path.pressure[-1], np.ones(len(rows)))


def _time_until(posterior: Posterior, rows: Floats, until: float) -> Interval:
    """Time (s) from the first sample at which the pressure passes `until`; infinite where that takes more than ten holds."""
    import numpy as np

    task = posterior.task
    end = task.blocks.duration
    # beyond the hold, steps short against the quickest heat exchange keep the integrator steady
    nodes = np.concatenate([task.blocks.nodes, np.arange(end, _HORIZON * end, min(2.0, end / 20.0))[1:]])
    path = integrate(task.members(rows).rails, task.middle, nodes)
    gauge = path.pressure - task.known.atmosphere
    below = gauge <= until
    at = np.argmax(below, axis=0)
    found = below.any(axis=0)
    at = np.maximum(at, 1)
    who = np.arange(len(at))
    left, right = gauge[at - 1, who], gauge[at, who]
    share = np.clip((left - until) / np.where(left > right, left - right, 1.0), 0.0, 1.0)
    times = np.where(found, nodes[at - 1] + share * (nodes[at] - nodes[at - 1]), np.inf)
    low, value, high = np.quantile(times, [0.025, 0.5, 0.975], method="nearest")
    finite = times[np.isfinite(times)]
    return Interval(float(value), float(low), float(high), float(finite.std()) if len(finite) else math.inf)


def _smallest(width: float) -> float:
    """The leak that nine tests of ten like this one would have told from none.

    The low bound leaves nothing once the odds for a tight rail fall below 1 in 40; for a leak of z widths they are about
    o (z-free part) exp(-z^2/2).
    """
    plain = TIGHT_BELIEF / (1.0 - TIGHT_BELIEF) / (math.sqrt(2.0 * math.pi) * width) * math.pi * LEAK_SCALE / 2.0
    z = math.sqrt(2.0 * max(math.log(max(plain * 39.0, 1.0)), 0.0))
    return (max(z, 1.96) + normal_quantile(0.9)) * width


def _curves(posterior: Posterior) -> Curves:
    import numpy as np

    task, b = posterior.task, posterior.task.blocks
    rows = np.vstack([posterior.best, posterior.best])
    rows[1, NAMES.index("rate")] = 0.0
    shown = task.shown(rows, task.path(task.members(rows)))
    return Curves(b.time, b.pressure, shown[:, 0], shown[:, 1], b.pressure - shown[:, 0], task.sigma)
