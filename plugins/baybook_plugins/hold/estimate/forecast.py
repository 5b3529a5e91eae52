"""What needs a further integration: the fall that cooling alone would have made, and when a lower pressure is reached."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from baybook_physics.closed_rail import integrate
from baybook_physics.inference.intervals import Interval
from baybook_physics.inference.weights import weighted_interval

from ..simulator.problem import RailProblem
from .posterior import Posterior

Floats = NDArray[np.float64]

HORIZON = 10.0  # holds: beyond that nothing is foretold
_EXTRA = 300  # draws


def resampled(posterior: Posterior) -> dict[str, Floats]:
    """Equally likely rows under each law, as many as the law counts for."""
    rows = {}
    for law, found in posterior.draws.items():
        count = round(_EXTRA * posterior.counts[law])
        if count:
            ladder = (np.arange(count) + 0.5) / count
            rows[law] = found.rows[np.minimum(np.searchsorted(np.cumsum(found.weights), ladder), len(found.rows) - 1)]
    return rows


def cooling_pressure_drop(posterior: Posterior, rows: dict[str, Floats]) -> Interval:
    """Fall of pressure (MPa) over the hold that the same rails would have shown without a leak."""
    dry = np.concatenate(list(rows.values()))
    task = posterior.under("none")
    path = task.simulate(dry).path
    return weighted_interval(path.pressure[0] - path.pressure[-1], np.ones(len(dry)))


def time_until(posterior: Posterior, rows: dict[str, Floats], until: float) -> Interval:
    """Time (s) from the first sample at which the pressure passes `until`; infinite where that takes more than ten holds."""
    times = np.concatenate([_times_until(posterior.under(law), some, until) for law, some in rows.items()])
    low, value, high = np.quantile(times, [0.025, 0.5, 0.975], method="nearest")
    finite = times[np.isfinite(times)]
    return Interval(float(value), float(low), float(high), float(finite.std()) if len(finite) else math.inf)


def pressures_after(posterior: Posterior, rows: dict[str, Floats], after: float) -> tuple[Floats, Floats]:
    """Start pressures and those `after` seconds from the first sample (MPa gauge), of equally likely rails."""
    pairs = []
    for law, some in rows.items():
        task = posterior.under(law)
        nodes = _nodes(task, after)
        nodes = np.unique(np.append(nodes[nodes < after], after))
        path = integrate(task.members(some).rails, task.reference, nodes)
        pairs.append((path.pressure[0] - task.known.atmosphere, path.pressure[-1] - task.known.atmosphere))
    return np.concatenate([first for first, _ in pairs]), np.concatenate([last for _, last in pairs])


def _nodes(task: RailProblem, until: float) -> Floats:
    """The hold's own nodes and further ones; steps short against the quickest heat exchange keep the integrator steady."""
    end = task.bins.duration
    return np.concatenate([task.bins.nodes, np.arange(end, until, max(min(2.0, end / 20.0), task.bins.longest))[1:]])


def _times_until(task: RailProblem, rows: Floats, until: float) -> Floats:
    nodes = _nodes(task, HORIZON * task.bins.duration)
    gauge = integrate(task.members(rows).rails, task.reference, nodes).pressure - task.known.atmosphere
    below = gauge <= until
    at, who = np.maximum(np.argmax(below, axis=0), 1), np.arange(gauge.shape[1])
    left, right = gauge[at - 1, who], gauge[at, who]
    share = np.clip((left - until) / np.where(left > right, left - right, 1.0), 0.0, 1.0)
    times: Floats = np.where(below.any(axis=0), nodes[at - 1] + share * (nodes[at] - nodes[at - 1]), np.inf)
    return times
