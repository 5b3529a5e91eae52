"""Families of fuels: a whole model from the little that is written on a data sheet."""

from __future__ import annotations

import math

from baybook.dataclass import replace

from . import petroleum
from .equations import Coefficients
from .model import FuelModel, Widths

LITERATURE_FACTOR = 1.025
"""Between the compressibility table and what the general literature gives for diesel (from memory: K_T 1.25 to 1.45 GPa at 20
°C and 0.1 MPa, 2.2 to 2.6 GPa at 40 °C and 120 MPa), whose middles lie 5 to 6 % above the table's bridge. The table is good
to 6.5 % (95 %, from memory), the band to about 8 %: together 3 % standard, with what they may share."""

TAIT_C = 0.0875
"""Middle of 0.085 to 0.09, the values that Tait fits of n-dodecane and n-hexadecane need (0.0877 and 0.0893 in this form)."""

_BRIDGE = (
    "ASTM D1250-80 Table 54B (API MPMS 11.1, ISO 91-1): thermal expansion from density at 15 °C",
    "API MPMS 11.2.1M: isothermal compressibility near atmospheric pressure",
    (
        "Tait law above 10 MPa, C 0.0875 ± 0.006 (95 %) from fits to n-dodecane (Lemmon & Huber 2004) and n-hexadecane "
        "(Romeo & Lemmon 2022); the error of this bridge is part of every interval"
    ),
    "modulus raised by 2.5 %: mean of the table and of the band of general literature, weighted by their widths, from memory",
    "cp 1.9 kJ/(kg K) at 15 °C, +3.7 J/(kg K) per K, after Cragoe 1929: from memory",
    "viscosity: Andrade slope and Roelands pressure law, coefficients from memory and from n-dodecane",
)


def distillate(
    name: str,
    title: str,
    density_15: float,
    density_standard: float,
    viscosity_40: float,
    viscosity_relative: float,
    sources: tuple[str, ...] = (),
) -> FuelModel:
    """A petroleum distillate by the petroleum tables and a Tait bridge.

    `density_15` and its standard uncertainty in kg/m3 at 15 °C (760 to 900, else `ValueError`); `viscosity_40` is kinematic,
    mm2/s at 40 °C, with its relative standard uncertainty.
    """
    if not 760.0 <= density_15 <= 900.0:
        raise ValueError(f"density at 15 °C: {density_15:g} kg/m3 is no distillate fuel; give 760 to 900 kg/m3")
    if not 0.5 <= viscosity_40 <= 20.0:
        raise ValueError(f"viscosity at 40 °C: {viscosity_40:g} mm2/s is no distillate fuel; give 0.5 to 20 mm2/s")
    return FuelModel(
        name=name,
        title=title,
        coefficients=_bridge(density_15, viscosity_40),
        widths=Widths(
            density=density_standard,
            modulus=0.03,
            tait_c=0.03,
            expansion=0.025,
            heat_capacity=0.03,
            viscosity=viscosity_relative,
            viscosity_pressure=0.1,
        ),
        sources=_BRIDGE + sources,
        modulus_with_density=petroleum.modulus_slopes(density_15)[2],
        expansion_with_density=-2.0 / density_15,
    )


def _bridge(density_15: float, viscosity_40: float) -> Coefficients:
    """The Tait law that goes through the petroleum tables' density, expansion and modulus at the anchor pressure."""
    alpha = petroleum.expansion_at_15(density_15)
    modulus, slope, _ = petroleum.modulus_slopes(density_15)
    return Coefficients(
        density=density_15,
        expansion=alpha,
        expansion_slope=0.8 * alpha**2,
        modulus=LITERATURE_FACTOR * modulus,
        modulus_slope=slope,
        modulus_curve=0.0,
        tait_c=TAIT_C,
        heat_capacity=1900.0,
        heat_capacity_slope=3.7,
        viscosity=viscosity_40 * density_15 * petroleum.volume_correction(density_15, 40.0) * 1e-3,
        viscosity_slope=1.85,
        viscosity_pressure=0.65,
    )


