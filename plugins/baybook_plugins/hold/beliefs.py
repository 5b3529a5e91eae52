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

WARM_SHARE = Normal(0.33, 0.2)
"""Share of its warming by compression from the return to the first pressure (T alpha/(rho cp), 0.12 to 0.15 K/MPa) by which the
fuel is still warmer than the rail when the pump stops: it lost most of it on the way."""

WARM_MOST = (1.0 - WARM_SHARE.mean) / WARM_SHARE.standard
"""Of its widths above its mean, at most: then nothing of that warming was lost on the way, and nothing else warms fuel so
quickly."""

WARM_LEAST = 0.05
"""Kelvin, standard: even fuel that was hardly pressed is not exactly as warm as the rail."""


def warm_start(compression: float) -> Normal:
    """Kelvin of the warm start, where compression to the first pressure warms by `compression` kelvins."""
    return Normal(WARM_SHARE.mean * compression, math.hypot(WARM_SHARE.standard * compression, WARM_LEAST))


THIN_SHARE = Normal(0.15, 0.08)
"""Share of the fuel that stands in thin bores, pipes and injectors: 1 to 2 m of pipe of 2.4 to 3 mm beside a rail of 15 to
30 mL hold a tenth to a third, sensors and short rails less. Never below 0 nor above 0.4."""

THIN_TIME = Normal(-1.2, 0.4)
"""Natural logarithm of the heat time in thin bores against that in the rail: a bore of 3 mm with fuel at rest takes 4 s."""

LEAK_DRIFT = Normal(0.0, 0.03)
"""Change of the leak, in logarithm, from the middle of the hold to its end, which neither pressure nor temperature explains:
dirt moves, a seat settles."""

SETTLED_WARM = 0.1
"""Kelvin, standard: how nearly a rail and its fuel that were left until both had one temperature do have it."""

SETTLED_TIME = Normal(math.log(5.0), 0.9)
"""Natural logarithm of the heat time (s) where fuel and rail are said to keep one temperature: 0.9 to 29 s. The bore is the
same, but who says so may have seen expansion's cooling made good more quickly."""

AMBIENT_UNKNOWN = Normal(20.0, 8.0)
"""°C, when nobody measured it."""

LAMINAR_SLOPE = Normal(0.001, 0.003)
"""1/MPa: how much a clearance's conductance falls, in logarithm, per MPa. Fuel thickens by about 0.010 per MPa, which averaged
along the gap gives 0.0045; throttling warms it by 0.4 K per MPa, which takes about 0.004 off; pressure widens the gap, which
takes off more. What is left is near nothing, either way."""

LAMINAR_TEMPERATURE = Normal(0.8, 0.3)
"""Share of the fuel's own viscosity change with temperature that a clearance feels (part of it follows the body's
temperature)."""

EXPONENT = Normal(0.75, 0.22)
"""Exponent of the flow in the pressure difference when two readings must do: between an orifice and a clearance."""

EXPONENT_AHEAD = Normal(0.95, 0.4)
"""The same for how the pressure goes on. While it falls the fuel cools and thickens, and a gap narrows: a clearance's leak then
falls with an exponent of 1.2 to 1.7, a hole's with 0.5 to 0.6."""

LEAK_SCALE = 2.0
"""mL/min: width of the half-Cauchy belief about a leak's size before the test."""

TIGHT_BELIEF = 0.5
"""Probability that a rail is tight before the test."""

STILL_TIGHT = 0.002
"""A leak is asserted only where a tight rail has become less likely than this. A leak claimed where there is none sends a
person to open what is sound, so this is stricter than the 95 % of the intervals."""

TIGHT_COUNTS = (0.06, 0.5)
"""What a tight rail that is not excluded (`STILL_TIGHT`) counts for among the draws, least and most. At least so much that
neither interval nor verdict excludes it; at most what it had before the test, since no test tells perfect tightness from a leak
too small to show."""

LAW_BELIEF = {"none": TIGHT_BELIEF, **dict.fromkeys(("laminar", "orifice", "mixed"), (1.0 - TIGHT_BELIEF) / 3.0)}
"""Probability of each law before the test."""


def counted(tight: float) -> float:
    """What a tight rail's draws count for, when the test leaves it the probability `tight`; see `TIGHT_COUNTS`."""
    least, most = TIGHT_COUNTS
    return tight if tight <= STILL_TIGHT else min(max(tight, least), most)
