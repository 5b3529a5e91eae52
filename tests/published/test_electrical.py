"""Coil current in time and under a pulsed drive, against circuit theory and a step-by-step integration."""

from __future__ import annotations

import pytest

from baybook_physics.coil import mean_current, ripple, rise, steady_current


@pytest.mark.parametrize(("taus", "share"), [(1, 0.632121), (2, 0.864665), (3, 0.950213), (5, 0.993262)])
def test_current_rises_by_time_constants(taus: int, share: float) -> None:
    """1 - exp(-t/tau) after 1, 2, 3 and 5 tau, tau = L/R (circuit theory, tabulated e-function)."""
    inductance, resistance = 0.006, 3.0
    assert rise(taus * inductance / resistance, inductance, resistance) == pytest.approx(share, abs=1e-6)


def test_mean_current_without_a_diode_drop() -> None:
    """25 % of 13.5 V into 3 ohm with an ideal freewheel path: D U/R = 1.125 A."""
    assert mean_current(0.25, 13.5, 3.0, 0.0).mean == pytest.approx(1.125, abs=1e-9)


def test_mean_current_with_a_diode_drop() -> None:
    """The same with 0.7 V in the diode: (D U - (1 - D) Vf)/R = 0.950 A."""
    assert mean_current(0.25, 13.5, 3.0, 0.7).mean == pytest.approx(0.950, abs=1e-9)


def test_full_duty_is_ohms_law() -> None:
    """Always on, the diode plays no part: U/R."""
    assert mean_current(1.0, 13.5, 3.0, 0.7).mean == pytest.approx(steady_current(13.5, 3.0), rel=1e-15)


def integrate(duty: float, supply: float, r: float, diode: float, inductance: float, frequency: float) -> list[float]:
    """Currents over the last of many periods: L di/dt = u - R i, diode blocking below zero (plain Euler steps)."""
    steps, periods = 4000, 60
    dt, current, last = 1 / frequency / steps, 0.0, []
    for period in range(periods):
        for step in range(steps):
            volts = supply if step < duty * steps else -diode
            current = max(current + dt * (volts - r * current) / inductance, 0.0)
            if period == periods - 1:
                last.append(current)
    return last


@pytest.mark.parametrize(
    ("duty", "inductance", "continuous"),
    [(0.25, 0.010, True), (0.6, 0.010, True), (0.10, 0.004, False), (0.03, 0.010, False)],
)
def test_ripple_agrees_with_integration(duty: float, inductance: float, continuous: bool) -> None:
    """The closed formula gives the lowest, highest and mean current that stepping through 60 periods gives."""
    stepped = integrate(duty, 13.5, 3.0, 0.7, inductance, 500)
    closed = ripple(duty, 13.5, 3.0, 0.7, inductance, 500)
    assert closed.continuous is continuous
    assert closed.high == pytest.approx(max(stepped), rel=2e-3)
    assert closed.low == pytest.approx(min(stepped), abs=2e-3)
    assert closed.mean == pytest.approx(sum(stepped) / len(stepped), rel=3e-3)
    if continuous:
        assert closed.mean == pytest.approx(mean_current(duty, 13.5, 3.0, 0.7).mean, rel=1e-12)


def test_short_pulses_break_the_current() -> None:
    """Where D U is less than (1 - D) Vf the mean formula would go negative, so the current cannot be continuous."""
    assert mean_current(0.04, 13.5, 3.0, 0.7) == (0.0, False)
