"""The current of a driven coil: rise, kink, periods and decay against published values and exact solutions."""

from __future__ import annotations

import subprocess
import sys
from math import exp, log

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from baybook_physics.pulses import Pulse, begins, decay_time, kink, noise, periods, pulses, rise_fit

U, R, L = 13.5, 0.35, 0.2e-3
MOVES, STOPS, SPEED, DL = 150e-6, 250e-6, 0.5, 1.0  # s, s, m/s, H/m
Floats = NDArray[np.float64]


def rise(end: float = 600e-6, *, moving: bool = True, step: float = 1e-6) -> tuple[Floats, Floats]:
    """i' = (U - R i - i v dL/dx)/L, integrated by scipy."""
    t = np.arange(0.0, end, step)

    def slope(now: float, i: Floats) -> Floats:
        on = moving and MOVES < now < STOPS
        inductance = L + DL * SPEED * min(max(now - MOVES, 0.0), STOPS - MOVES) if moving else L
        return (U - R * i - (i * SPEED * DL if on else 0.0)) / inductance

    return t, solve_ivp(slope, (0.0, end), [0.0], t_eval=t, max_step=step, rtol=1e-9).y[0]


def test_the_rise_is_the_published_one() -> None:
    """8.905 A at 150 µs, 11.108 A at 250 µs: published for this coil (solve_ivp there too), 1e-3."""
    _, i = rise()
    assert i[150] == pytest.approx(8.905, rel=1e-3) and i[250] == pytest.approx(11.108, rel=1e-3)


@pytest.mark.parametrize("noise", [0.0, 0.01, 0.02])
def test_the_kink_lies_where_the_armature_moves(noise: float) -> None:
    """From 150 to 250 µs; slopes step from 51 916 - 29 653 down and from 16 234 to 38 449 up, A/s (published)."""
    t, i = rise()
    found = kink(t, i + np.random.default_rng(1).normal(0.0, noise, len(i)))
    assert found is not None
    assert t[found.starts] == pytest.approx(MOVES, abs=6e-6) and t[found.stops] == pytest.approx(STOPS, abs=6e-6)
    assert found.rise == pytest.approx(38_449 - 16_234, rel=0.15)


@pytest.mark.parametrize("seed", range(10))
def test_without_motion_there_is_no_kink(seed: int) -> None:
    t, i = rise(moving=False)
    assert kink(t, i + np.random.default_rng(seed).normal(0.0, 0.02, len(i))) is None


def test_inductance_and_resistance_of_the_rise() -> None:
    """0.20 mH and 0.35 ohm, before the armature moves and without motion; the interval holds them."""
    t, i = rise(moving=False)
    found = rise_fit(t, i + np.random.default_rng(3).normal(0.0, 0.02, len(i)))
    assert found is not None
    assert U * found.inductance == pytest.approx(L, abs=3 * U * found.inductance_u)
    assert U * found.resistance == pytest.approx(R, abs=3 * U * found.resistance_u) and U * found.resistance_u < 0.01


@pytest.mark.parametrize(("volts", "micros"), [(13.5, 359.20), (50.0, 76.96), (65.0, 58.26), (80.0, 46.87)])
def test_time_to_a_current(volts: float, micros: float) -> None:
    """-(L/R) ln(1 - R I/U) to 18 A: published, 1e-4. The fit of a rise that ends there gives the same coil."""
    end = -(L / R) * log(1 - R * 18.0 / volts)
    assert end * 1e6 == pytest.approx(micros, rel=1e-4)
    t = np.linspace(0.0, end, 200)
    found = rise_fit(t, volts / R * (1 - np.exp(-t * R / L)))
    assert found is not None and volts * found.inductance == pytest.approx(L, rel=1e-3)


