"""What is written on a data sheet, and how uncertain what is not: rectangular ranges of the standards, half-widths at 95 %."""

from __future__ import annotations

from dataclasses import replace
from math import log, sqrt

import pytest

from baybook.api import InputError
from baybook_physics.fuels import (
    blend,
    calibration_fluid,
    diesel,
    ester,
    fuel_from_table,
    known_better,
    n_dodecane,
    paraffinic,
    petroleum,
)

SHEET = {"name": "x", "density_15C": 835.0, "viscosity_40C": 2.7, "sources": ["sheet"]}


def test_a_diesel_of_which_nothing_is_known_has_the_standards_range() -> None:
    """EN 590, temperate: 820 to 845 kg/m3 and 2.0 to 4.5 mm2/s; the standard deviation of a rectangle is its half-width over
    the root of 3 (JCGM 100, 4.3.7), of the viscosity in the logarithm."""
    fuel = diesel()
    assert fuel.density(15.0, 0.101325) == pytest.approx(832.5)
    assert fuel.widths.density == pytest.approx((845 - 820) / sqrt(12))
    assert fuel.viscosity(40.0, 0.101325) / fuel.density(40.0, 0.101325) == pytest.approx(sqrt(2.0 * 4.5) * 1e-3, rel=1e-4)
    assert fuel.widths.viscosity == pytest.approx(log(4.5 / 2.0) / sqrt(12))


def test_a_diesel_of_which_something_is_known_keeps_it() -> None:
    """And where nothing is said, a density is good to 1 kg/m3, a viscosity to 3 %."""
    fuel = diesel(828.0, None, 3.1)
    assert (fuel.widths.density, fuel.widths.viscosity) == (1.0, 0.03)
    assert diesel(828.0, 0.3, 3.1, 0.01).widths.density == 0.3 and diesel(828.0, 0.3, 3.1, 0.01).widths.viscosity == 0.01
    assert diesel(828.0).widths.viscosity == diesel().widths.viscosity
    for edge in (760.0, 900.0):
        assert diesel(edge, 1.0).density(15.0, 0.101325) == pytest.approx(edge)
    for edge in (0.5, 20.0):
        assert diesel(830.0, 1.0, edge).widths.viscosity == 0.03


def test_calibration_fluid_has_its_standards_range() -> None:
    """ISO 4113 table 1: 820 to 830 kg/m3, 2.45 to 2.75 mm2/s, rectangular."""
    fuel = calibration_fluid()
    assert fuel.density(15.0, 0.101325) == pytest.approx(825.0) and fuel.widths.density == pytest.approx(10 / sqrt(12))
    assert fuel.viscosity(40.0, 0.101325) / fuel.density(40.0, 0.101325) == pytest.approx(2.6e-3, rel=1e-4)
    assert fuel.widths.viscosity == pytest.approx(0.3 / 2.6 / sqrt(12))


@pytest.mark.parametrize("make", [diesel, calibration_fluid, paraffinic, ester, n_dodecane])
def test_no_width_is_wider_than_what_is_published_of_such_fuels(make) -> None:
    """Published bands: moduli of fuels of one kind lie within 10 %, expansions and heat capacities within 10 %, viscosities
    within a factor of 2 (standards of the fuels); a width is a third of that at most and never nothing."""
    widths = make().widths
    for name, most in {"modulus": 0.05, "tait_c": 0.05, "expansion": 0.05, "heat_capacity": 0.06, "viscosity": 0.25,
                       "viscosity_pressure": 0.13, "density": 8.0}.items():  # fmt: skip
        assert 0.0 < getattr(widths, name) <= most


