"""Leaks, heat, steel, the balance between two states and viscosity: closed forms, and integrals by scipy."""

from __future__ import annotations

from math import exp, expm1, inf, log, pi, sqrt

import numpy as np
import pytest
from scipy.integrate import quad

from baybook_physics import dissolved_air, heat, leaks, viscosity
from baybook_physics.compliance import STEEL_MODULUS_GPA, STEEL_POISSON, rail_modulus_default, thick_cylinder_modulus
from baybook_physics.fuels import diesel, n_dodecane
from baybook_physics.fuels.equations import density, isothermal_modulus
from baybook_physics.mass_balance import PressureFall, flow_at_mean_pressure, volume_share_lost
from baybook_physics.orifice import equivalent_diameter
from baybook_physics.overpressure import largest_excess
from baybook_physics.rail import Store, build_up_time, follow, integral, isentropic_store
from baybook_physics.rail_balance import Balance, balance, losses
from baybook_physics.strokes import Found, missing_share, missing_share_by_strokes, needed_rate

REFERENCE = leaks.ReferenceState(80.0, 0.1, 40.0, 840.0, 30.0)


def leak(share: float | np.ndarray, drift: float = 0.0) -> leaks.Leak:
    return leaks.Leak(np.array(3.0), share, np.array(0.002), np.array(0.02), drift, 0.1)


@pytest.mark.parametrize("share", [0.0, 0.3, 1.0, np.array([0.0, 0.5, 1.0])])
def test_leak_laws(share: float | np.ndarray) -> None:
    """Rabie, Fluid Power Engineering, eq. 2.19 and 2.36: a clearance by the difference, a hole by its root over density; both
    the stated flow where they are tied down."""
    for p, t, rho in ((60.0, 55.0, 820.0), (80.0, 40.0, 840.0), (120.0, 20.0, 870.0)):
        rise = (p - 0.1) / 79.9
        slit = rise * exp(0.02 * (t - 40.0) - 0.002 * (p - 80.0))
        expected = 3.0 * (share * slit + (1 - share) * sqrt(rise * 840.0 / rho))
        assert leaks.volume_flow(leak(share), REFERENCE, p, t, np.array(rho)) == pytest.approx(expected)


def test_a_leak_drifts_about_the_middle_of_the_test() -> None:
    """exp(e (2 t/T - 1)), and behind the end it stays."""
    found = [float(leaks.drift_factor(leak(1.0, 0.3), REFERENCE, t)) for t in (0.0, 15.0, 30.0, 99.0)]
    assert found == pytest.approx([exp(-0.3), 1.0, exp(0.3), exp(0.3)])


@pytest.mark.parametrize("share", [0.0, 0.4, 1.0])
def test_a_leaks_exponent_is_its_logarithms_slope(share: float) -> None:
    """d ln Q/d ln dp by differences, the density following the pressure."""
    fuel = diesel().coefficients

    def flow(p: float) -> float:
        return float(leaks.volume_flow(leak(share), REFERENCE, p, 45.0, np.array(density(fuel, 45.0, p))))

    p, step = 70.0, 1e-3
    slope = (log(flow(p + step)) - log(flow(p - step))) / (log(p + step - 0.1) - log(p - step - 0.1))
    rho, modulus = np.array(density(fuel, 45.0, p)), np.array(isothermal_modulus(fuel, 45.0, p))
    assert leaks.flow_exponent(leak(share), REFERENCE, np.array(p), np.array(45.0), rho, modulus) == pytest.approx(
        slope, rel=1e-5
    )


def test_a_leak_of_nothing_keeps_its_exponent() -> None:
    """By its share alone: 0.4 (1 - 0.002 69.9) + 0.6 0.5 (1 - 69.9/1500)."""
    none = leak(0.4)._replace(flow=np.array(0.0))
    found = leaks.flow_exponent(none, REFERENCE, np.array(70.0), np.array(45.0), np.array(850.0), np.array(1500.0))
    assert found == pytest.approx(0.4 * (1 - 0.002 * 69.9) + 0.3 * (1 - 69.9 / 1500))


@pytest.mark.parametrize("rate", [0.01, -0.01])
def test_a_wall_drifts_to_its_surroundings_or_warms_by_three_tenths(rate: float) -> None:
    """exp(-t/tau); soaking it follows 1 + 0.3 (1 - exp(-t/(0.3 tau))). The rate is the derivative; floats as arrays."""
    import math

    for t in (0.0, 20.0, 300.0):
        left, going = heat.wall_drift(rate, t, math)
        expected = exp(-0.01 * t) if rate > 0 else 1.0 - 0.3 * expm1(-0.01 * t / 0.3)
        assert left == pytest.approx(expected)
        step = 1e-4
        slope = -(heat.wall_drift(rate, t + step, math)[0] - left) / step
        assert going == pytest.approx(slope, rel=1e-3, abs=1e-9)
        found = heat.wall_drift(np.array([rate]), np.array([t]), np)
        assert (found[0][0], found[1][0]) == pytest.approx((left, going))