def diesel(
    density_15: float | None = None,
    density_standard: float | None = None,
    viscosity_40: float | None = None,
    viscosity_relative: float = 0.03,
) -> FuelModel:
    """Diesel fuel: what is not known takes the EN 590 range (temperate grades) with its width as uncertainty.

    Density at 15 °C (kg/m3) with its standard uncertainty (default 1 kg/m3 when a density is given); kinematic viscosity at
    40 °C (mm2/s). Unknown: 820 to 845 kg/m3 and 2.0 to 4.5 mm2/s, rectangular. Raises `ValueError` outside 760 to 900 kg/m3.
    """
    if density_15 is None:
        rho, u_rho = 832.5, 12.5 / math.sqrt(3.0)
    else:
        rho, u_rho = density_15, 1.0 if density_standard is None else density_standard
    if viscosity_40 is None:
        # middle of the range in the logarithm, because viscosity enters as a factor
        nu, u_nu = math.sqrt(2.0 * 4.5), math.log(4.5 / 2.0) / 2.0 / math.sqrt(3.0)
    else:
        nu, u_nu = viscosity_40, viscosity_relative
    range_ = "EN 590 temperate grades: 820 to 845 kg/m3 at 15 °C, 2.00 to 4.50 mm2/s at 40 °C"
    return distillate("diesel", "Diesel fuel", rho, u_rho, nu, u_nu, (range_,))


def calibration_fluid() -> FuelModel:
    """ISO 4113 calibration fluid, basic grade: 820 to 830 kg/m3 at 15 °C, 2.45 to 2.75 mm2/s at 40 °C, rectangular."""
    source = "ISO 4113:2010 Table 1 (read in KS R ISO 4113:2012): 820 to 830 kg/m3, 2.45 to 2.75 mm2/s"
    u_nu = 0.15 / math.sqrt(3.0) / 2.6
    return distillate("iso4113", "ISO 4113 calibration fluid", 825.0, 5.0 / math.sqrt(3.0), 2.6, u_nu, (source,))


def known_better(
    fuel: FuelModel,
    density_15: float | None,
    density_standard: float | None,
    viscosity_40: float | None,
    viscosity_standard: float | None,
) -> FuelModel:
    """A family's fuel with its own density at 15 °C (kg/m3) and kinematic viscosity at 40 °C (mm2/s), each with its standard
    uncertainty; None leaves the family's middle.

    The modulus moves with the density as within the family. Raises `ValueError` for a density more than 8 % from the family's.
    """
    c, w = fuel.coefficients, fuel.widths
    if density_15 is not None:
        if not 0.92 <= density_15 / c.density <= 1.08:
            raise ValueError(f"density at 15 °C: {density_15:g} kg/m3 is not that of {fuel.name}, about {c.density:g} kg/m3")
        away = density_15 - c.density
        c = c._replace(
            density=density_15,
            modulus=c.modulus * (1.0 + fuel.modulus_with_density * away),
            expansion=c.expansion * (1.0 + fuel.expansion_with_density * away),
        )
        w = replace(w, density=1.0 if density_standard is None else density_standard)
    if viscosity_40 is not None:
        if not 0.5 <= viscosity_40 <= 20.0:
            raise ValueError(f"viscosity at 40 °C: {viscosity_40:g} mm2/s is no fuel's; give 0.5 to 20 mm2/s")
        dynamic = viscosity_40 * fuel.density(40.0, 0.101325) * 1e-3
        c = c._replace(viscosity=dynamic)
        w = replace(w, viscosity=max((viscosity_standard or 0.0) / viscosity_40, 0.02))
    return replace(fuel, coefficients=c, widths=w)


