"""What weighted draws say at the mean and at the reference pressure: one value of every output for each draw."""

from __future__ import annotations

from random import Random
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from baybook_physics.fuels import equations
from baybook_physics.leaks import LEAST_DENSITY, flow_exponent, volume_flow
from baybook_physics.orifice import equivalent_diameter

from .posterior import Posterior

Floats = NDArray[np.float64]

DISCHARGE_LIMITS = (0.05, 1.0)
"""No hole passes less or more than this."""


class Flows(NamedTuple):
    """One value for each draw. Flows mL/min, pressures and modulus MPa, diameter mm."""

    weights: Floats
    pressure: Floats
    """Mean of the first and last, absolute."""
    at_line: Floats
    collected: Floats
    """At the reference pressure and the stated fuel temperature."""
    orifice: Floats
    modulus: Floats
    exponent: Floats
    share: Floats
    """Share of the flow that goes through clearances, at the middle pressure."""


def join(flows: list[Flows]) -> Flows:
    """All draws of several laws."""
    return Flows(*(np.concatenate(column) for column in zip(*flows, strict=True)))


def flows_under(posterior: Posterior, law: str, reference: float | None) -> Flows:
    """The draws under one law, weighted by its probability; `reference` in MPa gauge, None for the mean pressure."""
    draws, task = posterior.draws[law], posterior.task
    (r, path), c = draws.simulation, draws.simulation.rails.fuel
    p = 0.5 * (path.pressure[0] + path.pressure[-1])
    t = path.temperature[np.argmin(np.abs(path.pressure - p), axis=0), np.arange(len(p))]
    rho = np.maximum(equations.density(c, t, p, np), LEAST_DENSITY)
    flow = volume_flow(r.leak, task.reference, p, t, rho)
    at_mean = flow * rho / equations.density(c, t, task.known.atmosphere, np)
    difference = np.maximum(p - r.leak.back, 1e-3)
    value, u = task.known.discharge
    discharge = np.clip(value + u * _normals(len(p)), *DISCHARGE_LIMITS)
    modulus = equations.isothermal_modulus(c, t, p, np)
    return Flows(
        weights=draws.weights * posterior.counts[law],
        pressure=p,
        at_line=flow,
        collected=at_mean if reference is None else _at_reference(posterior, law, reference),
        orifice=equivalent_diameter(np.maximum(flow, 0.0), difference, rho, discharge, np),
        modulus=modulus,
        exponent=flow_exponent(r.leak, task.reference, p, t, rho, modulus),
        share=r.leak.laminar_share + np.zeros(len(p)),
    )


def _normals(count: int) -> Floats:
    """Standard normals, the same each time."""
    random = Random(2)
    return np.array([random.gauss(0.0, 1.0) for _ in range(count)])


def _at_reference(posterior: Posterior, law: str, reference: float) -> Floats:
    """Collected flow (mL/min) at `reference` (MPa gauge) and the stated temperature."""
    task, r = posterior.task, posterior.draws[law].simulation.rails
    stated, air = task.known.temperature[0], task.known.atmosphere
    rho = equations.density(r.fuel, stated, reference + air, np)
    light = equations.density(r.fuel, stated, air, np)
    flow: Floats = volume_flow(r.leak, task.reference, reference + air, stated, rho) * rho / light
    return flow
