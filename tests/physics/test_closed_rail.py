"""Ensembles of closed rails: run together they go where each goes alone."""

from __future__ import annotations

import numpy as np
import pytest

from baybook_physics.closed_rail import Rails, integrate, together
from baybook_physics.fuels import diesel, ester
from baybook_physics.leaks import Leak, ReferenceState

REFERENCE = ReferenceState(80.0, 0.1, 40.0, 840.0, 30.0)
NODES = 30.0 * np.linspace(0.0, 1.0, 41) ** 1.5


def rails(count: int, laminar: float | np.ndarray, *, ester_fuel: bool = False) -> Rails:
    """Some rails of all sizes and warmths."""
    random = np.random.default_rng(count)
    spread = random.uniform(0.8, 1.2, count)
    fuel = (ester() if ester_fuel else diesel()).coefficients
    leak = Leak(2.0 * spread, laminar, np.full(count, 0.002), np.full(count, 0.02), 0.05, 0.1)
    return Rails(
        start=100.0 * spread, volume=25.0 * spread, fuel_start=50.0 * spread, wall_start=np.full(count, 40.0),
        ambient=np.full(count, 20.0), heat_time=12.0 * spread, thin_time=4.0 * spread, thin_share=0.2 * spread,
        wall_rate=1e-3 * random.standard_normal(count), wall_compliance=1.8e-5 * spread, gas=0.0, leak=leak, fuel=fuel,
    )  # fmt: skip


def test_ensembles_of_several_laws_go_together_as_alone() -> None:
    several = [rails(3, 1.0), rails(4, 0.0, ester_fuel=True), rails(5, np.linspace(0.1, 0.9, 5))]
    alone = [integrate(r, REFERENCE, NODES) for r in several]
    at_once = integrate(together(several), REFERENCE, NODES)
    for which, part in enumerate(at_once):
        assert part == pytest.approx(np.hstack([path[which] for path in alone]), rel=1e-12)


def test_halved_steps_change_nothing_that_counts() -> None:
    """A fourth-order rule: half the step, a sixteenth of the error; both below a hundredth of a bar."""
    coarse = integrate(rails(6, 0.5), REFERENCE, NODES)
    fine = integrate(rails(6, 0.5), REFERENCE, np.sort(np.append(NODES, 0.5 * (NODES[1:] + NODES[:-1]))))
    assert coarse.pressure == pytest.approx(fine.pressure[::2], abs=1e-3)
    assert fine.pressure[-1].max() < coarse.pressure[0].max() - 5.0


@pytest.mark.parametrize(("heat", "thin", "off"), [(4.0, 2.0, 0.01), (2.0, 1.0, 0.02), (1.0, 0.5, 0.2), (0.5, 0.2, 2.5)])
def test_heat_that_is_exchanged_more_quickly_than_a_step_follows_stays_steady(heat: float, thin: float, off: float) -> None:
    """In steps of up to six seconds, beside steps sixteen times as fine, MPa: what settles in 2 s is followed."""
    quick = rails(6, 0.5)._replace(heat_time=np.full(6, heat), thin_time=np.full(6, thin))
    nodes = 60.0 * (0.15 * np.linspace(0.0, 1.0, 25) + 0.85 * np.linspace(0.0, 1.0, 25) ** 2)
    fine = np.interp(np.arange(16 * 24 + 1) / 16.0, np.arange(25), nodes)
    coarse = integrate(quick, REFERENCE, nodes).pressure
    assert coarse == pytest.approx(integrate(quick, REFERENCE, fine).pressure[::16], abs=off)
