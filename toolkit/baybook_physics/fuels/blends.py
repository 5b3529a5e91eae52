"""Blends of diesel and ester."""

from __future__ import annotations

import math

from .equations import Coefficients
from .families import diesel, ester
from .model import FuelModel, Widths


def blend(share: float) -> FuelModel:
    """Diesel with `share` (0 to 1, else `ValueError`) of fatty acid methyl ester by volume, such as 0.07 for B7.

    Ideal mixing: volumes add at every pressure and temperature (Amagat), so density, compressibility and expansion mix by
    volume and heat capacity by mass; viscosity mixes in its logarithm (Arrhenius). Excess volumes of such blends
    are below 0.1 % (from memory); the modulus gets 1 % for it.
    """
    if not 0.0 <= share <= 1.0:
        raise ValueError(f"share of ester {share:g}: give 0 to 1")
    parts = ((1.0 - share, diesel()), (share, ester()))

    def width(name: str) -> float:
        return math.sqrt(sum((part * getattr(fuel.widths, name)) ** 2 for part, fuel in parts))

    return FuelModel(
        name=f"b{100 * share:g}",
        title=f"Diesel fuel with {100 * share:g} % ester",
        coefficients=_mixed(parts),
        widths=Widths(
            density=width("density"),
            modulus=math.hypot(width("modulus"), 0.01),
            tait_c=width("tait_c"),
            expansion=width("expansion"),
            heat_capacity=width("heat_capacity"),
            viscosity=width("viscosity"),
            viscosity_pressure=width("viscosity_pressure"),
        ),
        sources=(
            *parts[0][1].sources,
            *parts[1][1].sources,
            "blend: ideal mixing by volume, viscosity by Arrhenius' logarithmic rule, from memory",
        ),
        modulus_with_density=parts[0][1].modulus_with_density * (1.0 - share),
        expansion_with_density=parts[0][1].expansion_with_density * (1.0 - share),
    )


def _mixed(parts: tuple[tuple[float, FuelModel], ...]) -> Coefficients:
    """Coefficients of shares by volume and their fuels."""
    c = [fuel.coefficients for _, fuel in parts]
    by_volume = [part for part, _ in parts]
    soft = [part / one.modulus for part, one in zip(by_volume, c, strict=True)]
    heavy = [part * one.density for part, one in zip(by_volume, c, strict=True)]

    def mixed(name: str, weights: list[float]) -> float:
        total = sum(weights)
        return sum(w * float(getattr(one, name)) for w, one in zip(weights, c, strict=True)) / total

    return Coefficients(
        density=sum(heavy),
        expansion=mixed("expansion", by_volume),
        expansion_slope=mixed("expansion_slope", by_volume),
        modulus=1.0 / sum(soft),
        modulus_slope=mixed("modulus_slope", soft),
        modulus_curve=mixed("modulus_curve", soft),
        tait_c=mixed("tait_c", by_volume),
        heat_capacity=mixed("heat_capacity", heavy),
        heat_capacity_slope=mixed("heat_capacity_slope", heavy),
        viscosity=math.exp(sum(part * math.log(one.viscosity) for part, one in zip(by_volume, c, strict=True))),
        viscosity_slope=mixed("viscosity_slope", by_volume),
        viscosity_pressure=mixed("viscosity_pressure", by_volume),
    )
