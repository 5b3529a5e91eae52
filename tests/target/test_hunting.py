"""A pressure that hunts is told from the strokes of a pump. The swings are built here, so their size and period are known."""

from __future__ import annotations

import numpy as np
import pytest

from baybook_plugins.target.hunting import hunting

T = np.arange(0.0, 40.0, 0.02)
RPM = np.full(len(T), 800.0)


def swinging(half: float, period: float, noise: float = 3.0) -> np.ndarray:
    return half * np.sin(2 * np.pi * T / period) + np.random.default_rng(5).normal(0.0, noise, len(T))


@pytest.mark.parametrize(("half", "period"), [(22.0, 2.5), (15.0, 4.0), (40.0, 1.2)])
def test_size_period_and_mean_of_a_slow_swing_are_found(half: float, period: float) -> None:
    found = hunting(T, 1.5 + swinging(half, period), RPM)
    assert found is not None
    assert found.period.low <= period <= found.period.high or abs(found.period.value - period) < 0.02 * period
    assert found.half == pytest.approx(half, rel=0.25)
    assert found.mean == pytest.approx(1.5, abs=1.0)


@pytest.mark.parametrize(
    "away",
    [
        swinging(0.0, 2.5),  # noise alone
        swinging(22.0, 0.15),  # as often as a pump at half the engine's speed turns
        swinging(22.0, 2.5) - 60.0,  # it lies below its target all the time
        np.where(T % 10 > 9, -60.0, 0.0),  # it dips and comes back, and never rises above
        np.where(T < 20, -30.0, 30.0) + swinging(0.0, 1.0),  # it goes from below to above, once
    ],
)  # fmt: skip
def test_what_is_no_slow_swing_about_the_target_is_not_called_so(away: np.ndarray) -> None:
    assert hunting(T, away, RPM) is None


def test_one_weak_element_while_cranking_swings_with_each_turn_of_the_pump_and_does_not_hunt() -> None:
    """Half of 240 rpm: a swing in half a second, which at idle would be hunting."""
    away = swinging(22.0, 0.5)
    assert hunting(T, away, np.full(len(T), 240.0)) is None
    assert hunting(T, away, RPM) is not None
