"""A coil's current and what its resistance looks like: closed forms, and the circuit integrated by scipy."""

from __future__ import annotations

from math import exp

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from baybook_physics import coil


@pytest.mark.parametrize(
    ("duty", "diode", "frequency"), [(0.3, 0.7, 1000.0), (0.6, 0.7, 250.0), (0.05, 0.9, 100.0), (0.5, 0.4, 40.0)]
)
def test_a_pulsed_coil_against_the_circuit_itself(duty: float, diode: float, frequency: float) -> None:
    """13 V, 4 ohm, 12 mH: L i' = U - R i, and -Vf - R i behind the diode until none is left, over forty periods by scipy."""
    supply, ohm, henry, period = 13.0, 4.0, 12e-3, 1.0 / frequency
    start, kept = 0.0, np.zeros(1)
    for _ in range(40):
        for volts, long in ((supply, duty * period), (-diode, (1 - duty) * period)):
            steps = np.linspace(0.0, long, 400)
            course = solve_ivp(lambda _, i, v=volts: (v - ohm * i) / henry, (0.0, long), [start], t_eval=steps, rtol=1e-9).y[0]
            course = np.maximum(course, 0.0)
            kept = course if volts > 0 else np.concatenate([kept, course[1:]])
            start = float(course[-1])
    time = np.concatenate([np.linspace(0.0, duty * period, 400), np.linspace(duty * period, period, 400)[1:]])
    found = coil.ripple(duty, supply, ohm, diode, henry, frequency)
    assert found.low == pytest.approx(start, abs=2e-4) and found.high == pytest.approx(kept.max(), rel=1e-4)
    assert found.mean == pytest.approx(np.trapezoid(kept, time) / period, rel=1e-3)
    assert found.continuous == (start > 1e-6)


def test_mean_current_and_the_circuit_turned_round() -> None:
    """Volt-second balance by hand: (0.4 13 - 0.6 0.7)/4 = 1.195 A; at a duty of 5 % it would be negative."""
    found = coil.mean_current(0.4, 13.0, 4.0, 0.7)
    assert found.mean == pytest.approx(1.195) and found.continuous
    assert coil.circuit_resistance(13.0, 0.4, 0.7, 1.195) == pytest.approx(4.0)
    assert coil.mean_current(0.05, 13.0, 4.0, 0.7) == (0.0, False)
    with pytest.raises(ValueError, match="not positive"):
        coil.circuit_resistance(13.0, 0.05, 0.7, 1.0)
    with pytest.raises(ValueError, match="not positive"):
        coil.circuit_resistance(1.0, 0.5, 1.0, 1.0)
    assert coil.mean_current(0.5, 1.0, 4.0, 1.0) == (0.0, False)
    assert coil.rise(0.003, 12e-3, 4.0) == pytest.approx(1 - exp(-1)) and coil.steady_current(13.0, 4.0) == 3.25


def test_resistance_at_another_temperature() -> None:
    """Copper handbooks: (234.5 + 20)/(234.5 + 80) of 4.4 ohm less 0.4 of the lead."""
    assert coil.resistance_at(4.4, 0.4, 80.0, 20.0) == pytest.approx(4.0 * 254.5 / 314.5)


@pytest.mark.parametrize(("ohm", "u", "low", "high", "word"), [
    (-0.1, 0.05, 2.0, 3.0, "impossible"), (-0.09, 0.05, 2.0, 3.0, "short"), (-0.09, 0.05, None, None, "unresolved"),
    (30.1, 0.05, 2.0, 3.0, "open"), (30.0, 0.05, 2.0, 3.0, "readable"), (9_999.0, 0.1, None, None, "readable"),
    (10_001.0, 0.1, 2.0, None, "open"), (0.2, 0.05, 2.0, 3.0, "short"), (0.21, 0.05, 2.0, 3.0, "readable"),
    (0.3, 0.2, 2.0, 3.0, "short"), (0.3, 0.2, 0.5, 1.0, "unresolved"), (0.3, 0.2, None, 1.0, "unresolved"),
    (0.5, 0.2, None, None, "readable"), (0.05, 0.01, 0.4, 1.0, "readable"), (0.0, 0.2, 0.392, 1.0, "unresolved"),
])  # fmt: skip
def test_what_a_resistance_looks_like(ohm: float, u: float, low: float | None, high: float | None, word: str) -> None:
    """By the rules' own factors: 1.96 u (normal distribution), ten times, 10 kohm (common practice, no source)."""
    assert coil.state(ohm, u, low, high) == word


def test_a_coil_without_current() -> None:
    """Common practice, no source: nothing is said below 5 %, less than 0.03 A is none."""
    assert coil.undriven(0.05, 0.029) and coil.undriven(0.5, -0.029) and coil.undriven(0.06, 0.0)
    assert not coil.undriven(0.049, 0.0) and not coil.undriven(0.05, 0.03) and not coil.undriven(0.5, -0.1)
