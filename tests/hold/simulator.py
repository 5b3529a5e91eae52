"""A closed rail, simulated apart from the estimator: other fluid equations, another integrator, another leak.

The fluid is n-hexadecane from a table of its equation of state (Romeo & Lemmon 2022, splined), stretched to a diesel that is
*not* the product's diesel: its modulus, expansion, heat capacity and density are drawn anew for each case. The clearance leak
is a gap whose viscosity is integrated along it, that opens with pressure and is warmed by throttling. scipy's LSODA integrates.
"""

from __future__ import annotations

import csv
import math
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from scipy.integrate import solve_ivp
from scipy.interpolate import RectBivariateSpline

TABLE = Path(__file__).parent.parent / "published" / "data" / "nhexadecane_romeo_lemmon_2022.csv"
ATMOSPHERE = 0.101325


@cache
def _table() -> tuple[RectBivariateSpline, RectBivariateSpline]:
    """Splines of ln density and heat capacity over (°C, MPa)."""
    with TABLE.open(encoding="utf-8") as lines:
        rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    t = sorted({float(row["t_C"]) for row in rows})
    p = sorted({float(row["p_MPa_abs"]) for row in rows})
    at = {(float(row["t_C"]), float(row["p_MPa_abs"])): row for row in rows}
    grid = lambda name: np.array([[float(at[a, b][name]) for b in p] for a in t])  # noqa: E731
    return RectBivariateSpline(t, p, np.log(grid("rho_kg_m3")), s=0), RectBivariateSpline(t, p, grid("cp_J_kgK"), s=0)


@dataclass(frozen=True)
class Fluid:
    """n-Hexadecane stretched: rho(t, p) = density x rho16(t', p/stiff), t' = 40 + warm (t - 40)."""

    density: float
    stiff: float
    warm: float
    heat: float
    viscosity: float  # mPa s at 40 °C and 0.1 MPa
    thickening: float  # 1/MPa

    def state(self, t: float, p: float) -> tuple[float, float, float, float]:
        """Density kg/m3, K_T MPa, expansion 1/K, cp J/(kg K)."""
        log_rho, cp = _table()
        x, y = 40.0 + self.warm * (t - 40.0), p / self.stiff
        rho = self.density * math.exp(float(log_rho(x, y)[0, 0]))
        modulus = self.stiff / float(log_rho(x, y, dy=1)[0, 0])
        return rho, modulus, -self.warm * float(log_rho(x, y, dx=1)[0, 0]), self.heat * float(cp(x, y)[0, 0])

    def mu(self, t: float) -> float:
        """mPa s at 0.1 MPa."""
        return self.viscosity * math.exp(1850.0 * (1.0 / (t + 273.15) - 1.0 / 313.15))


def diesel_of(random: np.random.Generator) -> tuple[Fluid, float]:
    """A fuel within EN 590, and its density at 15 °C."""
    rho = 832.5 + random.uniform(-12.0, 12.0)
    return Fluid(
        density=rho / 777.2, stiff=1.085 * (1.0 + 0.0035 * (rho - 832.5)) * (1.0 + 0.025 * random.standard_normal()),
        warm=0.93 * (1.0 + 0.02 * random.standard_normal()), heat=0.9 * (1.0 + 0.03 * random.standard_normal()),
        viscosity=random.uniform(1.8, 3.4), thickening=random.uniform(0.008, 0.012),
    ), rho  # fmt: skip


