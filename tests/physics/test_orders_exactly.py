"""Orders in recordings whose Fourier integrals are known, and where a block or a stretch begins and ends."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import cumulative_trapezoid

from baybook_physics.orders import measured_orders, pulsation, share_by_speed, steady_stretch, turned

TURNS = np.linspace(3.0, 9.0, 6001)


@pytest.mark.parametrize("turns", [TURNS, 3.0 + 6.0 * (0.7 * (TURNS / 6.0 - 0.5) + 0.3 * (TURNS / 6.0 - 0.5) ** 2)])
@pytest.mark.parametrize("away", [-0.47, -0.38, 0.0, 0.2, 0.38, 0.47])
def test_a_wave_between_two_orders_is_weakened_as_a_hann_window_does(turns: np.ndarray, away: float) -> None:
    """By |W(d)| = |sinc(d)/(1 - d^2)| with d bins between, six to an order (Harris, Proc. IEEE 66 (1978) 51), also where the
    speed rises: 10 at order 30 and a little beside it, seen at 30."""
    d = 6.0 * away
    wave = 10.0 * np.cos(2 * np.pi * (30.0 + away) * turns + 0.7)
    beside = [10.0 * abs(np.sinc(d - 6.0 * at) / (1.0 - (d - 6.0 * at) ** 2)) for at in (-0.47, -0.38, 0.38, 0.47)]
    noise = float(np.mean(np.square(beside)))
    size = 10.0 * abs(np.sinc(d) / (1.0 - d * d))
    [found] = measured_orders(turns, wave, [30.0])
    assert found.noise == pytest.approx(noise**0.5, abs=0.02)
    assert found.amplitude == pytest.approx(max(size**2 - noise, 0.0) ** 0.5, abs=0.02)


@pytest.mark.parametrize("trend", [lambda x: 5.0 * x, lambda x: 300.0 + 40.0 * x - 3.0 * x**2])
def test_a_trend_to_the_second_power_has_no_orders(trend: object) -> None:
    [found] = measured_orders(TURNS, trend(TURNS) + np.cos(2 * np.pi * TURNS), [1.0])  # type: ignore[operator]
    assert found.amplitude == pytest.approx(1.0, abs=1e-2)


def test_a_cubic_is_more_than_a_trend() -> None:
    """What is left of the third Legendre polynomial 10 P3 has at order 1 of six turns (6 bins) an amplitude by quadrature."""
    x = np.linspace(-1.0, 1.0, 6001)
    cubic = 10.0 * (2.5 * x**3 - 1.5 * x)
    window = 1.0 + np.cos(np.pi * x)
    part = 2.0 * abs(np.trapezoid(window * cubic * np.exp(-6j * np.pi * x), x)) / np.trapezoid(window, x)
    beside = [2.0 * abs(np.trapezoid(window * cubic * np.exp(-6j * np.pi * (1 + at) * x), x)) / np.trapezoid(window, x)
              for at in (-0.47, -0.38, 0.38, 0.47)]  # fmt: skip
    [found] = measured_orders(TURNS, cubic, [1.0])
    assert found.noise == pytest.approx(np.sqrt(np.mean(np.square(beside))), rel=0.02)
    assert found.amplitude == pytest.approx(np.sqrt(max(part**2 - np.mean(np.square(beside)), 0.0)), abs=0.01)


def test_several_blocks_tell_their_own_scatter() -> None:
    """Three blocks of six turns with 2, 4 and 6 at order 2: the mean of the powers is 56/3; their standard error by that of the
    mean of three (JCGM 100, 4.2.3), over twice the amplitude."""
    turns = np.linspace(1.0, 19.0, 18001)
    size = np.select([turns < 7.0, turns < 13.0], [2.0, 4.0], 6.0)
    [found] = measured_orders(turns, size * np.cos(4 * np.pi * turns), [2.0])
    assert found.amplitude == pytest.approx((56 / 3) ** 0.5, rel=2e-3)
    scatter = np.std([4.0, 16.0, 36.0], ddof=1) / 3**0.5
    assert found.u == pytest.approx(scatter / (2 * (56 / 3) ** 0.5), rel=0.01)


def test_one_block_has_the_noise_beside_it() -> None:
    """u^2 = n^2/2, half of the power of a complex mean lies in phase; of two blocks with 50 and 52 n^2/4, and half the
    difference of their powers (the standard error of a mean of two) over twice the amplitude."""
    for count in (1, 2):
        turns = np.linspace(0.0, 6.0 * count, 6000 * count + 1)
        values = np.where(turns < 6.0, 50.0, 52.0) * np.cos(4 * np.pi * turns) + np.random.default_rng(2).standard_normal(
            len(turns)
        )
        [found] = measured_orders(turns, values, [2.0])
        if count == 1:
            assert found.u == pytest.approx(found.noise / 2**0.5)
        else:
            assert found.u == pytest.approx(np.hypot((52.0**2 - 50.0**2) / 2 / (2 * 51.0), found.noise / 2), rel=0.03)
    assert measured_orders(TURNS, np.zeros(len(TURNS)), [2.0])[0][1:] == (0.0, 0.0, 0.0)


def test_the_speeds_swing_and_what_it_does_are_told_in_per_cent() -> None:
    """A swing of 4 % at order 2 beside the three strokes is the lack of 0.04 * 3/2 of one element (as in
    `test_a_swing_of_the_speed_looks_like_a_missing_share`); with two lobes at order 5 of six strokes, 0.04 * 6/2."""
    turns = np.linspace(0.0, 24.0, 24000)
    pressure = 100.0 + np.cos(2 * np.pi * turns)
    for lobes, order, lack in ((1, 2, 6.0), (2, 5, 12.0), (2, 7, 12.0), (2, 11, 12.0)):
        found = pulsation(turns, pressure, 800.0 * (1.0 + 0.04 * np.cos(2 * np.pi * order * turns)), 3, lobes)
        assert found.by_speed == pytest.approx(lack, rel=3e-3)
        assert [each.order for each in found.orders] == [float(n * lobes) for n in range(1, 7)]
        assert found.of_speed == (frozenset({2.0}) if order == 2 else frozenset())
        assert found.mean == pytest.approx((100.0, 0.5**0.5 / 24000**0.5), rel=1e-3)
    assert share_by_speed(turns, np.full(24000, 800.0) + np.cos(10 * np.pi * turns), 3) == pytest.approx(1.5 / 800.0, rel=0.01)


@pytest.mark.parametrize(("swing", "own"), [(0.0097, frozenset()), (0.0103, frozenset({1.0}))])
def test_a_speed_that_shakes_by_a_hundredth_has_an_order_itself(swing: float, own: frozenset[float]) -> None:
    turns = np.linspace(0.0, 24.0, 24000)
    found = pulsation(turns, np.cos(turns), 800.0 * (1.0 + swing * np.cos(2 * np.pi * turns)), 3, 1)
    assert found.of_speed == own


def test_turns_are_the_integral_of_the_speed() -> None:
    """scipy.integrate, from a time that is not 0; 1/min over 60, times the drive's ratio."""
    time = np.linspace(4.0, 9.0, 301)
    speed = 800.0 + 300.0 * np.sin(time)
    turns, rate = turned(time, speed, 0.5)
    assert turns == pytest.approx(cumulative_trapezoid(speed / 120.0, time, initial=0.0))
    assert rate == pytest.approx(turns[-1] / 5.0)