def test_better_known_properties_move_what_hangs_on_them() -> None:
    """The modulus by the table's own slope with density, the expansion by -2/rho of K0/rho^2 (logarithmic derivative)."""
    fuel, known = diesel(), known_better(diesel(), 840.0, 0.4, 3.0, 0.06)
    slope = petroleum.modulus_slopes(832.5)[2]
    assert known.coefficients.modulus == pytest.approx(fuel.coefficients.modulus * (1 + slope * 7.5))
    assert known.coefficients.expansion == pytest.approx(fuel.coefficients.expansion * (1 - 2 / 832.5 * 7.5))
    assert (known.widths.density, known.widths.viscosity) == (0.4, pytest.approx(0.02))
    assert known.widths.modulus == fuel.widths.modulus
    assert known_better(fuel, 840.0, None, None, None).widths.density == 1.0
    assert known_better(fuel, None, None, 3.0, None).widths.viscosity == 0.02  # never surer than a viscometer
    assert known_better(fuel, None, None, None, None) == fuel


@pytest.mark.parametrize(("density", "viscosity"), [(832.5 * 0.919, None), (832.5 * 1.081, None), (None, 0.49), (None, 20.1)])
def test_what_is_not_of_the_family_is_refused(density: float | None, viscosity: float | None) -> None:
    """More than 8 % from its density, or no fuel's viscosity; the limits themselves are allowed."""
    with pytest.raises(ValueError, match=r"density|viscosity"):
        known_better(diesel(), density, 1.0, viscosity, 0.1)
    for near in (832.5 * 0.921, 832.5 * 1.079):
        assert known_better(diesel(), near, 1.0, None, None).coefficients.density == near
    for edge in (0.5, 20.0):
        assert known_better(diesel(), None, None, edge, 0.1).widths.viscosity == pytest.approx(max(0.1 / edge, 0.02))


def test_half_widths_of_a_table_are_at_95_per_cent() -> None:
    """1.96 standard deviations of a normal (JCGM 100, table G.1)."""
    table = {**SHEET, "density_u95": 3.92, "viscosity_u95_pct": 9.8, "expansion_u95_pct": 1.96, "modulus_u95_pct": 3.92,
             "tait_c_u95_pct": 5.88, "modulus_fall": 0.0061, "heat_capacity_15C": 2050.0, "expansion_15C": 9e-4,
             "tait_c": 0.09, "modulus_15C": 1400.0}  # fmt: skip
    fuel = fuel_from_table(table)
    widths = fuel.widths
    assert (widths.density, widths.viscosity) == pytest.approx((2.0, 0.05))
    assert (widths.expansion, widths.modulus, widths.tait_c) == pytest.approx((0.01, 0.02, 0.03))
    c = fuel.coefficients
    assert (c.modulus, c.modulus_slope, c.heat_capacity, c.expansion, c.tait_c) == (1400.0, 0.0061, 2050.0, 9e-4, 0.09)
    assert fuel.modulus_with_density == 0.0 and fuel_from_table(SHEET).modulus_with_density > 0.0
    assert (fuel_from_table(SHEET).widths.density, fuel_from_table(SHEET).widths.viscosity) == pytest.approx(
        (2 / 1.96, 6 / 196)
    )


@pytest.mark.parametrize(("key", "low", "high"), [
    ("density_15C", 760, 900), ("density_u95", 0, 50), ("viscosity_40C", 0.5, 20), ("viscosity_u95_pct", 0, 80),
    ("expansion_15C", 3e-4, 2e-3), ("expansion_u95_pct", 0, 50), ("modulus_15C", 500, 3000), ("modulus_u95_pct", 0, 50),
    ("modulus_fall", 0.001, 0.02), ("tait_c", 0.05, 0.15), ("tait_c_u95_pct", 0, 50), ("heat_capacity_15C", 1200, 3000),
])  # fmt: skip
def test_the_limits_that_a_refusal_names_are_those_that_hold(key: str, low: float, high: float) -> None:
    for good in (low, high):
        assert fuel_from_table({**SHEET, key: good}).name == "x"
    for bad in (low - 1e-5, high + 1e-5, float("inf"), 10**400):
        with pytest.raises(InputError, match=f"{key}: .* is not possible; give {low:g} to {high:g}"):
            fuel_from_table({**SHEET, key: bad})


