"""Lines, filters, viscosity and dissolved air against libraries and published rows."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import fluids
import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from baybook_physics import dissolved_air, filtration, pipe, viscosity

DATA = Path(__file__).parents[1] / "published" / "data"


def rows(name: str) -> list[dict[str, float]]:
    with (DATA / name).open(encoding="utf-8") as file:
        return [{k: float(v) for k, v in row.items()} for row in csv.DictReader(line for line in file if line[0] != "#")]


@pytest.mark.parametrize("roughness", [0.0, 1e-4, 1e-3, 0.02])
def test_turbulent_friction_is_colebrooks(roughness: float) -> None:
    """fluids.Colebrook solves the same equation exactly; its docstring prints 0.018513866077471 at Re 1e5, e/D 1e-4."""
    for number in (2000.0, 3000.0, 4000.0, 1e4, 1e5, 1e7):
        assert pipe.turbulent(number, roughness) == pytest.approx(fluids.Colebrook(number, roughness), rel=1e-12)
    assert pipe.turbulent(1e5, 1e-4) == pytest.approx(0.018513866077471, rel=1e-12)


@pytest.mark.parametrize("row", rows("pipe_friction.csv"), ids=lambda row: f"Re {row['Re']:g}, e/D {row['eD']:g}")
def test_friction_over_all_regimes(row: dict[str, float]) -> None:
    """Computed with fluids 1.3.1: 64/Re and Colebrook to six digits; both between Re 2000 and 4000, one of them elsewhere."""
    found = pipe.friction(row["Re"], row["eD"])
    if row["Re"] <= 2000:
        assert found == pytest.approx((row["laminar_64_Re"],) * 2, abs=6e-7)
    elif row["Re"] >= 4000:
        assert found == pytest.approx((row["colebrook"],) * 2, abs=6e-7)
    else:
        assert found == pytest.approx((row["laminar_64_Re"], row["colebrook"]), abs=6e-7)


def test_between_the_regimes_lies_every_published_value() -> None:
    """Churchill 1977 (fluids) and fluids' own choice lie between the two that are given, from Re 2000 to 4000."""
    for number in np.linspace(2000, 4000, 41):
        low, high = pipe.friction(float(number))
        assert low * (1 - 1e-9) <= fluids.friction_factor(float(number), 0.0) <= high * (1 + 1e-9)
        assert low * 0.999 <= fluids.Churchill_1977(float(number), 0.0) <= high * 1.02


def test_arrays_give_what_floats_give() -> None:
    """Shape (n, m) out of (n, 1) and (m,)."""
    numbers, rough = np.array([[500.0], [2000.0], [2500.0], [4000.0], [1e5]]), np.array([0.0, 1e-3])
    found = pipe.friction(numbers, rough, np)
    assert found.low.shape == found.high.shape == (5, 2)
    for i, number in enumerate(numbers[:, 0]):
        for j, roughness in enumerate(rough):
            one = pipe.friction(float(number), float(roughness))
            assert (found.low[i, j], found.high[i, j]) == pytest.approx(tuple(one), rel=1e-12)
    assert viscosity.at(np.array([0.0, 40.0]), 2.8, 40.0, 3.9, np).shape == (2,)


@pytest.mark.parametrize("row", rows("supply_line_drop.csv"), ids=lambda r: f"{r['t_C']:g} C {r['D_mm']:g} mm {r['Q_L_h']:g}")
def test_drop_of_a_line(row: dict[str, float]) -> None:
    """3 m of smooth line, computed with fluids 1.3.1; its leap at Re 2040 lies within the two values that are given."""
    flow = row["Q_L_h"] * 1000 / 60
    number = pipe.reynolds(flow, row["D_mm"], row["nu_mm2_s"])
    assert number == pytest.approx(row["Re"], abs=0.051)
    assert pipe.velocity(flow, row["D_mm"]) == pytest.approx(row["v_m_s"], abs=6e-5)
    low, high = (pipe.drop(f, flow, row["D_mm"], 3.0, row["rho_kg_m3"]) * 1e6 for f in pipe.friction(number))
    assert low * (1 - 1e-4) <= row["dp_Pa"] <= high * (1 + 1e-4)
    if not 2000 < number < 4000:
        assert low == high == pytest.approx(row["dp_Pa"], rel=1e-4)


def test_textbook_lines() -> None:
    """Fluid-power textbook, ex. 4-4 (1000 mm2/s, 5 m/s in 50 mm, 50 m, g 9.80: Re 250, 326 m) and 4-10 (Re
    952.4, f 0.06720, v 3.7497 m/s)."""
    flow = 5.0 * math.pi / 4 * 0.05**2 * 60e6
    number = pipe.reynolds(flow, 50.0, 1000.0)
    head = pipe.drop(pipe.friction(number).low, flow, 50.0, 50.0, 900.0) * 1e6 / (900.0 * 9.80)
    assert (number, head) == pytest.approx((250.0, 326.0), rel=2e-3)
    number = pipe.reynolds(1.90 * 60e3, 25.4, 100.0)
    assert (number, pipe.friction(number).high) == pytest.approx((952.4, 0.06720), rel=1e-4)
    assert pipe.lift(1.0, 832.0) * 1e3 == pytest.approx(8.159, rel=1e-4)  # kPa of one metre of fuel


def test_filter_by_darcy() -> None:
    """Darcy: 10 kPa at 2.8 mm2/s and 818 kg/m3 grow 4.666 times at 12.544 and 852; Forchheimer: 6 and 14 kPa at 60 and
    120 L/h."""
    found = filtration.carried_over(10.0, 60.0, 2.8 * 0.818, 60.0, 12.544 * 0.852)
    assert found == pytest.approx(46.66, abs=0.005)
    assert filtration.coefficients(60.0, 6.0, 120.0, 14.0) == pytest.approx((0.083333, 2.7778e-4), rel=1e-4)


@pytest.mark.parametrize("row", rows("viscosity_temperature.csv"), ids=lambda row: f"{row['nu_at_40C']:g} at {row['t_C']:g}")
def test_walthers_line(row: dict[str, float]) -> None:
    """Computed with the same equation elsewhere; the constants of its rows leave the low term out, so they differ below 2."""
    found = viscosity.through(row["t_C"], row["nu_at_20C"], 20.0, row["nu_at_40C"], 40.0)
    assert found == pytest.approx(row["nu_low"], rel=5e-3 if row["nu_at_40C"] <= 2 else 1e-3)


def test_walthers_line_against_a_reference_liquid() -> None:
    """n-Dodecane (CoolProp) from its values at 20 and 60 °C, at 0, 40, 80 °C: within 0.4 %."""

    def nu(t: float) -> float:
        state = ("T", t + 273.15, "P", 101325.0, "n-Dodecane")
        return float(PropsSI("V", *state) / PropsSI("D", *state) * 1e6)

    for t in (0.0, 40.0, 80.0):
        assert viscosity.through(t, nu(20.0), 20.0, nu(60.0), 60.0) == pytest.approx(nu(t), rel=4e-3)
    assert abs(viscosity.slope(nu(0.0), 0.0, nu(40.0), 40.0) - viscosity.SLOPE) < viscosity.SLOPE_U95


@pytest.mark.parametrize(("absolute", "percent"), [(90, 1.35), (80, 2.86), (70, 4.80), (50, 11.0)])
def test_air_out_of_solution(absolute: float, percent: float) -> None:
    """Henry's law, Bunsen coefficient 0.10, 20 °C, worked out elsewhere from 1 atm; to the digits given."""
    assert 100 * dissolved_air.released(101.325, absolute, 20.0) == pytest.approx(percent, rel=1e-2)