def n_dodecane() -> FuelModel:
    """n-Dodecane: the checkable reference, fitted here to CoolProp's tables, 0 to 120 °C, 0.1 to 180 MPa.

    Largest deviation of the fit: density 0.05 %, K_T 1.7 %, K_S 2.2 %, expansion 2.9 %, cp 1.9 %, viscosity 14 % (above
    freezing).
    """
    return FuelModel(
        name="n-dodecane",
        title="n-Dodecane (reference fluid)",
        coefficients=Coefficients(
            density=753.243,
            expansion=0.000986688,
            expansion_slope=5.91534e-07,
            modulus=1091.54,
            modulus_slope=0.00675988,
            modulus_curve=4.23691e-06,
            tait_c=0.0877062,
            heat_capacity=2177.75,
            heat_capacity_slope=3.23604,
            viscosity=1.1324,
            viscosity_slope=1.31564,
            viscosity_pressure=0.676598,
        ),
        widths=Widths(
            density=1.0,
            modulus=0.009,
            tait_c=0.008,
            expansion=0.012,
            heat_capacity=0.01,
            viscosity=0.06,
            viscosity_pressure=0.05,
        ),
        sources=("Lemmon & Huber, Energy & Fuels 18 (2004) 960-967, as computed by CoolProp 8.0.0; Tait fit made here",),
        temperatures=(0.0, 120.0),
        pressures=(0.1, 180.0),
        notes=("a pure alkane, about 10 % less dense and softer than diesel: for checks, not for a workshop's rail",),
    )


def paraffinic() -> FuelModel:
    """Paraffinic diesel (EN 15940 class A, 765 to 800 kg/m3): n-hexadecane's modulus at its density, widened.

    EN 15940 limits (765 to 800 kg/m3, 2.0 to 4.5 mm2/s): from memory.
    """
    return FuelModel(
        name="paraffinic",
        title="Paraffinic diesel (hydrotreated or synthetic)",
        coefficients=Coefficients(
            density=782.0,
            expansion=0.000905061,
            expansion_slope=3.98265e-07,
            modulus=1220.0,
            modulus_slope=0.0059752,
            modulus_curve=2.72924e-06,
            tait_c=0.0892561,
            heat_capacity=2171.94,
            heat_capacity_slope=2.97866,
            viscosity=2.2,
            viscosity_slope=1.7,
            viscosity_pressure=0.640845,
        ),
        widths=Widths(
            density=6.0,
            modulus=0.04,
            tait_c=0.03,
            expansion=0.03,
            heat_capacity=0.03,
            viscosity=0.2,
            viscosity_pressure=0.1,
        ),
        sources=(
            "Romeo & Lemmon, Int. J. Thermophys. 43 (2022) 146 (n-hexadecane); Tait fit made here",
            "EN 15940: 765 to 800 kg/m3, 2.0 to 4.5 mm2/s: from memory",
        ),
        modulus_with_density=0.0039,
    )


def ester() -> FuelModel:
    """Fatty acid methyl ester (EN 14214, 860 to 900 kg/m3): methyl oleate's tables, which end at 50 MPa, widened.

    EN 14214 limits (860 to 900 kg/m3, 3.5 to 5.0 mm2/s): from memory. Above 50 MPa the Tait law extrapolates; its C is taken
    between the alkanes' 0.089 and methyl oleate's 0.096, with a width that covers both.
    """
    return FuelModel(
        name="ester",
        title="Fatty acid methyl ester (biodiesel)",
        coefficients=Coefficients(
            density=880.0,
            expansion=0.000837534,
            expansion_slope=0.0,
            modulus=1500.3,
            modulus_slope=0.00553723,
            modulus_curve=9.7e-07,
            tait_c=0.093,
            heat_capacity=2000.0,
            heat_capacity_slope=3.0,
            viscosity=3.7,
            viscosity_slope=2.0,
            viscosity_pressure=0.62,
        ),
        widths=Widths(
            density=6.0,
            modulus=0.03,
            tait_c=0.04,
            expansion=0.03,
            heat_capacity=0.05,
            viscosity=0.1,
            viscosity_pressure=0.12,
        ),
        sources=(
            "Huber et al., Energy & Fuels 2009 (methyl oleate), as computed by CoolProp 8.0.0 to 50 MPa; Tait fit made here",
            "EN 14214: 860 to 900 kg/m3, 3.5 to 5.0 mm2/s: from memory",
            "heat capacity and the rise of viscosity with pressure: from memory",
        ),
    )
