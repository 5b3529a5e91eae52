"""Worlds of simulated holds, group by group: low pressure, air, settled benches, other fuels, leaks that change; near what the
estimator believes (`HOME`) and away from it (`ABROAD`)."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from .simulator import ATMOSPHERE, Case, Fluid, Truth, diesel_of, measured

GROUPS = ("home", "low", "aerated", "settled", "ester", "drifting", "paraffin")


@dataclass(frozen=True)
class World:
    """What rails are like; ranges are even, in logarithm for times, pairs with a spread are normal."""

    heat_time: tuple[float, float] = (5.0, 28.0)
    """s"""
    thin_share: tuple[float, float] = (0.0, 0.28)
    thin_time: tuple[float, float] = (0.15, 0.5)
    """Of the heat time."""
    warm: tuple[float, float] = (0.33, 0.18)
    """Of the warming by compression: mean and spread, never below 0."""
    wall_time: tuple[float, float] = (1000.0, 0.4)
    """s: middle, and spread of its logarithm."""
    drift: float = 0.0
    """Spread of `Truth.change`."""
    lead: tuple[float, float] = (0.0, 0.0)
    """s of running pump before the hold, to be found."""


HOME = World()
ABROAD = World(
    heat_time=(3.5, 45.0), thin_share=(0.05, 0.35), thin_time=(0.08, 0.6), warm=(0.4, 0.2), wall_time=(800.0, 0.35), drift=0.03,
    lead=(2.0, 15.0),
)  # fmt: skip
"""Wider than, and shifted against, what `knowledge` believes; each hold behind a running pump."""


def _fuel(random: np.random.Generator, group: str) -> tuple[Fluid, float, str]:
    """A fuel, its density at 15 °C, and its name."""
    if group == "ester":
        # methyl oleate's modulus 1.50 GPa at 15 °C and atmospheric pressure against n-hexadecane's 1.23 (CoolProp)
        rho = 880.0 + 5.0 * random.standard_normal()
        return Fluid(
            density=rho / 777.2, stiff=1.222 * (1.0 + 0.03 * random.standard_normal()),
            warm=0.925 * (1.0 + 0.03 * random.standard_normal()), heat=0.93 * (1.0 + 0.04 * random.standard_normal()),
            viscosity=random.uniform(3.2, 4.2), thickening=random.uniform(0.007, 0.011),
        ), rho, "ester"  # fmt: skip
    if group == "paraffin":  # the table itself, but for what branching and cut make of it
        rho = random.uniform(768.0, 796.0)
        stiff = (1.0 + 0.0039 * (rho - 777.2)) * (1.0 + 0.03 * random.standard_normal())
        return Fluid(rho / 777.2, stiff, 1.0, 1.0, random.uniform(1.8, 2.8), random.uniform(0.008, 0.011)), rho, "paraffinic"
    return *diesel_of(random), "diesel"


def draw_wide(random: np.random.Generator, group: str, world: World = HOME, tight: float = 0.25) -> Case:
    """A case of one of `GROUPS`: two heat times and warm fuel throughout; 2 to 8 MPa, free air, a settled bench, other fuels,
    a leak that changes. Widths as stated to the technician are those drawn from; a share `tight` has no leak."""
    fluid, rho, fuel = _fuel(random, group)
    low, settled = group == "low", group == "settled"
    start = (
        random.uniform(2.2, 8.0) if low else random.uniform(8.0, 60.0) if group == "aerated" else random.uniform(25.0, 160.0)
    )
    volume, volume_u = random.uniform(15.0, 45.0), float(random.choice([0.03, 0.05, 0.07])) / 1.96
    warmest = (18.0, 26.0) if settled else (30.0, 68.0)
    stated_t, t_u = random.uniform(*warmest), float(random.choice([2.0, 4.0])) / 1.96
    leaks = (1.0 - tight) / 0.75
    kind = str(random.choice(["laminar", "orifice", "mixed", "none"], p=[0.3 * leaks, 0.25 * leaks, 0.2 * leaks, tight]))
    size = float(np.exp(random.uniform(*np.log([0.02, 1.0] if low else [0.08, 8.0])))) if kind != "none" else 0.0
    share = {"laminar": 1.0, "orifice": 0.0, "none": 0.5, "mixed": random.uniform(0.35, 0.65)}[kind]
    wall = stated_t + t_u * random.standard_normal()
    ambient = wall if settled else random.uniform(8.0, 28.0)
    t = fluid.state(wall, 0.5 * start)
    pressed = (wall + 273.15) * t[2] / (t[0] * t[3]) * 1e6 * start
    heat_time = float(np.exp(random.uniform(*np.log(world.heat_time))))
    gas = random.uniform(0.002, 0.02) if group == "aerated" else 0.0
    gas_u = 0.25 * gas
    truth = Truth(
        fluid=fluid, volume=volume * (1.0 + volume_u * random.standard_normal()), start=start, back=random.uniform(0.0, 0.3),
        fuel_start=wall if settled else wall + pressed * max(world.warm[0] + world.warm[1] * random.standard_normal(), 0.0),
        wall_start=wall, ambient=ambient, heat_time=heat_time, thin_share=random.uniform(*world.thin_share),
        thin_time=heat_time * random.uniform(*world.thin_time),
        wall_time=float(np.exp(math.log(world.wall_time[0]) + world.wall_time[1] * random.standard_normal())),
        rail_modulus=random.uniform(47e3, 67e3), laminar=1.0, orifice=1.0, opening=random.uniform(0.0, 0.002), duration=0.0,
        gas=gas, change=(0.06 if group == "drifting" else world.drift) * random.standard_normal(),
    )  # fmt: skip
    # the flow and the clearance's share of it are those at seven tenths of the start, wherever that lies
    at = 0.7 * start + ATMOSPHERE
    clear, hole = replace(truth, orifice=0.0).leak(at, wall), replace(truth, laminar=0.0).leak(at, wall)
    truth = replace(truth, laminar=size * share / clear, orifice=size * (1.0 - share) / hole)
    # for a hold that leaves about a third of its pressure at least
    give = 1.0 / t[1] + (gas * ATMOSPHERE / (0.5 * start) ** 2 if gas else 0.0)
    longest = 0.55 * start * give * truth.volume / max(size, 1e-6) * 60.0
    truth = replace(truth, duration=float(np.clip(random.uniform(25.0, 120.0), 8.0, max(longest, 8.0))))
    if settled and truth.duration < 20.0:
        return draw_wide(random, group, world, tight)
    at_40 = (rho + random.standard_normal(), 1.0) if random.random() < 0.6 else None
    case = measured(
        truth, random, kind, volume=(volume, volume * volume_u), temperature=(stated_t, t_u), density=at_40,
        knows_viscosity=at_40 is not None and random.random() < 0.5, rate=float(random.choice([10.0, 20.0, 50.0, 100.0])),
        noise=random.uniform(0.005, 0.03) if low else random.uniform(0.02, 0.25), zero_u=0.15 if low else 0.5,
        step=float(random.choice([0.01, 0.02])) if low else float(random.choice([0.05, 0.1, 0.2])),
        reference_away=0.0, lead=random.uniform(*world.lead),
    )  # fmt: skip
    if case.pressure[-5:].mean() < max(0.2 * start, 0.6):  # empty: nobody takes such a reading for a hold
        return draw_wide(random, group, world, tight)
    scale = case.collected or 0.002 * start
    gas_said = max(gas + gas_u * random.standard_normal(), 0.0)
    return replace(
        case, fuel=fuel, ambient=(ambient + (0.5 * random.standard_normal() if not settled else 0.0), 0.5),
        gas=(gas_said, gas_u), settled=settled, group=group, limit=scale * float(np.exp(random.uniform(-1.2, 1.2))),
    )  # fmt: skip