def test_a_described_blend() -> None:
    """Of 20 % ester: by volume (Amagat) 0.8 and 0.2 of the parts' densities; what is known of the blend itself counts."""
    plain = fuel_from_table({"name": "b", "ester_pct": 20.0, "sources": ["s"]})
    assert plain.density(15.0, 0.101325) == pytest.approx(0.8 * 832.5 + 0.2 * 880.0, rel=1e-4)
    assert (plain.name, plain.title, plain.sources[-1]) == ("b", "b", "s")
    known = fuel_from_table({"name": "b", "ester_pct": 20, "density_15C": 842.0, "viscosity_40C": 3.0, "sources": ["s"]})
    assert known.density(15.0, 0.101325) == pytest.approx(842.0, rel=1e-6)
    assert (known.widths.density, known.widths.viscosity) == pytest.approx((2 / 1.96, 6 / 196))
    with pytest.raises(InputError, match="is not that of"):
        fuel_from_table({"name": "b", "ester_pct": 20.0, "density_15C": 765.0, "sources": ["s"]})
    for share in (0.0, 100.0):
        assert fuel_from_table({"name": "b", "ester_pct": share, "sources": ["s"]}).name == "b"
    for share in (-0.1, 100.1):
        with pytest.raises(InputError, match="ester_pct"):
            fuel_from_table({"name": "b", "ester_pct": share, "sources": ["s"]})


def test_a_glass_hydrometer_is_corrected() -> None:
    """ASTM D1250-80, 1 - 2.3e-5 dt - 2e-8 dt2 (from memory): at 35 °C by hand."""
    assert petroleum.glass_correction(35.0) == pytest.approx(0.999532, abs=1e-9)
    assert petroleum.glass_correction(15.0) == 1.0 and petroleum.glass_correction(5.0) == pytest.approx(1.000228, abs=1e-9)


@pytest.mark.parametrize("temperature", [-10.0, 20.0, 60.0])
@pytest.mark.parametrize("density", [655.0, 772.0, 800.0, 835.0, 900.0, 1070.0])
def test_a_density_is_brought_to_15_degrees_and_back(density: float, temperature: float) -> None:
    measured = density * petroleum.volume_correction(density, temperature)
    assert petroleum.density_at_15(measured, temperature) == pytest.approx(density, abs=1e-6)
    with pytest.raises(ValueError, match="outside the petroleum tables"):
        petroleum.density_at_15(500.0, temperature)
    with pytest.raises(ValueError, match="outside the petroleum tables"):
        petroleum.density_at_15(1200.0, temperature)


def test_a_nuisance_moves_its_own_coefficients_by_its_width() -> None:
    """c (1 + w s), and with the density what hangs on it: by the model's own declaration of its widths."""
    fuel = diesel()
    c, w, shifts = fuel.coefficients, fuel.widths, {"modulus": 1.5, "tait_c": -2.0, "expansion": 0.5, "heat_capacity": 1.0}
    moved = fuel.shifted({**shifts, "viscosity": -1.0, "viscosity_pressure": 2.0})
    assert moved.modulus == pytest.approx(c.modulus * (1 + 1.5 * w.modulus)) and moved.density == c.density
    assert moved.tait_c == pytest.approx(c.tait_c * (1 - 2 * w.tait_c))
    assert moved.expansion == pytest.approx(c.expansion * (1 + 0.5 * w.expansion))
    assert moved.expansion_slope == pytest.approx(c.expansion_slope * (1 + 0.5 * w.expansion))
    assert moved.heat_capacity == pytest.approx(c.heat_capacity * (1 + w.heat_capacity))
    assert moved.viscosity == pytest.approx(c.viscosity * (1 - w.viscosity))
    assert moved.viscosity_pressure == pytest.approx(c.viscosity_pressure * (1 + 2 * w.viscosity_pressure))
    denser = fuel.shifted({"density": 1.0})
    assert denser.density == pytest.approx(c.density + w.density)
    assert denser.modulus == pytest.approx(c.modulus * (1 + fuel.modulus_with_density * w.density))
    assert denser.expansion == pytest.approx(c.expansion * (1 - 2 / 832.5 * w.density))


