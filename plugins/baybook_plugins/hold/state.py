"""What weighted draws say at the mean and at the reference pressure: one value of every output for each draw."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, NamedTuple

from baybook.fuels import equations

from .posterior import Posterior
from .trapped import leak

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
else:
    Floats = Any


DISCHARGE_LIMITS = (0.05, 1.0)
"""No hole passes less or more than this."""


class State(NamedTuple):
    """One value for each draw. Flows mL/min, pressures and modulus MPa, diameter mm."""

    weights: Floats
    pressure: Floats
    """Mean of the first and last, absolute."""
    at_line: Floats
    collected_mean: Floats
    collected: Floats
    """At the reference pressure and the stated fuel temperature."""
    orifice: Floats
    modulus: Floats
    exponent: Floats
    share: Floats
    """Share of the flow that goes through clearances, at the middle pressure."""


def join(states: list[State]) -> State:
    """All draws of several laws."""
    import numpy as np

    return State(*(np.concatenate(column) for column in zip(*states, strict=True)))


def state(posterior: Posterior, law: str, reference: float | None) -> State:
    """The draws under one law, weighted by its probability; `reference` in MPa gauge, None for the mean pressure."""
    import numpy as np

    draws, task = posterior.draws[law], posterior.task
    r, c, path = draws.member.rails, draws.member.rails.fuel, draws.path
    p = 0.5 * (path.pressure[0] + path.pressure[-1])
    t = path.temperature[np.argmin(np.abs(path.pressure - p), axis=0), np.arange(len(p))]
    rho = equations.density(c, t, p, np)
    flow = leak(r, task.middle, p, t, rho)
    at_mean = flow * rho / equations.density(c, t, task.known.atmosphere, np)
    difference = np.maximum(p - r.back, 1e-3)
    value, u = task.known.discharge
    discharge = np.clip(value + u * np.random.default_rng(2).standard_normal(len(p)), *DISCHARGE_LIMITS)
    area = np.maximum(flow, 0.0) / 60.0 * 1e-6 / (discharge * np.sqrt(2e6 * difference / rho))
    modulus = equations.isothermal_modulus(c, t, p, np)
    return State(
        weights=draws.weights * posterior.counts[law],
        pressure=p,
        at_line=flow,
        collected_mean=at_mean,
        collected=at_mean if reference is None else _at_reference(posterior, law, reference),
        orifice=np.sqrt(4.0 * area / math.pi) * 1e3,
        modulus=modulus,
        exponent=_exponent(posterior, law, _Point(p, t, rho, flow, modulus)),
        share=r.laminar_share + np.zeros(len(p)),
    )


def _at_reference(posterior: Posterior, law: str, reference: float) -> Floats:
    """Collected flow (mL/min) at `reference` (MPa gauge) and the stated temperature."""
    import numpy as np

    task, r = posterior.task, posterior.draws[law].member.rails
    stated, air = task.known.temperature[0], task.known.atmosphere
    rho = equations.density(r.fuel, stated, reference + air, np)
    light = equations.density(r.fuel, stated, air, np)
    flow: Floats = leak(r, task.middle, reference + air, stated, rho) * rho / light
    return flow


class _Point(NamedTuple):
    pressure: Floats
    temperature: Floats
    density: Floats
    flow: Floats
    modulus: Floats


def _exponent(posterior: Posterior, law: str, at: _Point) -> Floats:
    """d ln Q/d ln dp: each part's own, weighted by its share of the flow there (density moves the orifice's 0.5 a little)."""
    import numpy as np

    middle, r = posterior.task.middle, posterior.draws[law].member.rails
    difference = np.maximum(at.pressure - r.back, 1e-3)
    clear = leak(r._replace(laminar_share=1.0), middle, at.pressure, at.temperature, at.density)
    some = at.flow > 0.0
    part = np.where(some, r.laminar_share * clear / np.where(some, at.flow, 1.0), r.laminar_share)
    exponent: Floats = part * (1.0 - r.laminar_slope * difference) + (1.0 - part) * 0.5 * (1.0 - difference / at.modulus)
    return exponent