@dataclass(frozen=True)
class Truth:
    """One rail and its hold."""

    fluid: Fluid
    volume: float
    start: float  # MPa gauge
    back: float  # MPa gauge
    fuel_start: float
    wall_start: float
    ambient: float
    heat_time: float
    wall_time: float
    rail_modulus: float
    laminar: float  # mL/min at 80 MPa and 40 °C
    orifice: float  # mL/min at 80 MPa
    opening: float  # 1/MPa
    duration: float
    thin_share: float = 0.0
    thin_time: float = 5.0
    """s"""
    change: float = 0.0
    """Of the leak, in logarithm, from the middle of the hold to its end."""
    gas: float = 0.0
    """Free gas, by volume at atmospheric pressure."""

    def leak(self, p: float, t: float) -> float:
        """mL/min at absolute p (MPa) and t (°C)."""
        rho = self.fluid.state(t, p)[0]
        d = max(p - ATMOSPHERE - self.back, 0.0)
        return self.laminar * self._gap(d, t) / self._gap(80.0, 40.0) + self.orifice * math.sqrt(d / 80.0 * 840.0 / rho)

    def _gap(self, d: float, t: float) -> float:
        """Integral of dp/mu along the gap, fuel there warmer by 0.2 K per MPa of the whole drop, gap open by 1 + opening p."""
        b = self.fluid.thickening
        return (1.0 + self.opening * d) ** 3 * (1.0 - math.exp(-b * d)) / b / self.fluid.mu(t + 0.2 * d)

    def run(self):  # type: ignore[no-untyped-def]
        """Dense solution: t (s) to (p MPa absolute, t of the fuel in the rail, t of that in thin bores, °C)."""
        found = solve_ivp(
            self._rates, (0.0, self.duration), [self.start + ATMOSPHERE, self.fuel_start, self.fuel_start], method="LSODA",
            rtol=1e-8, atol=1e-7, dense_output=True, max_step=self.duration / 40.0,
        )  # fmt: skip
        assert found.success
        return found.sol

    def mean_temperature(self, y: np.ndarray) -> float:
        """Of all the fuel, °C."""
        return float((1.0 - self.thin_share) * y[1] + self.thin_share * y[2])

    def _rates(self, now: float, y: np.ndarray) -> list[float]:
        p, t = max(float(y[0]), 0.11), self.mean_temperature(y)
        rho, modulus, alpha, cp = self.fluid.state(t, p)
        distance = (self.wall_start - self.ambient) * math.exp(-now / self.wall_time)
        wall, wall_rate = self.ambient + distance, -distance / self.wall_time
        flow = self.leak(p, t) * math.exp(self.change * (2.0 * now / self.duration - 1.0)) / 60.0 / self.volume
        # mass: dp (1/K_T + 1/K_rail + gas) - alpha dT = -flow - steel; heat of each part: dTi - g dp = -(Ti - Tw)/tau_i
        g = (t + 273.15) * alpha / (rho * cp) * 1e6
        give = 1.0 / modulus + 1.0 / self.rail_modulus + self.gas * ATMOSPHERE / p**2
        share = self.thin_share
        matrix = np.array([[give, -alpha * (1.0 - share), -alpha * share], [-g, 1.0, 0.0], [-g, 0.0, 1.0]])
        known = np.array(
            [-flow - 3.5e-5 * wall_rate, -(float(y[1]) - wall) / self.heat_time, -(float(y[2]) - wall) / self.thin_time]
        )
        return list(np.linalg.solve(matrix, known))


@dataclass(frozen=True)
class Case:
    """What a technician has of a truth, and what he should find."""

    truth: Truth
    time: np.ndarray
    pressure: np.ndarray  # MPa gauge, as shown
    volume: tuple[float, float]  # value, standard uncertainty
    temperature: tuple[float, float]
    zero: float
    density: tuple[float, float] | None
    viscosity: float | None
    reference: float
    limit: float
    kind: str
    at_line: float
    collected: float
    fuel: str = "diesel"
    ambient: tuple[float, float] = (20.0, 1.0)
    gas: tuple[float, float] = (0.0, 0.0)
    settled: bool = False
    group: str = "home"
    lead: float = 0.0
    """s of running pump in front of the hold."""