def pwm(frequency: float, step: float, seconds: float) -> tuple[Floats, Floats]:
    """13.5 V, 3 ohm, 15 mH, duty 0.25, diode 0.7 V: the exact periodic solution."""
    supply, ohm, henry, duty, diode = 13.5, 3.0, 15e-3, 0.25, 0.7
    period, tau = 1.0 / frequency, henry / ohm
    a, b = exp(-duty * period / tau), exp(-(1 - duty) * period / tau)
    high = (supply / ohm * (1 - a) - diode / ohm * (1 - b) * a) / (1 - a * b)
    low = (high + diode / ohm) * b - diode / ohm
    t = np.arange(0.0, seconds, step)
    phase = t % period
    on = phase < duty * period
    up = supply / ohm + (low - supply / ohm) * np.exp(-phase / tau)
    down = -diode / ohm + (high + diode / ohm) * np.exp(-(phase - duty * period) / tau)
    return t, np.where(on, up, down)


@pytest.mark.parametrize(("frequency", "low", "high"), [(1000.0, 0.86278, 1.04017), (200.0, 0.54907, 1.42301)])
def test_a_pulsed_current(frequency: float, low: float, high: float) -> None:
    """Published, exact periodic solution: lowest, highest, mean 0.950 A at both frequencies; duty 25 %."""
    t, i = pwm(frequency, 1.0 / frequency / 400, 0.1)
    found = periods(t, i)
    assert found is not None
    assert 1.0 / np.mean(found.length) == pytest.approx(frequency, rel=2e-3)
    assert np.mean(found.duty) == pytest.approx(0.25, abs=0.005)
    assert np.mean(found.low) == pytest.approx(low, rel=2e-3) and np.mean(found.high) == pytest.approx(high, rel=2e-3)
    assert np.mean(found.mean) == pytest.approx(0.950, rel=2e-3)


def test_a_steady_current_has_no_periods() -> None:
    t = np.arange(0.0, 1.0, 1e-3)
    assert periods(t, 0.9 + np.random.default_rng(0).normal(0.0, 0.01, len(t))) is None


def test_two_periods_tell_nothing_about_a_third() -> None:
    """A made triangle between 0 and 1 A, 20 samples up and 20 down: of its valleys the first is the record's own edge."""
    triangle = np.concatenate([np.linspace(0.0, 1.0, 20, endpoint=False), np.linspace(1.0, 0.0, 20, endpoint=False)])
    t = np.arange(0.0, 0.4, 1e-3)
    current = np.tile(triangle, 10)
    assert periods(t[:130], current[:130]) is None
    found = periods(t, current)
    assert found is not None and found.length == pytest.approx(0.04) and found.duty == pytest.approx(0.5)


def test_a_pulse_whose_beginning_was_not_recorded_is_none() -> None:
    """A made trapezium, cut in its flat top, and the same one whole behind it."""
    whole = np.concatenate([np.linspace(0.2, 10.0, 50), np.full(30, 10.0), np.linspace(9.8, 0.0, 50), np.zeros(100)])
    current = np.concatenate([whole[60:], whole])
    [pulse] = pulses(current)
    assert pulse.first >= len(whole) - 60 - 2


@pytest.mark.parametrize(("samples", "expected"), [(50, 10.0), (5, 10.0)])
def test_a_linear_rise_begins_where_its_line_meets_zero(samples: int, expected: float) -> None:
    """Up to 10 A in 50 samples or 5, zero at 10 s. Two of five samples lie below three tenths, the last at rest counts."""
    current = np.concatenate([np.zeros(10), np.linspace(0.0, 10.0, samples), np.linspace(9.8, 0.0, 50), np.zeros(50)])
    t = np.arange(len(current), dtype=float)
    [pulse] = pulses(current)
    assert begins(t, current, pulse) == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize(("clamp", "micros"), [(0.7, 1315.8), (65.0, 52.86)])
def test_decay_from_18_amperes(clamp: float, micros: float) -> None:
    """To zero in (L/R) ln(1 + R I/U): 1315.8 µs by a diode of 0.7 V, 52.86 µs by a clamp of 65 V (published). To a tenth it is
    (L/R) ln((R I + U)/(R I/10 + U))."""
    assert L / R * log(1 + R * 18.0 / clamp) * 1e6 == pytest.approx(micros, rel=1e-4)
    step = micros * 1e-6 / 400
    t = np.arange(0.0, 3 * micros * 1e-6, step)
    start = 100
    dying = np.maximum((18.0 + clamp / R) * np.exp(-(t - t[start]) * R / L) - clamp / R, 0.0)
    current = np.where(
        np.arange(len(t)) < 20, 0.0, np.where(np.arange(len(t)) < start, 18.0 * (np.arange(len(t)) - 20) / 80, dying)
    )
    [pulse] = pulses(current)
    tenth = L / R * log((R * 18.0 + clamp) / (R * 1.8 + clamp))
    assert decay_time(t, current, pulse) == pytest.approx(tenth, abs=3 * step)


