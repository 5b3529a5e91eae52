"""The rail that is filled and emptied, against a published problem with published answers, and closed forms.

Problem A of a national student modelling contest (2019): a closed volume with an inlet orifice and a pulsed outlet. Its fluid's
modulus over pressure: attachment 3, two public repositories with identical numbers (sdzongxin/mathematics-modeling,
Sahala08/CUMCM2019-A); answers: papers A201919002111 and A201915007116.
"""

from __future__ import annotations

import csv
from math import pi, sqrt
from pathlib import Path

import numpy as np
import pytest

from baybook.api import find_fuel
from baybook_physics.rail import Store, build_up_time, follow, integral, isentropic_store
from baybook_physics.rail_balance import balance

TABLE = Path(__file__).parents[1] / "published" / "data" / "rail_benchmark_modulus.csv"
ROWS = list(csv.reader(line for line in TABLE.read_text().splitlines() if not line.startswith("#")))[1:]
PRESSURE = np.linspace(0.0, 200.0, 2001)
MODULUS = np.interp(PRESSURE, [float(row[0]) for row in ROWS], [float(row[1]) for row in ROWS])
VOLUME = pi / 4 * 10.0**2 * 500.0  # mm3
SOURCE = 160.0  # MPa
HOLE = 0.85 * pi / 4 * 1.4**2  # C A, mm2
INJECTED, EVERY = 44.0, 100.0  # mm3, ms


def store() -> Store:
    """Content in mm3 at 100 MPa, density from d rho/rho = dp/E with 0.850 mg/mm3 at 100 MPa."""
    rise = integral(PRESSURE, 1.0 / MODULUS)
    return Store.of(PRESSURE, 0.850 * np.exp(rise - np.interp(100.0, PRESSURE, rise)), VOLUME, 0.850)


def density(pressure: float) -> float:
    return 0.850 * float(store().at(np.array(pressure))) / VOLUME


def inflow(pressure: float) -> float:
    """mm3/ms at 100 MPa's density: Q = C A sqrt(2 dp/rho) of the high-pressure side, units mm, ms, MPa, mg."""
    rich = density(SOURCE)
    return rich / 0.850 * HOLE * sqrt(2 * max(SOURCE - pressure, 0.0) / rich)


@pytest.mark.parametrize(("pressure", "published"), [(0.5, 0.8043), (150.0, 0.8677), (160.0, 0.8711)])
def test_density_of_the_published_fluid(pressure: float, published: float) -> None:
    """Source: abstract and code of paper A201919002111; tolerance 5e-4 mg/mm3."""
    assert density(pressure) == pytest.approx(published, abs=5e-4)


@pytest.mark.parametrize(("held", "published", "tolerance"), [(100.0, 0.2877, 0.005), (150.0, 0.7517, 0.01)])
def test_open_time_that_holds_the_pressure(held: float, published: float, tolerance: float) -> None:
    """The published answer: with a valve that opens for t and then rests 10 ms, what flows in is what flows out."""
    out = INJECTED / EVERY * density(held) / 0.850
    open_time = 10.0 * out / (inflow(held) - out)
    assert open_time == pytest.approx(published, rel=tolerance)


@pytest.mark.parametrize(("seconds", "published", "tolerance"), [(2.0, 0.9, 0.03), (5.0, 0.755, 0.02)])
def test_build_up_from_100_to_150_mpa(seconds: float, published: float, tolerance: float) -> None:
    """Paper A201915007116: 0.9 ms for 2 s, 0.75 to 0.76 ms for 5 s. Here the pressure reached is followed."""
    content, rich = store(), density(SOURCE)

    def net(now: float, pressure: float) -> float:
        phase, cycle = now % EVERY, now % (published + 10.0)
        rate = 100 * phase if phase < 0.2 else 20.0 if phase < 2.2 else max(240.0 - 100 * phase, 0.0)
        inside = rich / 0.850 * HOLE * sqrt(2 * max(SOURCE - pressure, 0.0) / rich) if cycle < published else 0.0
        return inside - rate * float(content.at(np.array(pressure))) / VOLUME

    path = follow(content, 100.0, np.arange(0.0, 1000 * seconds + 0.05, 0.05), net)
    reached = float(path[-2000:].mean())
    assert reached == pytest.approx(150.0, rel=tolerance)