def draw_case(random: np.random.Generator) -> Case:
    """A case with everything drawn: 95 % half-widths are twice the spread of what is drawn."""
    known_density = random.random() < 0.6
    fluid, rho = diesel_of(random)
    stated_volume, volume_u = random.uniform(15.0, 45.0), random.choice([0.03, 0.05, 0.07]) / 1.96
    stated_t, t_u = random.uniform(35.0, 68.0), random.choice([2.0, 3.0, 4.0]) / 1.96
    kind = str(random.choice(["laminar", "orifice", "mixed", "none"], p=[0.3, 0.25, 0.2, 0.25]))
    size = float(np.exp(random.uniform(math.log(0.25), math.log(12.0)))) if kind != "none" else 0.0
    share = {"laminar": 1.0, "orifice": 0.0, "none": 0.5, "mixed": random.uniform(0.3, 0.7)}[kind]
    wall = stated_t + t_u * random.standard_normal()
    truth = Truth(
        fluid=fluid, volume=stated_volume * (1.0 + volume_u * random.standard_normal()), start=random.uniform(60.0, 160.0),
        back=random.uniform(0.0, 0.3), fuel_start=wall + random.uniform(0.0, 8.0), wall_start=wall,
        ambient=random.uniform(8.0, 28.0), heat_time=float(np.exp(random.uniform(math.log(5.0), math.log(28.0)))),
        wall_time=float(np.exp(math.log(1000.0) + 0.4 * random.standard_normal())), rail_modulus=random.uniform(45e3, 70e3),
        laminar=size * share, orifice=size * (1.0 - share), opening=random.uniform(0.0, 0.002), duration=0.0,
    )  # fmt: skip
    # long enough to see something, short enough that pressure is left
    longest = 0.75 * truth.start / 1900.0 * truth.volume / max(size, 1e-6) * 60.0
    truth = Truth(**{**truth.__dict__, "duration": float(np.clip(random.uniform(20.0, 90.0), 6.0, max(longest, 6.0)))})
    density = (rho + random.standard_normal(), 1.0) if known_density else None
    return measured(
        truth, random, kind, volume=(stated_volume, stated_volume * volume_u), temperature=(stated_t, t_u), density=density,
        knows_viscosity=known_density and random.random() < 0.5, rate=float(random.choice([20.0, 50.0, 100.0, 250.0])),
        noise=random.uniform(0.03, 0.3), step=float(random.choice([0.05, 0.1, 0.2])),
        reference_away=float(random.choice([-10.0, 0.0, 10.0])), limit=float(random.choice([1.0, 2.0, 4.0, 6.0])),
    )  # fmt: skip


def measured(
    truth: Truth,
    random: np.random.Generator,
    kind: str,
    *,
    volume: tuple[float, float],
    temperature: tuple[float, float],
    density: tuple[float, float] | None,
    rate: float,
    noise: float,
    step: float,
    knows_viscosity: bool = False,
    reference_away: float = 0.0,
    limit: float = 6.0,
    zero_u: float = 1.0 / 1.96,
    lead: float = 0.0,
) -> Case:
    """What a sensor with this noise (MPa), step (MPa) and rate (Hz) and a drawn zero error shows of a truth.

    For `lead` seconds before the hold a pump keeps the pressure up, with a ripple of 0.2 to 1.5 %.
    """
    path = truth.run()
    time = np.arange(0.0, truth.duration, 1.0 / rate)
    clean = path(time)[0] - ATMOSPHERE
    before = np.arange(1.0, lead * rate)[::-1] / -rate
    ripple, beat = truth.start * random.uniform(0.002, 0.015), random.uniform(2.0, 15.0)
    running = truth.start + ripple * np.sin(2.0 * math.pi * beat * before) * (before < -0.5 / beat)
    time, seen = np.append(before, time) + lead, np.append(running, clean)
    shown = seen + zero_u * random.standard_normal() + noise * random.standard_normal(len(time))
    mean = 0.5 * (clean[0] + clean[-1]) + ATMOSPHERE
    crossing = float(np.interp(-mean, -clean - ATMOSPHERE, time[len(before) :] - lead))
    low = mean < 20.0
    reference = round(mean, 1) if low else float(np.clip(round(mean / 10.0) * 10.0 + reference_away, 20.0, 150.0))
    rho_ref = truth.fluid.state(temperature[0], reference + ATMOSPHERE)[0]
    light = truth.fluid.state(temperature[0], ATMOSPHERE)[0]
    at_40 = truth.fluid.state(40.0, ATMOSPHERE)[0]
    return Case(
        truth=truth, time=time, pressure=np.round(shown / step) * step, volume=volume, temperature=temperature, zero=zero_u,
        density=density, viscosity=truth.fluid.viscosity / at_40 * 1e3 if knows_viscosity else None, reference=reference,
        limit=limit, kind=kind, at_line=truth.leak(mean, truth.mean_temperature(path(crossing))),
        collected=truth.leak(reference + ATMOSPHERE, temperature[0]) * rho_ref / light, lead=lead,
    )  # fmt: skip
