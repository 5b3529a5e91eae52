"""The hold test's physics against CoolProp mass balances, closed forms and hydraulics handbooks."""

from __future__ import annotations

import math

import numpy as np
import pytest

from baybook_physics.closed_rail import Rails, integrate
from baybook_physics.fuels import Coefficients, n_dodecane
from baybook_physics.leaks import Leak, ReferenceState, volume_flow
from baybook_physics.orifice import equivalent_diameter
from baybook_plugins.hold.two_point.estimate import estimate
from baybook_plugins.hold.two_point.readings import TwoReadings

CONSTANT_STIFFNESS = Coefficients(
    density=830.0, expansion=0.0, expansion_slope=0.0, modulus=1.5e6, modulus_slope=0.0, modulus_curve=0.0, tait_c=1.0,
    heat_capacity=2000.0, heat_capacity_slope=0.0, viscosity=2.0, viscosity_slope=0.0, viscosity_pressure=0.0,
)  # fmt: skip
"""A fluid whose modulus stays 1.5e6 MPa within 1e-6: with a leak a thousand times smaller, the closed forms of 1.5 GPa hold."""
BACK = 0.101325


def leak_of(flow: float, share: float) -> Leak:
    """One leak of `flow` mL/min at its reference state, whose `share` goes through clearances, without any trimmings."""
    zero = np.array([0.0])
    return Leak(np.array([flow]), share, pressure_slope=zero, temperature_slope=zero, drift=0.0, back=BACK)


def closed_rail(share: float) -> Rails:
    """30 cm3 at 100 MPa above the return; 0.6 mL/min at the start, scaled by 1000 like the modulus; no heat."""
    return Rails(
        start=np.array([100.0 + BACK]), volume=np.array([30.0]), fuel_start=np.array([40.0]), wall_start=np.array([40.0]),
        ambient=np.array([40.0]), heat_time=np.array([10.0]), thin_time=np.array([10.0]), thin_share=np.array([0.0]),
        wall_rate=np.array([0.0]), wall_compliance=np.array([0.0]), gas=0.0, leak=leak_of(0.6e-3, share),
        fuel=CONSTANT_STIFFNESS,
    )  # fmt: skip


@pytest.mark.parametrize(("share", "expected"), [(1.0, 74.0818), (0.0, 72.25)])
def test_decay_follows_the_closed_form(share: float, expected: float) -> None:
    """p0 exp(-t/tau) for a clearance, p0 (1 - t/(2 tau))^2 for an orifice; tau = V p0/(K Q0) = 200 s, after 60 s."""
    reference = ReferenceState(pressure=100.0 + BACK, back=BACK, temperature=40.0, density=830.0, duration=60.0)
    path = integrate(closed_rail(share), reference, np.linspace(0.0, 60.0, 61))
    assert float(path.pressure[-1, 0]) - BACK == pytest.approx(expected, abs=0.01)


def test_constant_flow_by_two_readings_is_the_definition_of_the_modulus() -> None:
    """dp/dt = -K Q/V: 1 MPa/h in 30 cm3 of 1.5 GPa is 0.02 mL/h. n-Dodecane's own K_T at its mean pressure stands for K;
    over an hour all of expansion's cooling is made good."""
    readings = TwoReadings(
        start=(60.0, 0.0), end=(59.0, 0.0), time=(3600.0, 0.0), volume=(30.0, 0.0), temperature=(40.0, 0.0),
        one_temperature=True, rail_modulus=(1e9, 0.0),
    )  # fmt: skip
    found = estimate(readings, n_dodecane())
    expected = 30.0 / 60.0 / n_dodecane().isothermal_modulus(40.0, 59.5 + BACK)
    assert found.leak_at_line.value == pytest.approx(expected, rel=2e-3)
    assert 0.02 / 60.0 * 1500.0 / found.bulk_modulus.value == pytest.approx(found.leak_at_line.value, rel=3e-3)


