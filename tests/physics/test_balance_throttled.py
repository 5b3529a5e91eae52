"""A balance of a rail that is seen at rest: what is lost is told by that alone, whatever a control did to the pump before."""

from __future__ import annotations

import numpy as np
import pytest

from baybook_physics.rail import Store, follow
from baybook_physics.rail_balance import Balance, balance

TIME = np.arange(0.0, 20.0, 0.01)
STORE = Store(np.linspace(0.0, 100.0, 3), 20.0 + np.linspace(0.0, 1.3, 3))


def test_a_pump_that_is_throttled_while_it_turns_changes_no_loss() -> None:
    """1.2 cm3/s swept, all of it given for 1 s, then a twentieth; a leak of 0.02 cm3/s for each MPa, twice the stated
    uncertainties and 2 %."""
    given = np.where(TIME < 1.0, 1.2, 0.06)
    path = follow(STORE, 0.0, TIME, lambda now, p: (float(np.interp(now, TIME, given)) if now < 6.0 else 0.0) - 0.02 * p)
    gauge = path + np.random.default_rng(5).normal(0.0, 0.02, len(path))
    found = balance(TIME, STORE.at(gauge), gauge, 1.2 * np.minimum(TIME, 6.0), [(10, 600), (600, 2000)])
    assert found is not None and gauge.max() > 1.3 * found.top
    assert float(found.loss(found.top)) == pytest.approx(
        0.02 * found.top, abs=2 * found.loss_u(found.top) + 0.02 * 0.02 * found.top
    )
    at = float(gauge.max())
    assert abs(float(found.loss(at)) - 0.02 * at) <= 1.96 * found.loss_u(at)


def test_beyond_what_was_seen_a_loss_lies_between_a_hole_and_a_clearance() -> None:
    """At four times the highest pressure a hole lets through twice as much, a clearance four times: 3 in the middle, and a
    uniform spread of 2 over the root of 12 (JCGM 100:2008, 4.3.7)."""
    values = np.array([0.8, 0.0, 0.01, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0])
    found = Balance(values, np.zeros((9, 9)), 10.0)
    assert float(found.loss(40.0)) == pytest.approx(0.3) and found.loss_u(40.0) == pytest.approx(0.1 * 2.0 / 12.0**0.5)
    assert found.loss(np.array([5.0, 10.0])) == pytest.approx(np.array([0.05, 0.1])) and found.loss_u(10.0) == 0.0


def test_errors_of_the_loss_are_in_what_the_pump_gives() -> None:
    """The less is known of the loss, the less of the pump: a noise ten times as great widens both."""
    sure = []
    for noise in (0.02, 0.2):
        path = follow(STORE, 0.0, TIME, lambda now, p: (0.9 if now < 6.0 else 0.0) - 0.02 * p)
        gauge = path + np.random.default_rng(5).normal(0.0, noise, len(path))
        found = balance(TIME, STORE.at(gauge), gauge, 1.2 * np.minimum(TIME, 6.0), [(10, 600), (600, 2000)])
        assert found is not None
        given, u = found.given(1.2, 0.0)
        assert abs(given - 0.9) <= 3 * u + 1e-3
        sure.append((u, found.loss_u(20.0)))
    assert sure[1][0] > 2 * sure[0][0] and sure[1][1] > 2 * sure[0][1]
