"""Make the captures of data_demo: invented holds, simulated by the tests' own simulator. Run by hand."""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

import numpy as np  # noqa: E402  # the project's folder has to be on the path first
from tests.hold.simulator import Fluid, Truth  # noqa: E402

FUEL = Fluid(density=834.0 / 777.2, stiff=1.09, warm=0.93, heat=0.9, viscosity=2.6, thickening=0.0095)
ATMOSPHERE = 0.101325
RUN_S, RATE = 2.0, 50.0  # the engine runs first, then it is stopped and the rail is shut


def main() -> None:
    """One rail that leaks at a seat, one that holds and only cools."""
    leaking = _truth(volume=24.4, start=98.0, laminar=1.2, orifice=6.4, duration=24.0)
    tight = _truth(volume=24.4, start=92.0, laminar=0.02, orifice=0.0, duration=60.0)
    write("heath_hold.csv", leaking, 0.4, 11)
    write("plover_hold.csv", tight, -0.2, 12)


def _truth(*, volume: float, start: float, laminar: float, orifice: float, duration: float) -> Truth:
    return Truth(
        FUEL, volume, start, 0.05, fuel_start=51.0, wall_start=47.0, ambient=19.0, heat_time=11.0, wall_time=900.0,
        rail_modulus=52e3, laminar=laminar, orifice=orifice, opening=0.0, duration=duration,
    )  # fmt: skip


def write(name: str, truth: Truth, zero: float, seed: int) -> None:
    """Time in ms, pressure in bar with a step of 1 bar, engine speed; semicolons and decimal commas."""
    random = np.random.default_rng(seed)
    hold = np.arange(0.0, truth.duration, 1.0 / RATE)
    shut = truth.run()(hold)[0] - ATMOSPHERE
    running = truth.start + 1.2 * np.sin(2 * np.pi * 39.0 * np.arange(0.0, RUN_S, 1.0 / RATE))
    pressure = np.concatenate([running, shut]) + zero + 0.15 * random.standard_normal(len(running) + len(shut))
    speed = np.concatenate([780 + 8 * random.standard_normal(len(running)), np.maximum(0.0, 780 - 2600 * hold)])
    lines = ["Time;Rail pressure;Engine speed", "ms;bar;rpm"]
    for row, (p, n) in enumerate(zip(pressure, speed, strict=True)):
        lines.append(f"{1000 * row / RATE:.0f};{10 * p:.0f},0;{n:.0f}")
    (ROOT / "data_demo" / name).write_text("\r\n".join(lines) + "\r\n", encoding="utf-8")


if __name__ == "__main__":
    main()