def test_step_of_one_injection() -> None:
    """E dV/V = 2171.4 * 44/39269.9 = 2.433 MPa, with E varying 2.423 (the problem's own numbers, arithmetic)."""
    content = store()
    left = float(content.at(np.array(100.0))) - INJECTED
    assert 100.0 - content.level(left) == pytest.approx(2.423, rel=2e-3)


@pytest.mark.parametrize(("speed", "air", "seconds"), [(250.0, 0.0, 0.9375), (150.0, 0.0, 2.344), (250.0, 0.9, 2.282)])
def test_build_up_time_by_hand(speed: float, air: float, seconds: float) -> None:
    """V dp/(K Q) with 30 cm3, 25 MPa, 1.2 GPa, 0.6 cm3/rev at half speed, 80 %, 20 mL/min lost; 0.9 cm3 of free air at 0.1 MPa
    takes another 0.9 (1 - 0.1/25.1) cm3 (Boyle). Plain arithmetic."""
    pressure = np.geomspace(0.05, 40.0, 400)
    content = Store.of(pressure, 1.0 + pressure / 1200.0, 30.0, 1.0 + 0.1 / 1200.0, air=air, atmospheric=0.1)
    net = 0.6 * 0.5 * speed / 60 * 0.8 - 20.0 / 60
    assert build_up_time(content, 0.1, 25.1, net) == pytest.approx(seconds, rel=2e-3)


def test_too_slow_a_pump_never_fills() -> None:
    """80 1/min: 0.32 mL/s against 0.333 mL/s lost (same numbers)."""
    content = Store.of(np.geomspace(0.05, 40.0, 50), np.linspace(1.0, 1.02, 50), 30.0, 1.0)
    assert build_up_time(content, 0.1, 25.1, 0.6 * 0.5 * 80 / 60 * 0.8 - 20.0 / 60) == float("inf")


def test_isentropic_content_against_a_reference_fluid() -> None:
    """n-dodecane from 40 °C, 0.101 to 25.101 MPa along its isentrope: 734.6421 to 749.7015 kg/m3 (CoolProp 8.0.0 after
    Lemmon & Huber 2004); the fuel model's own error at 1 standard uncertainty is some per cent of the rise."""
    found = isentropic_store(find_fuel("n-dodecane"), 40.0, 30.0, 0.0, 30.0)
    rise = float(found.at(np.array(25.101325)) - found.at(np.array(0.101325)))
    assert rise == pytest.approx(30.0 * (749.7015 / 734.6421 - 1.0), rel=0.025)


def test_the_balance_finds_what_was_put_in() -> None:
    """A rail followed with 0.7 of 1.5 cm3/s and a loss of 0.03 cm3/(s MPa), cranked for 3 s and left alone: own numbers."""
    content = Store.of(np.geomspace(0.05, 200.0, 400), 1.0 + np.geomspace(0.05, 200.0, 400) / 1500.0, 25.0, 1.0)
    time = np.arange(0.0, 8.0, 0.005)
    path = follow(content, 0.101325, time, lambda now, p: 0.7 * 1.5 * (0.5 < now < 3.5) - 0.03 * max(p - 0.101325, 0.0))
    turns = np.clip(time - 0.5, 0.0, 3.0) * 1.8
    gauge = path - 0.101325 + np.random.default_rng(5).normal(0.0, 0.1, len(path))
    found = balance(time, content.at(gauge + 0.101325), gauge, turns * 1.5 / 1.8, [(0, len(time))])
    assert found is not None
    assert found.share == pytest.approx(0.7, abs=3 * np.sqrt(found.covariance[0, 0]) + 0.005)
    assert float(found.loss(20.0)) == pytest.approx(0.6, rel=0.05)
    assert found.covariance[0, 0] > 0


@pytest.mark.parametrize("parts", [[(0, 800)], [(0, 400), (400, 800)]])
def test_a_gauge_that_sinks_while_the_pump_sweeps_tells_of_no_delivery(parts: list[tuple[int, int]]) -> None:
    """No share and no loss that is not negative makes a content fall where no pressure drives anything out: all stay zero."""
    content = Store.of(np.geomspace(0.05, 200.0, 400), 1.0 + np.geomspace(0.05, 200.0, 400) / 1500.0, 25.0, 1.0)
    time = np.arange(0.0, 8.0, 0.01)
    gauge = -0.001 * time
    found = balance(time, content.at(gauge + 0.101325), gauge, 1.5 * np.clip(time - 0.5, 0.0, 3.0), parts)
    assert found is not None and found.share == 0.0 and float(found.loss(20.0)) == 0.0
