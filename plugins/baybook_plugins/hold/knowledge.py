"""What a technician knows about a closed rail before looking at the pressure: heat, steel, leak laws.

Each is a belief with a width, never a fact; the fit and the two-reading estimate share them. Pressures MPa, times s,
temperatures K or °C. No value here was fitted to a capture; where no source exists the reasoning stands beside it.
"""

from __future__ import annotations

import math
from typing import NamedTuple


class Normal(NamedTuple):
    """A belief: mean and standard deviation."""

    mean: float
    standard: float


HEAT_TIME = Normal(math.log(12.0), 0.55)
"""Natural logarithm of the time (s) in which fuel takes the rail wall's temperature: 4 to 35 s. A bore of 8 to 12 mm with
fuel at rest cools by conduction and slow convection: r^2/(5.8 a) with a = 8e-8 m2/s is 35 to 80 s
without, a third of that with convection."""

WALL_RATE = Normal(1.1e-3, 0.6e-3)
"""1/s: share of its distance from ambient that the rail's steel loses in a second. 1.5 to 2.5 kg of steel
(480 J/(kg K)) losing 0.4 to 2 W/K to still or moving air, less near a warm engine; now and then
below 0, where the engine's heat still soaks in."""

WARM_START = Normal(4.0, 2.5)
"""Kelvin by which the fuel is warmer than the rail when the pump stops: pumped to 100 MPa it warmed by about 12 K, and lost
most of it on the way."""

AMBIENT_UNKNOWN = Normal(20.0, 8.0)
"""°C, when nobody measured it."""

LAMINAR_SLOPE = Normal(0.001, 0.003)
"""1/MPa: how much a clearance's conductance falls, in logarithm, per MPa. Fuel thickens by about 0.010 per MPa, which averaged
along the gap gives 0.0045; throttling warms it by 0.4 K per MPa, which takes about 0.004 off; pressure widens the gap, which
takes off more. What is left is near nothing, either way."""

LAMINAR_WARMTH = Normal(0.8, 0.3)
"""Share of the fuel's own viscosity change with temperature that a clearance feels (part of it follows the body's
temperature)."""

ORIFICE_EXPONENT = 0.5

EXPONENT = Normal(0.75, 0.22)
"""Exponent of the flow in the pressure difference when two readings must do: between an orifice and a clearance."""

LEAK_SCALE = 2.0
"""mL/min: width of the half-Cauchy belief about a leak's size before the test."""

TIGHT_BELIEF = 0.5
"""Probability that a rail is tight before the test."""

STILL_TIGHT = 0.002
"""A leak is asserted only where a tight rail has become less likely than this. A leak claimed where there is none sends a
person to open what is sound, so this is stricter than the 95 % of the intervals."""

LAW_BELIEF = {"none": TIGHT_BELIEF, **dict.fromkeys(("laminar", "orifice", "mixed"), (1.0 - TIGHT_BELIEF) / 3.0)}
"""Probability of each law before the test."""
