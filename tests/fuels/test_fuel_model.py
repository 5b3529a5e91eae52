"""Fuel models: consistent, honest about their range, the same for floats and arrays, and light."""

from __future__ import annotations

import math
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from baybook_physics.fuels import (
    NUISANCES,
    FuelModel,
    FuelRangeError,
    Widths,
    calibration_fluid,
    diesel,
    equations,
    ester,
    known_better,
    n_dodecane,
    paraffinic,
    petroleum,
)

MAKERS = [diesel, calibration_fluid, n_dodecane, paraffinic, ester]
TEMPERATURES, PRESSURES = st.floats(-20.0, 120.0), st.floats(0.2, 199.0)


@pytest.mark.parametrize("make", MAKERS)
@given(t=TEMPERATURES, p=PRESSURES)
def test_stiffness_and_expansion_are_the_slopes_of_density(make: Callable[[], FuelModel], t: float, p: float) -> None:
    """K_T = rho/(d rho/dp) and alpha = -(d rho/dt)/rho, everywhere in the range."""
    fuel, dp, dt = make(), 1e-3, 1e-3
    rho = fuel.density(t, p)
    assert fuel.isothermal_modulus(t, p) == pytest.approx(
        rho * 2.0 * dp / (fuel.density(t, p + dp) - fuel.density(t, p - dp)), rel=1e-5
    )
    assert fuel.expansion(t, p) == pytest.approx(
        -(fuel.density(t + dt, p) - fuel.density(t - dt, p)) / 2.0 / dt / rho, rel=1e-5
    )


@pytest.mark.parametrize("make", MAKERS)
@given(t=TEMPERATURES, p=PRESSURES)
def test_heat_makes_a_quick_change_stiffer(make: Callable[[], FuelModel], t: float, p: float) -> None:
    """1/K_T - 1/K_S = T alpha^2/(rho cp) (identity), and cp/cv lies between 1.05 and 1.35 for a liquid fuel."""
    fuel = make()
    k_t, k_s = fuel.isothermal_modulus(t, p), fuel.isentropic_modulus(t, p)
    gap = (t + 273.15) * fuel.expansion(t, p) ** 2 / (fuel.density(t, p) * fuel.heat_capacity(t, p)) * 1e6
    assert 1.0 / k_t - 1.0 / k_s == pytest.approx(gap, rel=1e-9)
    assert 1.05 < k_s / k_t < 1.35


@pytest.mark.parametrize("make", MAKERS)
def test_pressure_makes_fuel_denser_stiffer_and_thicker_and_warmth_the_opposite(make: Callable[[], FuelModel]) -> None:
    """Over the whole range, step by step."""
    fuel = make()
    for property_ in (fuel.density, fuel.isothermal_modulus, fuel.isentropic_modulus, fuel.viscosity):
        along_p = [property_(40.0, p) for p in (0.1, 20.0, 60.0, 120.0, 200.0)]
        along_t = [property_(t, 60.0) for t in (-20.0, 10.0, 40.0, 80.0, 120.0)]
        assert along_p == sorted(along_p)
        assert along_t == sorted(along_t, reverse=True)


@pytest.mark.parametrize("make", MAKERS)
def test_arrays_give_what_floats_give(make: Callable[[], FuelModel]) -> None:
    """The vectorised path is the same equations."""
    fuel = make()
    t, p = np.array([-10.0, 25.0, 90.0]), np.array([1.0, 80.0, 190.0])
    for name in ("density", "isothermal_modulus", "isentropic_modulus", "expansion", "viscosity", "isentropic_heating"):
        arrays = getattr(equations, name)(fuel.coefficients, t, p, np)
        assert arrays == pytest.approx([getattr(fuel, name)(a, b) for a, b in zip(t, p, strict=True)], rel=1e-12)


@pytest.mark.parametrize(("t", "p"), [(-41.0, 10.0), (151.0, 10.0), (40.0, -0.1), (40.0, 251.0), (float("nan"), 10.0)])
def test_beyond_all_models_a_number_is_refused(t: float, p: float) -> None:
    """Not silently extrapolated without end."""
    with pytest.raises(FuelRangeError, match="where the fuel models end"):
        diesel().density(t, p)


def test_outside_its_own_range_a_fuel_says_so() -> None:
    """`beyond` says by what, or None inside, at the limits too."""
    fuel = n_dodecane()
    assert fuel.beyond(0.0, 0.1) is None
    assert fuel.beyond(120.0, 180.0) is None
    assert fuel.beyond(-1.0, 50.0) == (-1.0, "°C", 0.0, 120.0)
    assert fuel.beyond(40.0, 190.0) == (190.0, "MPa(a)", 0.1, 180.0)


@pytest.mark.parametrize("name", NUISANCES)
def test_every_nuisance_moves_something(name: str) -> None:
    """And only the fuel's own uncertainty sets how far."""
    fuel = diesel()
    moved = fuel.shifted({name: 1.0})
    assert moved != fuel.coefficients
    assert fuel.shifted({name: 0.0}) == fuel.coefficients


def test_an_unknown_nuisance_is_refused() -> None:
    with pytest.raises(KeyError, match="stiffness"):
        diesel().shifted({"stiffness": 1.0})