def test_a_pulse_begins_with_its_last_sample_at_rest() -> None:
    """A made trapezium, 0 to 10 A in 50 samples from sample 100 on: at a twentieth of its height, 0.5 A, it has left zero."""
    rise, top, fall = np.linspace(0.2, 10.0, 50), np.full(30, 10.0), np.linspace(9.8, 0.0, 50)
    current = np.concatenate([np.zeros(100), rise, top, fall, np.zeros(100)])
    (found,) = pulses(current)
    assert current[found.first] <= 0.5 < current[found.first + 1]
    assert current[found.end] <= 1.0 < current[found.end - 1]


@pytest.mark.parametrize(("floor", "start"), [(0.0, 101.3), (0.4, 100.7)])
def test_a_straight_rise_is_brought_back_to_zero(floor: float, start: float) -> None:
    """0.02 A a sample from between two samples on: a straight line meets the floor where it left it."""
    at = np.arange(400.0)
    current = floor + np.where(at < 300, 0.02 * np.maximum(at - start, 0.0), 0.0)
    (found,) = pulses(current)
    assert begins(2e-6 * at, current, found) == pytest.approx(2e-6 * start, abs=1e-9)


def test_a_rise_begins_by_its_first_three_tenths() -> None:
    """A straight line to 4 of 10 A, then half as steep: what comes behind does not count."""
    at = np.arange(400.0)
    rise = np.where(at < 150, 0.08 * (at - 100), 4.0 + 0.04 * (at - 150))
    current = np.where(at < 300, np.maximum(rise, 0.0), 0.0)
    (found,) = pulses(current)
    assert begins(at, current, found) == pytest.approx(100.0, abs=1e-6)


def test_a_rise_of_a_few_samples_begins_with_its_first() -> None:
    """Three samples make no line; four do: 0, 1.5, 2.5, 3.5 have the regression 0.15 + 1.15 n (by hand)."""
    current = np.concatenate([np.zeros(50), [1.0, 3.0, 5.0, 10.0], np.full(20, 10.0), np.zeros(50)])
    assert begins(np.arange(len(current)) * 0.5, current, Pulse(49, 53, 73, 74)) == 24.5
    current = np.concatenate([np.zeros(50), [1.5, 2.5, 3.5, 10.0], np.full(20, 10.0), np.zeros(50)])
    assert begins(np.arange(len(current)) * 0.5, current, Pulse(49, 53, 73, 74)) == pytest.approx(24.5 - 0.5 * 0.15 / 1.15)


def test_noise_is_told_from_slope_and_bend() -> None:
    """Normal noise of 0.05 on a parabola, from 20 000 samples: its standard deviation is met within 3 %."""
    at = np.linspace(0.0, 1.0, 20_000)
    values = 5.0 + 30.0 * at - 12.0 * at**2 + np.random.default_rng(4).normal(0.0, 0.05, len(at))
    assert noise(values) == pytest.approx(0.05, rel=0.03)


def test_a_shape_takes_twenty_samples() -> None:
    """Common practice, no source."""
    t = np.linspace(0.0, 1e-3, 20)
    i = U / R * (1 - np.exp(-t * R / L))
    assert rise_fit(t[:19], i[:19]) is None and rise_fit(t, i) is not None


def test_a_long_recording_takes_as_long_as_it_is() -> None:
    """100 000 periods; each once looked through all peaks, which took minutes."""
    code = (
        "import numpy as np; from baybook_physics.pulses import periods, pulses\n"
        "t = np.arange(2_000_000) * 1e-4; c = np.sin(t * 500 * 2 * np.pi)\n"
        "assert len(periods(t, c).mean) > 99_000\n"
        "assert len(pulses(np.maximum(c, 0.0))) > 99_000"
    )
    subprocess.run([sys.executable, "-c", code], check=True, timeout=40)