def test_a_body_that_follows_late() -> None:
    """First order: the lag of a ramp is the mean of exp(-s/tau) over the time (by scipy's quadrature)."""
    rest, late = heat.lag(12.0, 5.0)
    assert rest == pytest.approx(exp(-2.4)) and late == pytest.approx(quad(lambda s: exp(-s / 5.0), 0.0, 12.0)[0] / 12.0)


@pytest.mark.parametrize("ratio", [1.5, 2.0, 3.0])
def test_a_thick_cylinder_is_lames(ratio: float) -> None:
    """Strain of the bore from Lame's stresses: hoop p (k + 1)/(k - 1), radial -p, axial 0 or p/(k - 1), k = (do/di)^2;
    dV/V = 2 e_hoop + e_axial (textbooks of elasticity). Open ends counted without the tube's own shortening."""
    k, e, nu = ratio**2, STEEL_MODULUS_GPA, STEEL_POISSON
    hoop, radial, axial = (k + 1) / (k - 1), -1.0, 1 / (k - 1)
    closed = 2 * (hoop - nu * (radial + axial)) / e + (axial - nu * (hoop + radial)) / e
    assert thick_cylinder_modulus(10.0, 10.0 * ratio) == pytest.approx(1 / closed)
    assert thick_cylinder_modulus(1.0, ratio, closed_ends=False) == pytest.approx(1 / (2 * (hoop + nu) / e))
    assert thick_cylinder_modulus(1.0, ratio, young=103.0) == pytest.approx(1 / closed / 2)
    for inner, outer in ((1.0, 1.0), (2.0, 1.0), (0.0, 1.0)):
        with pytest.raises(ValueError, match="must be above"):
            thick_cylinder_modulus(inner, outer)


def test_a_rails_modulus_is_the_middle_of_thin_and_thick_tubes() -> None:
    """Geometric mean, MPa, of those of 1.8 and 3 times the bore, which lie within 0.2 of its logarithm's deviation."""
    middle, width = rail_modulus_default()
    low, high = 1e3 * thick_cylinder_modulus(1.0, 1.8), 1e3 * thick_cylinder_modulus(1.0, 3.0)
    assert middle == pytest.approx(sqrt(low * high)) and log(high / middle) < 1.0 * width and 0.15 <= width <= 0.25


@pytest.mark.parametrize("exponent", [0.5, 1.0, 1.4])
def test_flow_at_the_mean_pressure(exponent: float) -> None:
    """Time by dt ~ dp/(K Q): the flow averaged in time is the integral of dp/K over that of dp/(K Q), by scipy."""
    fuel, fall, back = diesel().coefficients, PressureFall(120.0, 40.0), 0.1
    middle = (0.5 * (fall.start + fall.end) - back) ** exponent
    plain = quad(lambda p: 1 / isothermal_modulus(fuel, 40.0, p), fall.end, fall.start)[0]
    weighted = quad(lambda p: 1 / isothermal_modulus(fuel, 40.0, p) / (p - back) ** exponent, fall.end, fall.start)[0]
    found = flow_at_mean_pressure(fuel, 40.0, fall, back, exponent)
    assert found == pytest.approx(middle * weighted / plain, rel=4e-3)


def test_what_a_rail_lost_between_two_states() -> None:
    """Its mass before and after: density times a volume that the wall and the gas change (arithmetic; Boyle)."""
    fuel, fall = diesel().coefficients, PressureFall(100.0, 60.0)
    found = volume_share_lost(fuel, fall, (50.0, 42.0), 1.8e-5, 0.05)
    swelling = log(density(fuel, 50.0, 100.0) / density(fuel, 42.0, 60.0))
    assert found == pytest.approx(swelling + 40.0 * 1.8e-5 + 0.05 / 60.0 - 0.05 / 100.0)


def test_an_orifice_by_hand() -> None:
    """100 mL/min at 50 MPa and 830 kg/m3, Cd 0.7: area Q/(Cd sqrt(2 dp/rho)), diameter of its circle; sign kept."""
    area = 100e-6 / 60 / (0.7 * sqrt(2 * 50e6 / 830.0))
    assert equivalent_diameter(100.0, 50.0, 830.0, 0.7) == pytest.approx(1e3 * sqrt(4 * area / pi))
    assert equivalent_diameter(-100.0, 50.0, 830.0, 0.7) == pytest.approx(-1e3 * sqrt(4 * area / pi))