def test_knowing_the_density_narrows_the_stiffness() -> None:
    """A denser diesel is stiffer, so an unknown density is an unknown stiffness too."""
    vague, known = diesel(), diesel(832.5, 0.5)
    assert known.relative_uncertainty("isothermal_modulus", 40.0, 80.0) < vague.relative_uncertainty(
        "isothermal_modulus", 40.0, 80.0
    )
    assert diesel(845.0).isothermal_modulus(40.0, 80.0) > diesel(820.0).isothermal_modulus(40.0, 80.0)


def test_bridge_error_is_part_of_the_width_above_the_tables() -> None:
    """At 100 MPa, far above the 10 MPa where the tables stop, diesel's stiffness is known to 1.5 to 3.5 % and no better."""
    assert 0.015 < diesel(835.0).relative_uncertainty("isothermal_modulus", 40.0, 100.0) < 0.035


def test_a_known_better_fuel_takes_density_and_viscosity() -> None:
    fuel = known_better(paraffinic(), 779.0, 1.0, 2.9, 0.05)
    assert fuel.density(15.0, 0.101325) == pytest.approx(779.0)
    assert fuel.viscosity(40.0, 0.101325) == pytest.approx(2.9e-3 * paraffinic().density(40.0, 0.101325), rel=1e-6)
    assert fuel.widths.density == 1.0
    with pytest.raises(ValueError, match="900 kg/m3 is not that of paraffinic"):
        known_better(paraffinic(), 900.0, 1.0, None, None)
    with pytest.raises(ValueError, match="viscosity at 40 °C: 29 mm2/s is no fuel's"):
        known_better(paraffinic(), None, None, 29.0, None)


@pytest.mark.parametrize(("density", "viscosity"), [(700.0, 2.7), (950.0, 2.7), (835.0, 0.1), (835.0, 99.0)])
def test_what_is_no_diesel_is_refused(density: float, viscosity: float) -> None:
    with pytest.raises(ValueError, match="no distillate fuel"):
        diesel(density, 1.0, viscosity)


def test_a_model_checks_itself() -> None:
    """No model with a negative modulus, an endless number, or no source."""
    good = diesel()
    for broken in (
        {"coefficients": good.coefficients._replace(modulus=-1.0)},
        {"coefficients": good.coefficients._replace(density=float("inf"))},
        {"sources": ()},
        {"temperatures": (50.0, 40.0)},
    ):
        with pytest.raises(ValueError, match="diesel"):
            replace(good, **broken)
    with pytest.raises(ValueError, match="width modulus"):
        replace(good.widths, modulus=float("nan"))
    assert isinstance(good.widths, Widths)


def test_fuels_load_no_numerical_library() -> None:
    """Two readings must stay quick: the scalar path needs neither numpy nor scipy."""
    code = (
        "import sys; from baybook_physics.fuels import diesel; diesel().isentropic_modulus(40.0, 100.0);"
        "sys.exit(any(name in sys.modules for name in ('numpy', 'scipy', 'pint')))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_a_blend_mixes_volumes() -> None:
    """Amagat: one litre of B30 is 0.7 L of diesel and 0.3 L of ester at any pressure; the modulus lies where compressibilities
    mix by volume. Ends are the fuels themselves."""
    from baybook_physics.fuels import blend

    b30, one, other = blend(0.3), diesel(), ester()
    for t, p in ((15.0, 0.101325), (40.0, 40.0), (60.0, 120.0)):
        mass = 0.7 * one.density(15.0, 0.101325) + 0.3 * other.density(15.0, 0.101325)
        volume = sum(part * fuel.density(15.0, 0.101325) / fuel.density(t, p) for part, fuel in ((0.7, one), (0.3, other)))
        assert b30.density(t, p) == pytest.approx(mass / volume, rel=1e-3)
        moduli = [fuel.isothermal_modulus(t, p) for fuel in (one, b30, other)]
        assert moduli == sorted(moduli)
    assert blend(0.0).density(40.0, 80.0) == pytest.approx(one.density(40.0, 80.0), rel=1e-9)
    assert blend(1.0).isothermal_modulus(40.0, 80.0) == pytest.approx(other.isothermal_modulus(40.0, 80.0), rel=1e-9)
    with pytest.raises(ValueError, match="give 0 to 1"):
        blend(1.2)


def test_a_blend_is_a_fuel_of_the_hold() -> None:
    """Between its parts, by name."""
    from baybook import calculate

    read = {"start": "1000 bar", "end": "500 bar", "time": "20 s", "volume": "25 ± 1 mL"}
    moduli = [calculate("hold", **read, fuel=fuel)["bulk_modulus"].value for fuel in ("diesel", "b7", "b30", "ester")]
    assert moduli == sorted(moduli)


@pytest.mark.parametrize("density", [780.0, 835.0, 880.0])
def test_the_slopes_of_the_petroleum_modulus_are_those_of_its_formula(density: float) -> None:
    """Against differences of the compressibility formula itself (API MPMS 11.2.1M), over density and over temperature."""

    def log_modulus(rho: float, t: float) -> float:
        return -math.log(petroleum.compressibility(rho, t))

    modulus, per_kelvin, per_density = petroleum.modulus_slopes(density)
    assert math.log(modulus) == pytest.approx(log_modulus(density, 15.0))
    assert per_density == pytest.approx((log_modulus(density + 0.5, 15.0) - log_modulus(density - 0.5, 15.0)), rel=1e-4)
    assert per_kelvin == pytest.approx(-(log_modulus(density, 15.5) - log_modulus(density, 14.5)), rel=1e-4)