@pytest.mark.parametrize(
    "what", ["density", "isothermal_modulus", "isentropic_modulus", "expansion", "heat_capacity", "viscosity"]
)
def test_a_relative_uncertainty_is_the_root_of_the_squares(what: str) -> None:
    """Of each nuisance's own effect, by one standard width (JCGM 100, 5.1.2)."""
    fuel = diesel()
    centre = getattr(fuel, what)(40.0, 80.0)
    effects = []
    for name in ("density", "modulus", "tait_c", "expansion", "heat_capacity", "viscosity", "viscosity_pressure"):
        moved = replace(fuel, coefficients=fuel.shifted({name: 1.0}))
        effects.append(getattr(moved, what)(40.0, 80.0) / centre - 1.0)
    assert fuel.relative_uncertainty(what, 40.0, 80.0) == pytest.approx(sqrt(sum(effect**2 for effect in effects)))


@pytest.mark.parametrize(("t", "p"), [(-40.0, 0.0), (150.0, 250.0)])
def test_all_models_reach_to_their_limits_and_no_further(t: float, p: float) -> None:
    assert diesel().density(t, p) > 0.0
    for away_t, away_p in ((t + (0.1 if t > 0 else -0.1), p), (t, p + (0.1 if p > 0 else -0.1))):
        for ask in ("density", "heat_capacity", "viscosity", "isentropic_heating", "expansion", "beyond"):
            with pytest.raises(ValueError, match="where the fuel models end"):
                getattr(diesel(), ask)(away_t, away_p)


def test_a_blend_is_as_uncertain_as_its_parts_together() -> None:
    """By volume: the diesel's share of what hangs on its density; the ends are the fuels themselves, but for the mixing rule's
    own 1 % of the modulus."""
    for share in (0.0, 0.3, 1.0):
        found = blend(share)
        assert found.modulus_with_density == pytest.approx((1 - share) * diesel().modulus_with_density)
        assert found.expansion_with_density == pytest.approx((1 - share) * diesel().expansion_with_density)
    assert blend(0.0).widths.density == pytest.approx(diesel().widths.density)
    assert blend(1.0).widths.viscosity == pytest.approx(ester().widths.viscosity)
    assert blend(1.0).widths.modulus == pytest.approx((ester().widths.modulus ** 2 + 0.01**2) ** 0.5)
    assert (blend(0.07).name, blend(0.07).title) == ("b7", "Diesel fuel with 7 % ester")


def test_an_ester_swells_as_its_standard_says() -> None:
    """EN 14214 takes 0.723 kg/m3 off its density for each kelvin (from memory), from 15 °C on."""
    fuel = ester()
    fall = (fuel.density(15.0, 0.101325) - fuel.density(35.0, 0.101325)) / 20.0
    assert fall == pytest.approx(0.723, rel=0.04)


@pytest.mark.parametrize("celsius", [0.0, 15.0, 40.0, 80.0])
def test_the_heat_capacity_of_a_distillate_is_cragoes(celsius: float) -> None:
    """(1.685 + 0.0034 t)/sqrt(s) kJ/(kg K), s the density at 15 °C over water's (Cragoe 1929: from memory)."""
    fuel = diesel()
    expected = (1685.0 + 3.4 * celsius) / sqrt(fuel.density(15.0, 0.101325) / 999.1)
    assert fuel.heat_capacity(celsius, 0.101325) == pytest.approx(expected, rel=3e-3)


def test_alkanes_have_nearly_the_same_heat_capacity_by_mass() -> None:
    """Handbooks of liquids: those of twelve and sixteen carbons lie within 2 %, and rise alike."""
    for celsius in (0.0, 20.0, 60.0, 100.0):
        assert paraffinic().heat_capacity(celsius, 0.1) == pytest.approx(n_dodecane().heat_capacity(celsius, 0.1), rel=0.02)
