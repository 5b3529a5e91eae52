"""Ensembles of closed rails: run together they go where each goes alone."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from baybook_physics.closed_rail import Rails, integrate, together
from baybook_physics.fuels import diesel, ester
from baybook_physics.fuels.equations import density, heat_capacity
from baybook_physics.leaks import Leak, ReferenceState

REFERENCE = ReferenceState(80.0, 0.1, 40.0, 840.0, 30.0)
NODES = 30.0 * np.linspace(0.0, 1.0, 41) ** 1.5


def rails(count: int, laminar: float | np.ndarray, *, ester_fuel: bool = False) -> Rails:
    """Some rails of all sizes and warmths."""
    random = np.random.default_rng(count)
    spread = random.uniform(0.8, 1.2, count)
    fuel = (ester() if ester_fuel else diesel()).coefficients
    leak = Leak(2.0 * spread, laminar, np.full(count, 0.002), np.full(count, 0.02), 0.05, 0.1)
    return Rails(
        start=100.0 * spread, volume=25.0 * spread, fuel_start=50.0 * spread, wall_start=np.full(count, 40.0),
        ambient=np.full(count, 20.0), heat_time=12.0 * spread, thin_time=4.0 * spread, thin_share=0.2 * spread,
        wall_rate=1e-3 * random.standard_normal(count), wall_compliance=1.8e-5 * spread, gas=0.0, leak=leak, fuel=fuel,
    )  # fmt: skip


def test_ensembles_of_several_laws_go_together_as_alone() -> None:
    several = [rails(3, 1.0), rails(4, 0.0, ester_fuel=True), rails(5, np.linspace(0.1, 0.9, 5))]
    alone = [integrate(r, REFERENCE, NODES) for r in several]
    at_once = integrate(together(several), REFERENCE, NODES)
    for which, part in enumerate(at_once):
        assert part == pytest.approx(np.hstack([path[which] for path in alone]), rel=1e-12)


def test_halved_steps_change_nothing_that_counts() -> None:
    """A fourth-order rule: half the step, a sixteenth of the error; both below a hundredth of a bar."""
    coarse = integrate(rails(6, 0.5), REFERENCE, NODES)
    fine = integrate(rails(6, 0.5), REFERENCE, np.sort(np.append(NODES, 0.5 * (NODES[1:] + NODES[:-1]))))
    assert coarse.pressure == pytest.approx(fine.pressure[::2], abs=1e-3)
    assert fine.pressure[-1].max() < coarse.pressure[0].max() - 5.0


@pytest.mark.parametrize(("heat", "thin", "off"), [(4.0, 2.0, 0.01), (2.0, 1.0, 0.02), (1.0, 0.5, 0.2), (0.5, 0.2, 2.5)])
def test_heat_that_is_exchanged_more_quickly_than_a_step_follows_stays_steady(heat: float, thin: float, off: float) -> None:
    """In steps of up to six seconds, beside steps sixteen times as fine, MPa: what settles in 2 s is followed."""
    quick = rails(6, 0.5)._replace(heat_time=np.full(6, heat), thin_time=np.full(6, thin))
    nodes = 60.0 * (0.15 * np.linspace(0.0, 1.0, 25) + 0.85 * np.linspace(0.0, 1.0, 25) ** 2)
    fine = np.interp(np.arange(16 * 24 + 1) / 16.0, np.arange(25), nodes)
    coarse = integrate(quick, REFERENCE, nodes).pressure
    assert coarse == pytest.approx(integrate(quick, REFERENCE, fine).pressure[::16], abs=off)


@pytest.mark.parametrize(
    ("share", "gas", "rate", "drift", "thin"),
    [(1.0, 0.0, 0.0, 0.0, 0.0), (0.0, 0.0, 2e-3, 0.3, 0.0), (0.4, 0.02, -3e-3, -0.2, 0.25), (0.7, 0.0, 5e-3, 0.1, 0.5)],
)
def test_a_closed_rail_keeps_the_balance_of_mass_and_heat(
    share: float, gas: float, rate: float, drift: float, thin: float
) -> None:
    """Written anew from the balances, in the logarithm of the rail's volume, and integrated by scipy to 1e-9.

    Mass: d ln rho/dt = -Q/V - d ln V/dt, with V(p, Tw) of steel (3 times 11.7e-6 1/K) and its compliance, and free gas that
    Boyle's law shrinks. Heat: dT/dt = T alpha/(rho cp) dp/dt - (T - Tw)/tau. Derivatives of the density are differences of it.
    Leak: clearance, orifice and drift as in Rabie, Fluid Power Engineering, eq. 2.19 and 2.36.
    """
    fuel, flow, volume, back = diesel().coefficients, 3.0, 22.0, 0.1
    wall_start, ambient, tau, thin_tau, compliance = 45.0, 20.0, 15.0, 4.0, 1.8e-5
    end = float(NODES[-1])
    reference = ReferenceState(80.0, back, 40.0, 840.0, end)

    def rho(p: float, t: float) -> float:
        return float(density(fuel, t, p))

    def derivatives(now: float, state: np.ndarray) -> list[float]:
        p, bulk, bore = state
        t = (1.0 - thin) * bulk + thin * bore
        going = np.exp(-abs(rate) * now / (1.0 if rate > 0 else 0.3))
        wall = ambient + (wall_start - ambient) * (going if rate > 0 else 1.0 + 0.3 * (1.0 - going))
        warming = -rate * going * (wall_start - ambient)
        here = rho(p, t)
        alpha = -(rho(p, t + 1e-3) - rho(p, t - 1e-3)) / 2e-3 / here
        squeeze = (rho(p + 1e-3, t) - rho(p - 1e-3, t)) / 2e-3 / here
        heating = (t + 273.15) * alpha / (here * heat_capacity(fuel, t) * 1e-6)
        rise = (p - back) / (80.0 - back)
        slit = rise * np.exp(0.02 * (t - 40.0) - 0.002 * (p - 80.0))
        hole = np.sqrt(rise * 840.0 / here)
        lost = flow * np.exp(drift * (2 * now / end - 1)) * (share * slit + (1 - share) * hole) / 60.0 / volume
        out = [(bulk - wall) / tau, (bore - wall) / thin_tau]
        heat = (1.0 - thin) * out[0] + thin * out[1]
        # d ln rho = squeeze dp - alpha dT; dT = heating dp - heat dt; d ln V = (compliance + gas/p2) dp + 3 a dTw
        slope = (-lost - 3 * 11.7e-6 * warming - alpha * heat) / (squeeze - alpha * heating + compliance + gas / p**2)
        return [slope, heating * slope - out[0], heating * slope - out[1]]

    exact = solve_ivp(derivatives, (0.0, end), [100.0, 50.0, 50.0], t_eval=NODES, rtol=1e-9, atol=1e-9).y
    leak = Leak(np.full(1, flow), share, np.full(1, 0.002), np.full(1, 0.02), drift, back)
    one = Rails(100.0, volume, 50.0, wall_start, ambient, tau, thin_tau, thin, rate, compliance, gas, leak, fuel)
    found = integrate(one, reference, NODES)
    assert found.pressure[:, 0] == pytest.approx(exact[0], abs=2e-3)
    assert found.temperature[:, 0] == pytest.approx((1.0 - thin) * exact[1] + thin * exact[2], abs=2e-3)
    slopes = [derivatives(now, state)[0] for now, state in zip(NODES, exact.T, strict=True)]
    assert found.slope[:, 0] == pytest.approx(slopes, rel=2e-3)


def test_a_rail_falls_no_lower_than_where_its_leak_ends() -> None:
    """A leak that would empty it many times over: what is left lies a thousandth of a MPa above."""
    empty = rails(3, 1.0)
    found = integrate(empty._replace(leak=empty.leak._replace(flow=np.full(3, 2000.0))), REFERENCE, NODES)
    assert found.pressure[-1] == pytest.approx(0.101) and (np.diff(found.pressure, axis=0) <= 1e-9).all()