@pytest.mark.parametrize(("seconds", "most"), [(20.0, 0.09), (60.0, 0.04), (3600.0, 0.001)])
def test_one_temperature_at_the_start_is_kept_after_a_while(seconds: float, most: float) -> None:
    """Fuel that expands in a settled rail cools, and the wall makes that good: the leak lies between the balances of K_S at
    once and of K_T in the end (n-dodecane, 40 °C, 59.6 MPa: K_T 1531, K_S 1803.5 MPa by CoolProp: 15 % apart)."""
    readings = TwoReadings(
        start=(60.0, 0.0), end=(59.0, 0.0), time=(seconds, 0.0), volume=(30.0, 0.0), temperature=(40.0, 0.0),
        one_temperature=True, rail_modulus=(1e9, 0.0),
    )  # fmt: skip
    settled = 60.0 * 30.0 / seconds / n_dodecane().isothermal_modulus(40.0, 59.5 + BACK)
    assert 1.0 - most < estimate(readings, n_dodecane()).leak_at_line.value / settled <= 1.002


@pytest.mark.parametrize(
    ("t", "high", "low"),
    [(40.0, 100.0, 90.0), (20.0, 60.0, 40.0), (60.0, 150.0, 110.0), (80.0, 40.0, 34.0), (100.0, 120.0, 90.0)],
)
def test_two_readings_balance_the_mass_of_dodecane(t: float, high: float, low: float) -> None:
    """CoolProp densities (Lemmon & Huber 2004): lost volume at line and as collected; the interval holds both."""
    from CoolProp.CoolProp import PropsSI

    rho = {p: PropsSI("Dmass", "T", t + 273.15, "P", p * 1e6, "n-Dodecane") for p in (high, low, 0.5 * (high + low), BACK)}
    lost_mass = 30.0 * (rho[high] - rho[low])
    readings = TwoReadings(
        start=(high - BACK, 0.0), end=(low - BACK, 0.0), time=(60.0, 0.0), volume=(30.0, 0.0), temperature=(t, 0.0),
        one_temperature=True, rail_modulus=(1e9, 0.0),
    )  # fmt: skip
    found = estimate(readings, n_dodecane())
    # time average against mean pressure: the unknown law moves the flow by a few parts in a thousand, and is in the interval
    for interval, density in ((found.leak_at_line, rho[0.5 * (high + low)]), (found.leak_collected, rho[BACK])):
        expected = lost_mass / density
        assert interval.value == pytest.approx(expected, rel=0.02)
        assert interval.low < expected * 1.015
        assert expected * 0.985 < interval.high


def test_published_balance_of_a_rail() -> None:
    """30 cm3 of n-dodecane at 40 °C, 100 to 90 MPa in an hour: 0.15987 mL at line (V dp/K with K 1871.95 MPa: 0.16026), 0.17199
    mL collected; densities 790.343, 786.131, 734.642 kg/m3."""
    readings = TwoReadings(
        start=(100.0 - BACK, 0.0), end=(90.0 - BACK, 0.0), time=(3600.0, 0.0), volume=(30.0, 0.0), temperature=(40.0, 0.0),
        one_temperature=True, rail_modulus=(1e9, 0.0),
    )  # fmt: skip
    found = estimate(readings, n_dodecane())
    assert 60.0 * found.leak_at_line.value == pytest.approx(0.15987, rel=0.009)
    assert 60.0 * found.leak_collected.value == pytest.approx(0.17199, rel=0.006)
    assert found.bulk_modulus.value == pytest.approx(1871.95, rel=0.006)


@pytest.mark.parametrize(("p", "expected"), [(40.0, 1.07), (80.0, 1.19), (120.0, 1.29), (160.0, 1.39)])
def test_a_closed_volume_loses_its_pressure_per_kelvin(p: float, expected: float) -> None:
    """alpha K_T of n-dodecane at 40 °C (CoolProp): 1.07 to 1.39 MPa/K. A tight stiff rail cooled by half a kelvin shows it."""
    rails = closed_rail(1.0)._replace(
        start=np.array([p]), fuel_start=np.array([40.25]), wall_start=np.array([39.75]), ambient=np.array([39.75]),
        leak=leak_of(0.0, 1.0), fuel=n_dodecane().coefficients,
    )  # fmt: skip
    path = integrate(rails, ReferenceState(p, BACK, 40.0, 780.0, 120.0), np.linspace(0.0, 120.0, 241))
    assert float(path.temperature[-1, 0]) == pytest.approx(39.75, abs=1e-3)
    assert float(path.pressure[0, 0] - path.pressure[-1, 0]) / 0.5 == pytest.approx(expected, rel=0.02)


