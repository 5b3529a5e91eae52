"""A piston pump, what an injector gives and a wire, by hand and by a handbook's figures."""

from __future__ import annotations

from math import pi

import pytest

from baybook_physics import pump, quantity, wire


def test_displacement_by_hand() -> None:
    """Three elements of 7 mm bore and 8 mm stroke: 3 pi/4 49 8 mm3; two lifts a turn give twice that."""
    assert pump.displacement(3, 7.0, 8.0) == pytest.approx(3 * pi / 4 * 49 * 8 / 1000)
    assert pump.displacement(3, 7.0, 8.0, 2) == pytest.approx(6 * pi / 4 * 49 * 8 / 1000)


def test_compression_takes_its_share_by_mass() -> None:
    """Swept 1, dead 0.3, density ratio 1.08: 1.3 of inlet fuel are drawn less what the dead room kept, 0.3 1.08."""
    assert pump.by_inlet(0.3, 1.08) == pytest.approx(1.3 - 0.3 * 1.08)
    assert pump.by_outlet(0.3, 1.08) == pytest.approx((1.3 - 0.3 * 1.08) / 1.08)


def test_what_is_delivered_and_what_is_injected() -> None:
    """0.6 cm3 a turn at 1500 1/min, 85 %; 40 mm3 of four cylinders at 2000 1/min: a stroke in two turns. Plain arithmetic."""
    assert pump.delivery(0.6, 1500.0, 0.85) == pytest.approx(765.0)
    assert pump.injected(40.0, 4, 2000.0) == pytest.approx(160.0)
    assert quantity.of_flow(160.0, 4, 2000.0) == pytest.approx(40.0) and quantity.of_volume(20.0, 500) == pytest.approx(40.0)


def test_a_metre_of_copper() -> None:
    """IEC 60028: 1/58 ohm of 1 m and 1 mm2 at 20 °C; at 80 °C by 314.5/254.5 of copper windings."""
    assert wire.resistance(1.0, 1.0, 20.0) == pytest.approx(1 / 58) and wire.CONDUCTIVITY == 58.0
    assert wire.resistance(6.0, 1.5, 80.0) == pytest.approx(6 / 58 / 1.5 * 314.5 / 254.5)