@pytest.mark.parametrize(("slow", "end"), [(399.0, 5.99), (400.0, 9.99)])
def test_a_stretch_is_at_half_the_usual_speed_at_least(slow: float, end: float) -> None:
    """6 s at 800 1/min, 4 s below."""
    time = np.arange(0.0, 10.0, 0.01)
    assert time[steady_stretch(time, np.where(time < 5.995, 800.0, slow))][-1] == pytest.approx(end)


def test_a_stretch_begins_a_second_behind_what_moved() -> None:
    """The engine's start at 2 s, or the target's step at 4 s, each a second before; a gap is a straight line."""
    time = np.arange(0.0, 20.0, 0.01)
    speed = np.where(time < 1.995, 0.0, 800.0)
    assert time[steady_stretch(time, speed)][0] == pytest.approx(3.0, abs=0.011)
    target = np.where(time < 3.995, 300.0, 500.0)
    target[1000:1200] = np.nan
    rows = time[steady_stretch(time, speed, target)]
    assert rows[0] == pytest.approx(5.0, abs=0.11) and rows[-1] == time[-1]


def test_the_longest_of_two_stretches_is_taken() -> None:
    time = np.arange(0.0, 20.0, 0.01)
    for step, first, last in ((6.0, 7.0, 20.0), (14.0, 0.0, 14.0)):
        rows = time[steady_stretch(time, np.full(len(time), 800.0), np.where(time < step, 300.0, 500.0))]
        assert (rows[0], rows[-1]) == pytest.approx((first, last), abs=0.11)