def test_how_far_a_pressure_may_lie_above() -> None:
    """100 bar or a fifth, the larger (common practice, no source)."""
    assert [largest_excess(wanted) for wanted in (0.0, 400.0, 500.0, 1000.0, -1000.0)] == [100.0, 100.0, 100.0, 200.0, 200.0]


@pytest.mark.parametrize("t", [-10.0, 0.0, 60.0, 90.0])
def test_walthers_line_is_straight_in_absolute_temperature(t: float) -> None:
    """lg lg Z over lg T of 273.15 K + t, Z with the low term (ASTM D341's form): the point lies on the line to 1e-9."""

    def level(nu: float) -> float:
        return log(log(nu + 0.7 + exp(-1.47 - 1.84 * nu - 0.51 * nu * nu)) / log(10)) / log(10)

    found = viscosity.at(t, 2.8, 40.0, 3.9)
    assert level(found) == pytest.approx(level(2.8) - 3.9 * log((t + 273.15) / 313.15) / log(10), abs=1e-9)
    assert viscosity.slope(2.8, 40.0, found, t) == pytest.approx(3.9)


def test_air_comes_out_by_henry_and_swells_by_boyle_and_gay_lussac() -> None:
    """0.1 of its volume at 0 °C and 1 atm for each atmosphere of difference; at half the pressure, 27.3 °C."""
    assert dissolved_air.released(100.0, 50.0, 27.315) == pytest.approx(0.10 * 1.1)
    assert dissolved_air.released(100.0, 80.0, 0.0, 0.12) == pytest.approx(0.12 * 0.25)
    assert dissolved_air.released(100.0, 200.0, 0.0) == pytest.approx(-0.05)


def test_what_is_missing_by_orders() -> None:
    """One of three elements at half: w pi/2 of an element's mean; strokes at 2/(n2 - 1) of the mean of two."""
    assert missing_share(0.5 * pi / 2 * 0.25, 0.75, 3) == pytest.approx(0.5)
    lacks = 0.4
    mean = 2 - lacks  # of elements of mean 1; the strokes' order is 2/3 of it, the own lacks pi/2
    assert missing_share_by_strokes(lacks * pi / 2, mean * 2 / 3, 2) == pytest.approx(lacks)
    assert needed_rate(10.0, 3, 2) == pytest.approx(264.0)
    assert not Found(1.0, 3.0, 0.1, 1.0).stands_out and Found(1.0, 3.01, 0.1, 1.0).stands_out


def test_an_isentropic_store_is_filled_along_its_modulus() -> None:
    """d ln rho/dp = 1/K_S: against scipy's quadrature, from the atmosphere; stiffer by 1.1, walls that give, air of Boyle."""
    fuel = n_dodecane()
    grow = quad(lambda p: 1 / fuel.isentropic_modulus(40.0, p), 0.101325, 60.0)[0]
    store = isentropic_store(fuel, 40.0, 25.0, 0.0, 80.0)
    assert store.at(np.array(60.0)) == pytest.approx(25.0 * exp(grow), rel=2e-4)
    assert store.at(np.array(0.101325)) == pytest.approx(25.0, rel=1e-8) and store.pressure[-1] == pytest.approx(80.0)
    stiff = isentropic_store(fuel, 40.0, 25.0, 2e-5, 80.0, stiffer=1.1)
    assert stiff.at(np.array(60.0)) == pytest.approx(25.0 * exp(grow / 1.1) * (1 + 2e-5 * 60.0), rel=2e-4)
    assert store.at(np.array(0.05)) < store.at(np.array(0.0525)), "it is told down to half an atmosphere"
    airy = isentropic_store(fuel, 40.0, 25.0, 0.0, 80.0, air=2.0)
    assert airy.at(np.array(60.0)) == pytest.approx((25.0 - 2.0 * 0.101325 / 60.0) * exp(grow), rel=2e-4)
    full = Store.of(np.array([0.001, 1.0]), np.ones(2), 25.0, 1.0, air=2.0, atmospheric=0.1)
    assert full.content == pytest.approx([0.0, 24.8])


