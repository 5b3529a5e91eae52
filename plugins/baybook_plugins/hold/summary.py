"""The outputs of a hold from its posterior: flows, law, verdict, and how small a leak this test could have shown."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

from baybook.fuels import equations

from .chance import Interval, normal_quantile
from .fit import Problem
from .knowledge import LEAK_SCALE, TIGHT_BELIEF
from .posterior import Posterior
from .trapped import integrate, leak

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
else:
    Floats = Any

NAMED_FROM = 0.9
"""A law is named from this probability on; below it, it is "unknown"."""
_TOO_MUCH = 2.5  # times the noise left over: something else moved the pressure, and no law is to be named from it
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

    laws = posterior.probabilities
    states = {law: _state(posterior, law, asked) for law in posterior.draws}
    joined = _join(list(states.values()))
    leaking = _join([state for law, state in states.items() if law != "none"] or list(states.values()))
    named = max(laws, key=lambda law: laws[law])

    def flow(name: str) -> Interval:
        return _flow_interval(getattr(joined, name), joined.weights, getattr(leaking, name), leaking.weights)

    at_line = flow("at_line")
    extra = _resampled(posterior)
    return HoldEstimate(
        leak_at_line=at_line,
        leak_collected=flow("collected"),
        collected_at_mean=flow("collected_mean"),
        bulk_modulus=weighted_interval(joined.modulus, joined.weights),
        equivalent_orifice=flow("orifice"),
        exponent=None if laws["none"] > 0.5 else weighted_interval(leaking.exponent, leaking.weights),
        law=named if laws[named] >= NAMED_FROM and posterior.growth < _TOO_MUCH else "unknown",
        law_probabilities=laws,
        cooling_fall=_cooling(posterior, extra),
        mean_pressure=weighted_interval(joined.pressure - posterior.task.known.atmosphere, joined.weights),
        time_until=None if asked.until is None else _time_until(posterior, extra, asked.until),
        smallest_leak=_smallest(posterior.leak_width),
        leaks=at_line.low > 0.0,
        collected_draws=(joined.collected, joined.weights),
        curves=_curves(posterior),
        growth=posterior.growth,
        effective=1.0 / sum(laws[law] ** 2 / found.effective for law, found in posterior.draws.items()),
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
    """Interval of a flow. Where the rail may be tight the high bound is that of the draws that leak: "if it leaks, less
    than"."""
    whole = weighted_interval(values, weights)
    return whole._replace(high=max(whole.high, weighted_interval(leaking, leaking_weights).high))


def _join(states: list[_State]) -> _State:
    import numpy as np

    return _State(*(np.concatenate(column) for column in zip(*states, strict=True)))


def _state(posterior: Posterior, law: str, asked: Asked) -> _State:
    import numpy as np

    draws, share = posterior.draws[law], posterior.probabilities[law]
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


def _resampled(posterior: Posterior) -> dict[str, Floats]:
    """Equally likely rows under each law, as many as the law's probability earns."""
    import numpy as np

    rows = {}
    for law, found in posterior.draws.items():
        count = round(_EXTRA * posterior.probabilities[law])
        if count:
            ladder = (np.arange(count) + 0.5) / count
            rows[law] = found.rows[np.minimum(np.searchsorted(np.cumsum(found.weights), ladder), len(found.rows) - 1)]
    return rows


def _cooling(posterior: Posterior, rows: dict[str, Floats]) -> Interval:
    import numpy as np

    dry = np.concatenate(list(rows.values()))
    task = posterior.under("none")
    path = task.path(task.members(dry))
    return weighted_interval(path.pressure[0] - path.pressure[-1], np.ones(len(dry)))


def _time_until(posterior: Posterior, rows: dict[str, Floats], until: float) -> Interval:
    """Time (s) from the first sample at which the pressure passes `until`; infinite where that takes more than ten holds."""
    import numpy as np

    times = np.concatenate([_times_until(posterior.under(law), some, until) for law, some in rows.items()])
    low, value, high = np.quantile(times, [0.025, 0.5, 0.975], method="nearest")
    finite = times[np.isfinite(times)]
    return Interval(float(value), float(low), float(high), float(finite.std()) if len(finite) else math.inf)


def _times_until(task: Problem, rows: Floats, until: float) -> Floats:
    import numpy as np

    end = task.blocks.duration
    # beyond the hold, steps short against the quickest heat exchange keep the integrator steady
    nodes = np.concatenate([task.blocks.nodes, np.arange(end, _HORIZON * end, min(2.0, end / 20.0))[1:]])
    gauge = integrate(task.members(rows).rails, task.middle, nodes).pressure - task.known.atmosphere
    below = gauge <= until
    at, who = np.maximum(np.argmax(below, axis=0), 1), np.arange(gauge.shape[1])
    left, right = gauge[at - 1, who], gauge[at, who]
    share = np.clip((left - until) / np.where(left > right, left - right, 1.0), 0.0, 1.0)
    times: Floats = np.where(below.any(axis=0), nodes[at - 1] + share * (nodes[at] - nodes[at - 1]), np.inf)
    return times


def _smallest(width: float) -> float:
    """The leak that nine tests of ten like this one would have told from none.

    The low bound leaves nothing once the odds for a tight rail fall below 1 in 40; for a leak of z widths they are about
    o (z-free part) exp(-z^2/2).
    """
    plain = TIGHT_BELIEF / (1.0 - TIGHT_BELIEF) / (math.sqrt(2.0 * math.pi) * width) * math.pi * LEAK_SCALE / 2.0
    z = math.sqrt(2.0 * max(math.log(max(plain * 39.0, 1.0)), 0.0))
    return (max(z, 1.96) + normal_quantile(0.9)) * width


def _curves(posterior: Posterior) -> Curves:
    task, b, row = posterior.under(posterior.best_law), posterior.task.blocks, posterior.best[None]
    fitted = task.shown(row, task.path(task.members(row)))[:, 0]
    dry = posterior.under("none")
    tight = dry.shown(row, dry.path(dry.members(row)))[:, 0]
    return Curves(b.time, b.pressure, fitted, tight, b.pressure - fitted, posterior.task.sigma, b.duration)
