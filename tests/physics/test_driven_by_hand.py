"""What is said of a coil's pulses and periods, each by error propagation (JCGM 100) on made ones."""

from __future__ import annotations

from math import hypot, sqrt

import numpy as np
import pytest

from baybook_physics.driven import (
    Number,
    _armature,
    _at,
    _earliest,
    _hold,
    _peak,
    coil_of,
    is_silent,
    mean_of,
    of_periods,
    of_pulses,
    steady_rows,
)
from baybook_physics.pulses import Fit, Kink, Periods, Pulse, pulses

NOISE = 8.0 / 0.6745 / 20.0**0.5  # scatter that third differences of 8 make, those of 1 up and down in turn


@pytest.mark.parametrize(("spread", "silent"), [(11.9, True), (12.1, False)])
def test_a_current_that_spreads_by_less_than_twelve_times_its_noise_is_silent(spread: float, silent: bool) -> None:
    current = (-1.0) ** np.arange(200)
    current[100:] += spread * NOISE - 2.0
    assert is_silent(current) == silent


@pytest.mark.parametrize("usual", [25.0, 0.0, -10.0])
def test_the_usual_duty_is_met_to_a_fiftieth_and_a_half(usual: float) -> None:
    away = 0.02 * abs(usual) + 0.5
    duty = usual + np.array([0.0, 0.0, 0.0, 0.0, 0.99 * away, -0.99 * away, 1.01 * away, -1.01 * away])
    assert steady_rows(duty, np.ones(8)).tolist() == [True] * 6 + [False] * 2


def test_a_mean_is_no_surer_than_the_least_lets_it_be() -> None:
    values = np.array([1.0, 2.0, 4.0, 5.0])
    assert mean_of(values) == pytest.approx((3.0, np.std(values, ddof=1) / 2))
    assert mean_of(values, 1.0) == mean_of(values)
    assert mean_of(values, 6.0) == pytest.approx((3.0, 3.0)) and mean_of(values[:1]) == (1.0, 0.0)
    assert mean_of(values[:2]) == pytest.approx((1.5, 0.5))


@pytest.mark.parametrize("duty", [0.3, 0.7])
def test_periods_by_hand(duty: float) -> None:
    """f = 1/T, u(f) = u(T)/T^2; either turning point lies within a step (a rectangle) and noise over the flatter slope."""
    step, size = 1e-4, 1e-3
    time = np.arange(400) * step
    current = size * (-1.0) ** np.arange(400)
    length, low, high = np.array([0.009, 0.01, 0.012]), np.array([0.5, 0.6, 0.7]), np.array([1.5, 1.6, 1.7])
    shares = duty + np.array([-0.01, 0.0, 0.01])
    found = of_periods(time, current, Periods(length, shares, low, high, 0.5 * (low + high)))
    assert found.frequency == pytest.approx((100.0, np.std(length) / 0.01**2 / sqrt(3)))
    edge = hypot(step / sqrt(12), NOISE * size / (1.0 / (0.01 * 0.7)))
    assert found.duty == pytest.approx((duty, hypot(np.std(shares) / sqrt(3), sqrt(2) * edge / 0.01)))
    assert (found.low, found.high, found.mean) == (mean_of(low), mean_of(high), mean_of(0.5 * (low + high)))
    even = of_periods(time, current, Periods(np.full(3, 0.01), shares, low, high, high))
    assert 0.0 < even.frequency.u < 1e-6, "a frequency is never known exactly"


def test_a_step_lies_within_half_a_lines_width_and_two_samples() -> None:
    time = np.arange(50) * 0.1
    assert _at(time, 20, 10) == pytest.approx((2.0, 1.5, 2.5)) and _at(time, 20, 2) == pytest.approx((2.0, 1.8, 2.2))
    assert _at(time, 2, 10) == pytest.approx((0.2, 0.0, 0.7)) and _at(time, 60, 10) == pytest.approx((4.9, 4.4, 5.4))


def test_an_armature_moves_off_as_early_before_the_kink_as_it_stops_behind() -> None:
    time = np.arange(200) * 0.1
    seen = Kink(100, 130, -1.0, 1.0, 10)
    assert _earliest(seen) == 70 and _earliest(Kink(20, 60, -1.0, 1.0, 10)) == 0
    assert _armature(time, seen) == (pytest.approx((10.0, 7.0, 10.5)), pytest.approx((13.0, 12.5, 13.5)))
    assert _armature(time, Kink(100, 103, -1.0, 1.0, 10)).starts == pytest.approx((10.0, 9.5, 10.5))