def test_following_a_rail_is_exact_for_a_steady_flow() -> None:
    """A linear store; and with a leak in proportion the exponential of it, by the midpoint rule's own order."""
    store = Store(np.array([0.0, 100.0]), np.array([20.0, 22.0]))
    times = np.linspace(0.0, 2.0, 201)
    assert follow(store, 10.0, times, lambda _, p: 0.2) == pytest.approx(10.0 + 10.0 * times)
    decay = follow(store, 80.0, times, lambda _, p: -0.02 * p)
    assert decay == pytest.approx(80.0 * np.exp(-times), rel=1e-4)
    assert follow(store, 0.0, times, lambda t, _: 0.9 * t)[-1] == pytest.approx(90.0)
    assert build_up_time(store, 10.0, 60.0, 0.5) == pytest.approx(2.0) and build_up_time(store, 10.0, 60.0, 0.0) == inf
    assert integral(np.array([0.0, 1.0, 3.0]), np.array([1.0, 3.0, 5.0])) == pytest.approx([0.0, 2.0, 10.0])


def test_kinds_of_losses_by_hand() -> None:
    """At 36 and at 100 of 40: p, its root, and what lies above 0.3, 0.5, 0.65, 0.8, 0.9 of the highest; below 0 nothing."""
    expected = [[36.0, 6.0, 24.0, 16.0, 10.0, 4.0, 0.0], [100.0, 10.0, 88.0, 80.0, 74.0, 68.0, 64.0], [0.0] * 7]
    assert losses(np.array([36.0, 100.0, -1.0]), 40.0) == pytest.approx(np.array(expected))


def test_what_a_balance_gives_and_loses() -> None:
    """Linear in its values: mean and standard uncertainty by error propagation (JCGM 100, 5.1.2, 5.2.2)."""
    values = np.array([0.8, 0.002, 0.01, 0.0, 0.03, 0.0, 0.0, 0.0, 0.0])
    covariance = np.diag([4e-4, 1e-6, 1e-6, 0.0, 9e-6, 0.0, 0.0, 0.0, 0.0])
    covariance[0, 1] = covariance[1, 0] = 1e-6
    found = Balance(values, covariance, 40.0)
    given, u = found.given(1.5, 20.0)
    assert given == pytest.approx(0.8 * 1.5 - 0.002 * 20.0)
    assert u == pytest.approx(sqrt(1.5**2 * 4e-4 + 20.0**2 * 1e-6 - 2 * 1.5 * 20.0 * 1e-6)) and found.share == 0.8
    assert found.loss(36.0) == pytest.approx(0.01 * 36.0 + 0.03 * 24.0)
    assert found.loss_u(36.0) == pytest.approx(sqrt(36.0**2 * 1e-6 + 24.0**2 * 9e-6)) and found.given(0.0, 20.0)[0] == 0.0


def test_a_balance_of_a_pump_that_turns_and_rests() -> None:
    """What was put in comes back: a share of 0.75, a slip of 0.004 and a leak of 0.02 for each MPa; two turns and a rest, each
    part by its own; within five of the stated uncertainties, which are small."""
    time = np.arange(0.0, 24.0, 0.01)
    store = Store(np.linspace(0.0, 100.0, 3), 20.0 + np.linspace(0.0, 3.0, 3))
    on = (time < 6.0) | ((time >= 10.0) & (time < 16.0))

    def net(now: float, p: float) -> float:
        turning = now < 6.0 or 10.0 <= now < 16.0
        return (0.75 * 1.2 - 0.004 * p if turning else 0.0) - 0.02 * p

    path = follow(store, 0.0, time, net)
    gauge = path + np.random.default_rng(3).normal(0.0, 0.05, len(path))
    displaced = np.concatenate([[0.0], np.cumsum(np.where(on, 1.2, 0.0)[:-1] * np.diff(time))])
    found = balance(time, store.at(gauge), gauge, displaced, [(0, 600), (600, 1000), (1000, 1600), (1600, 2400)])
    assert found is not None and found.top == pytest.approx(max(gauge[600:1000].max(), gauge[1600:].max()))
    assert found.share == pytest.approx(0.75, abs=5 * sqrt(found.covariance[0, 0]) + 1e-3)
    assert float(found.loss(20.0)) == pytest.approx(0.4, abs=5 * found.loss_u(20.0) + 2e-3)
    assert found.given(1.2, 20.0)[0] == pytest.approx(0.75 * 1.2 - 0.08, abs=5 * found.given(1.2, 20.0)[1] + 2e-3)
    assert sqrt(found.covariance[0, 0]) < 0.02 and found.loss_u(20.0) < 0.02


def test_a_balance_needs_rows_and_something_swept() -> None:
    time, flat = np.arange(100.0), np.zeros(100)
    assert balance(time, flat, flat + 1.0, flat, [(0, 100)]) is None
    assert balance(time[:20], time[:20], time[:20], time[:20], [(0, 20)]) is None
