"""A round line with liquid in it: Reynolds number, friction, pressure drop, lift.

dp = f L/D rho v^2/2 (Darcy, Weisbach); laminar f = 64/Re (Hagen, Poiseuille); turbulent by Colebrook, J. Inst. Civil Eng. 11
(1939) 133-156. Between Re 2000 and 4000 a line may be either, so both are given. All take floats, or with `lib` numpy arrays
that broadcast together, and give back the same shape.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

__all__ = ["LAMINAR_TO", "TURBULENT_FROM", "Bounds", "drop", "friction", "laminar", "lift", "reynolds", "turbulent", "velocity"]

LAMINAR_TO, TURBULENT_FROM = 2000.0, 4000.0
"""Reynolds numbers between which no law is certain; fluids' own `friction_factor` leaps at 2040."""
STANDARD_GRAVITY = 9.80665
"""m/s2, exact (CGPM 1901)."""


class Bounds(NamedTuple):
    """What a value lies between, both alike where one law holds."""

    low: Any
    high: Any


def velocity(flow: Any, bore: Any) -> Any:
    """Mean velocity, m/s, of `flow` (mL/min) in a line of `bore` (mm)."""
    return flow / 60e6 / (math.pi / 4.0 * (bore * 1e-3) ** 2)


def reynolds(flow: Any, bore: Any, viscosity: Any) -> Any:
    """Re = v D/nu of `flow` (mL/min), `bore` (mm) and kinematic `viscosity` (mm2/s)."""
    return abs(velocity(flow, bore)) * bore * 1e-3 / (viscosity * 1e-6)


def laminar(number: Any) -> Any:
    """Darcy friction factor of laminar flow at the Reynolds number (above 0): 64/Re."""
    return 64.0 / number


def turbulent(number: Any, roughness: Any = 0.0, lib: Any = math) -> Any:
    """Darcy friction factor of turbulent flow by Colebrook: 1/sqrt(f) = -2 lg(e/D/3.7 + 2.51/(Re sqrt(f))).

    number: Reynolds number, above 100; roughness: e/D. Solved by Newton's steps from Haaland's formula (1983), to 1e-14.
    """
    root = -1.8 * lib.log10((roughness / 3.7) ** 1.11 + 6.9 / number)
    slope = 2.51 / number
    for _ in range(6):
        inner = roughness / 3.7 + slope * root
        root = root - (root + 2.0 * lib.log10(inner)) / (1.0 + 2.0 / math.log(10.0) * slope / inner)
    return root**-2.0


def friction(number: Any, roughness: Any = 0.0, lib: Any = math) -> Bounds:
    """Darcy friction factor: laminar to Re 2000, turbulent from Re 4000, between them both as the ends."""
    choose = getattr(lib, "where", lambda condition, one, other: one if condition else other)
    calm, rough = laminar(number), turbulent(choose(number > LAMINAR_TO, number, LAMINAR_TO), roughness, lib)
    return Bounds(choose(number < TURBULENT_FROM, calm, rough), choose(number > LAMINAR_TO, rough, calm))


def drop(factor: Any, flow: Any, bore: Any, length: Any, density: Any) -> Any:
    """Pressure drop, MPa, by friction `factor`: `flow` mL/min, `bore` mm, `length` m, `density` kg/m3."""
    return factor * length / (bore * 1e-3) * density * velocity(flow, bore) ** 2 / 2.0 * 1e-6


def lift(height: Any, density: Any) -> Any:
    """Pressure, MPa, that a column of `height` (m) of `density` (kg/m3) takes: rho g h."""
    return density * STANDARD_GRAVITY * height * 1e-6