def test_a_pulse_that_was_held_is_its_last_third() -> None:
    """Well below the peak: less than 0.85 of it; nine samples at least."""
    for level, length, held in ((8.4, 30, 8.4), (8.6, 30, None), (5.0, 9, 5.0), (5.0, 8, None)):
        current = np.concatenate(
            [[0.0, 10.0], np.full(length - 1 - length // 3, 7.0), np.full(length // 3, level), np.zeros(9)]
        )
        found = _hold(current, Pulse(0, 1, 1 + length, 1 + length))
        assert found == (None if held is None else pytest.approx(held))


def test_a_sharp_peak_lies_between_two_samples() -> None:
    """Up by 1 a sample to 10 without noise: up to half a step higher, a quarter in the middle; a rectangle of half a step has
    half a step over the root of 12, here taken a little wider, as a quarter."""
    one = np.concatenate([np.zeros(30), np.arange(1.0, 11.0), [5.0], np.zeros(60)])
    current = np.tile(one, 4)
    assert _peak(current, pulses(current)) == pytest.approx((10.25, 0.25))


def test_a_flat_peak_is_not_the_highest_of_its_noise() -> None:
    """200 samples at 10 A with a noise of 0.05: of fifty recordings the mean error is a third of the noise at most, where the
    highest is 2.7 times the noise too high; and the stated uncertainty covers them (19 of 20)."""
    away, within = [], 0
    for seed in range(50):
        shape = np.concatenate(
            [np.zeros(100), np.linspace(0.0, 10.0, 50), np.full(200, 10.0), np.linspace(10.0, 0.0, 50), np.zeros(300)]
        )
        current = shape + np.random.default_rng(seed).normal(0.0, 0.05, len(shape))
        found = _peak(current, pulses(current))
        away.append(found.value - 10.0)
        within += abs(found.value - 10.0) < 2.0 * found.u
        assert 0.05 < found.u < 0.1
    assert abs(np.mean(away)) < 0.05 * 1.5 and within >= 45


def test_the_highest_of_many_alike_is_half_the_excess_too_high() -> None:
    """Fifty alike at 10 A, up and down by 0.01 in turn: of n normals the highest is sqrt(2 ln n) scatters too high at most; in
    the middle of that, with a rectangle's standard deviation (JCGM 100, 4.3.7) beside the noise."""
    shape = np.concatenate([np.zeros(100), np.full(50, 10.0), np.zeros(150)])
    shape[124] += 1e-7  # the highest is amid them
    current = np.tile(shape, 3) + 0.01 * (-1.0) ** np.arange(900)
    most = 0.01 * NOISE * sqrt(2.0 * np.log(50.0))
    found = _peak(current, pulses(current))
    assert found == pytest.approx((10.01 - most / 2, hypot(0.01 * NOISE, most / sqrt(12))), rel=1e-4)


def test_a_coil_by_hand() -> None:
    """L = U a and R = U b share the supply's relative error; their ratio has none of it."""
    fit = Fit(1e-4, 0.05, 1e-6, 0.001)
    coil = coil_of(fit, Number(13.5, 0.27))
    assert coil.inductance == pytest.approx((1.35e-3, 1.35e-3 * hypot(0.01, 0.02)))
    assert coil.resistance == pytest.approx((0.675, 0.675 * hypot(0.02, 0.02)))
    assert coil_of(fit, None).time_constant == pytest.approx((2e-3, 2e-3 * hypot(0.01, 0.02)))
    none = (None, None, None)
    assert (
        coil_of(fit._replace(resistance=0.0), None) == none and coil_of(fit._replace(inductance=0.0), Number(12.0, 0.1)) == none
    )
    assert coil_of(fit._replace(resistance=-0.5), Number(12.0, 0.1)).resistance == pytest.approx(
        (-6.0, 6.0 * hypot(0.002, 1 / 120))
    )


def test_the_rise_ends_where_the_armature_may_move_first() -> None:
    """Straight lines with knees at samples 300 and 350: the rise is taken to 250, but for a line's width; a clamp that shows
    0.4 A at rest is taken off."""
    at = np.arange(600.0)
    rise = 0.02 * at - 0.015 * np.maximum(at - 300, 0.0) + 0.015 * np.maximum(at - 350, 0.0)
    current = 0.4 + np.concatenate([np.zeros(300), rise, np.linspace(rise[-1], 0.0, 12), np.zeros(300)])
    time = np.arange(len(current)) * 1e-5
    whole = pulses(current)
    found = of_pulses(time, current, whole, whole[0])
    assert found.armature is not None and found.rise is not None
    assert found.armature.starts[0] == pytest.approx(300e-5, abs=2e-5)
    assert found.armature.starts[1] == pytest.approx(250e-5, abs=6e-5)
    assert found.rise.inductance == pytest.approx(1e-5 / 0.02, rel=1e-3) and abs(found.rise.resistance) < 1e-6
    assert found.length.value == pytest.approx(600e-5, rel=0.01) and found.length.u == pytest.approx(1e-5)
