"""What a coil's recorded current shows, against the closed form of a series circuit of resistance and inductance."""

from __future__ import annotations

import numpy as np
import pytest

from baybook_physics.coil import inductance, ripple
from baybook_physics.driven import Number, asked, coil_of, is_silent, mean_of, of_periods, of_pulses, steady_rows
from baybook_physics.pulses import periods, pulses

SUPPLY, R, L = 13.5, 3.0, 12e-3


def test_a_pulsed_current_has_the_periods_mean_and_ends_of_the_steady_circuit() -> None:
    """U = R i + L di/dt over one period with a freewheel diode, in closed form (circuit theory)."""
    duty, frequency, diode = 0.4, 200.0, 0.7
    steady = ripple(duty, SUPPLY, R, diode, L, frequency)
    time = np.arange(0.0, 0.1, 2e-5)
    phase, tau = (time * frequency) % 1.0, L / R
    up = SUPPLY / R + (steady.low - SUPPLY / R) * np.exp(-phase / frequency / tau)
    down = -diode / R + (steady.high + diode / R) * np.exp(-(phase - duty) / frequency / tau)
    current = np.where(phase < duty, up, down)
    seen = periods(time, current)
    assert seen is not None
    found = of_periods(time, current, seen)
    assert found.frequency.value == pytest.approx(frequency, rel=1e-3)
    assert abs(found.duty.value - duty) < 3 * found.duty.u < 0.02
    assert (found.mean.value, found.low.value, found.high.value) == pytest.approx(
        (steady.mean, steady.low, steady.high), rel=5e-3
    )


def pulse(noise: float = 0.0) -> tuple[np.ndarray, np.ndarray]:
    """Three pulses of 3 ms that rise as U/R (1 - exp(-t R/L)) and die away in 0.2 ms."""
    time = np.arange(0.0, 0.06, 1e-5)
    since = time % 0.02 - 0.005
    top = SUPPLY / R * (1 - np.exp(-3e-3 * R / L))
    rise = SUPPLY / R * (1 - np.exp(-np.clip(since, 0.0, 3e-3) * R / L))
    current = np.where(since > 3e-3, top * np.exp(-(since - 3e-3) / 2e-4), rise)
    return time, current + noise * np.random.default_rng(5).standard_normal(len(time))


def test_a_pulse_has_the_inductance_and_resistance_of_its_rise() -> None:
    time, current = pulse(noise=1e-3)
    whole = pulses(current)
    found = of_pulses(time, current, whole, whole[0])
    assert found.peak.value == pytest.approx(SUPPLY / R * (1 - np.exp(-3e-3 * R / L)), rel=5e-3)
    assert found.length.value == pytest.approx(3e-3, rel=0.02)
    assert found.decay.value == pytest.approx(2e-4 * np.log(10.0), rel=0.1)
    assert found.armature is None and found.hold is None
    coil = coil_of(found.rise, Number(SUPPLY, 0.1))
    assert coil.inductance is not None and coil.resistance is not None and coil.time_constant is None
    assert (coil.inductance.value, coil.resistance.value) == pytest.approx((L, R), rel=0.02)
    assert coil.inductance.u >= L * 0.1 / SUPPLY, "it shares the supply's error"
    alone = coil_of(found.rise, None)
    assert alone.inductance is None and alone.time_constant is not None
    assert alone.time_constant.value == pytest.approx(L / R, rel=0.02)
    assert coil_of(None, None) == coil_of(found.rise._replace(inductance=-1.0), None)  # type: ignore[union-attr]


def test_one_point_of_a_rise_gives_the_inductance() -> None:
    """t = -(L/R) ln(1 - R i/U): 0.20 mH and 0.35 ohm reach 18 A from 13.5 V in 359.20 µs (plain arithmetic)."""
    assert inductance(359.20e-6, 18.0, 13.5, 0.35) == pytest.approx(0.2e-3, rel=1e-4)
    with pytest.raises(ValueError, match=r"math domain|positive"):
        inductance(1e-3, 50.0, 13.5, 0.35)


def test_noise_alone_is_silent_and_a_mean_of_several_is_surer() -> None:
    noise = np.random.default_rng(3).standard_normal(4000)
    assert is_silent(noise) and not is_silent(noise + 40.0 * (np.arange(4000) > 2000))
    values = noise[:100]
    assert mean_of(values) == pytest.approx((values.mean(), values.std(ddof=1) / 10.0))  # JCGM 100:2008, 4.2.3
    assert mean_of(np.array([2.0]), least=0.5) == Number(2.0, 0.5)


def test_rows_at_another_duty_or_with_a_gap_are_left_out() -> None:
    duty, current = np.array([25.0, 25.4, 27.0, 25.0, np.nan]), np.array([1.0, 1.0, 1.0, np.nan, 1.0])
    assert steady_rows(duty, current).tolist() == [True, True, False, False, False]


def test_a_valve_is_asked_by_its_duty_and_gets_a_current_or_none() -> None:
    """Medians by hand; 0.03 A is the least that counts as a current, 5 % the least duty that asks for one."""
    duty, current = np.full(20, 40.0), np.linspace(0.9, 1.1, 20)
    seen = asked(duty, current)
    assert seen is not None and seen.duty == (40.0, 0.0) and not seen.none
    assert seen.current.value == pytest.approx(1.0) and seen.current.u == pytest.approx(np.std(current) / np.sqrt(20))
    dead = asked(duty, np.zeros(20))
    assert dead is not None and dead.none
    assert asked(np.full(20, 4.0), current) is None
    assert asked(duty[:7], current) is None
