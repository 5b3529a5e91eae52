"""Made-up cranks: a rail that half-sine strokes fill and a loss empties, written apart from the project's own physics.

The fuel's modulus is 1500 MPa + 10 p here, steps are explicit; only what a logger would show is written.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np


@dataclass(frozen=True)
class Crank:
    """A starter that turns from 1 s to `stop`; volumes in cm3, pressures in MPa, flows in cm3/s."""

    strengths: tuple[float, ...] = (1.0, 1.0, 1.0)
    displacement: float = 0.87
    ratio: float = 0.5
    volume: float = 22.0
    speed: float = 215.0
    loss: float = 0.02
    root_loss: float = 0.0
    air: float = 0.0
    target: float = 30.0
    opening: float | None = None
    stiff: float = 0.4
    """What a valve lets off for each MPa beyond its opening."""
    slip: float = 0.0
    """Past all pistons for each MPa while they press."""
    throttled: float = 1.0
    """The share that the inlet valve lets through once the target is there."""
    zero: float = 0.0
    supply: float = 5.7
    stop: float = 7.0
    duty: float | None = None
    current: float | None = None

    def write(self, folder: Path) -> str:
        """The log as a file."""
        step, rng = 5e-4, np.random.default_rng(3)
        count = int(11.0 / step)
        p, air, turns, fed = 0.1, self.air, 0.13, 1.0
        rows = []
        for at in range(count):
            t = at * step
            spun = np.clip((t - 1.0) / 0.15, 0.0, 1.0) if t < self.stop else np.exp(-(t - self.stop) / 0.15)
            n = self.speed * spun * (1.0 + 0.12 * np.sin(4 * np.pi * turns / self.ratio))
            turns += n / 60 * self.ratio * step
            q, number = self.displacement * n / 60 * self.ratio, len(self.strengths)
            pumped = sum(
                s * q / number * np.pi * max(np.sin(2 * np.pi * (turns + k / number)), 0.0)
                for k, s in enumerate(self.strengths)
            )
            gauge = max(p - 0.1, 0.0)
            fed = self.throttled if gauge >= self.target else fed
            pumped = max(fed * pumped - self.slip * gauge, 0.0)
            over = self.target if self.opening is None else self.opening
            lost = self.loss * gauge + self.root_loss * np.sqrt(gauge) + self.stiff * max(gauge - over, 0.0)
            soft = self.volume / (1500.0 + 10.0 * p) + air * 0.1 / p**2
            p = max(p + (pumped - lost) / soft * step, 0.1)
            if at % 10 == 0:
                shown = 10 * (p - 0.1 + self.zero + rng.normal(0.0, 0.05))
                cells = [t, shown, n + rng.normal(0.0, 2.0), self.supply + rng.normal(0.0, 0.03), 10 * self.target]
                cells += [x for x in (self.duty, self.current) if x is not None]
                rows.append(",".join(f"{cell:.2f}" if i else f"{cell:.3f}" for i, cell in enumerate(cells)))
        head = "t [s],Rail pressure [bar],Engine speed [rpm],Supply pressure [bar],Rail pressure target [bar]"
        if self.duty is not None:
            head += ",Pressure control valve duty [%],Pressure control valve current [A]"
        file = folder / "crank.csv"
        file.write_text("\n".join([head, *rows]))
        return str(file)