@pytest.mark.parametrize(("p", "cooling"), [(40.0, 6.5), (120.0, 16.2)])
def test_quick_decompression_cools_like_coolprop(p: float, cooling: float) -> None:
    """n-Dodecane, 40 °C, constant entropy down to 0.1 MPa: -6.5 K from 40 MPa, -16.2 K from 120 MPa (CoolProp)."""
    rails = closed_rail(1.0)._replace(
        start=np.array([p]),
        heat_time=np.array([1e9]),
        thin_time=np.array([1e9]),
        leak=leak_of(60.0, 1.0),
        fuel=n_dodecane().coefficients,
    )
    path = integrate(rails, ReferenceState(p, BACK, 40.0, 780.0, 120.0), np.linspace(0.0, 60.0, 2001))
    gone = int(np.argmin(np.abs(path.pressure[:, 0] - 1.0)))
    assert float(path.pressure[gone, 0]) < 2.0
    assert 40.0 - float(path.temperature[gone, 0]) == pytest.approx(cooling, rel=0.04)


def test_first_instant_meets_the_isentropic_modulus() -> None:
    """K_S = rho c^2 of n-dodecane, 40 °C, 80 MPa: 2025.4 MPa (CoolProp); dp/dt = -K_S Q/V before heat flows."""
    rails = closed_rail(1.0)._replace(start=np.array([80.0]), leak=leak_of(0.6, 1.0), fuel=n_dodecane().coefficients)
    path = integrate(rails, ReferenceState(80.0, BACK, 40.0, 780.0, 1.0), np.linspace(0.0, 1.0, 3))
    assert -float(path.slope[0, 0]) * 30.0 * 60.0 / 0.6 == pytest.approx(2025.4, rel=0.012)


@pytest.mark.parametrize(("p", "expected"), [(10.0, 179.87), (100.0, 568.79)])
def test_equivalent_orifice_passes_the_handbook_flow(p: float, expected: float) -> None:
    """Q = Cd A sqrt(2 dp/rho), d 0.2 mm, Cd 0.611, rho 820: Rabie, Fluid Power Engineering, eq. 2.36. The law's root in p is
    checked against it through `volume_flow`, and the diameter through its inverse."""
    assert equivalent_diameter(expected, p, 820.0, 0.611) == pytest.approx(0.2, rel=1e-4)
    reference = ReferenceState(10.0 + BACK, BACK, 40.0, 820.0, 60.0)
    flow = volume_flow(leak_of(179.87, 0.0), reference, np.array([p + BACK]), 40.0, np.array([820.0]))
    assert float(flow[0]) == pytest.approx(expected, rel=1e-4)


def test_clearance_flow_is_proportional_to_the_pressure_difference() -> None:
    """Annular leakage Q = pi D c^3 dp/(12 mu L): 2.5133 mL/min at 100 MPa (Rabie eq. 2.19), half at half the difference."""
    flow_100 = math.pi * 4e-3 * (2e-6) ** 3 * 100e6 / (12.0 * 2e-3 * 10e-3) * 6e7
    assert flow_100 == pytest.approx(2.5133, rel=1e-4)
    reference = ReferenceState(100.0 + BACK, BACK, 40.0, 830.0, 60.0)
    flow = volume_flow(leak_of(flow_100, 1.0), reference, np.array([50.0 + BACK]), 40.0, np.array([830.0]))
    assert float(flow[0]) == pytest.approx(flow_100 / 2.0, rel=1e-9)
