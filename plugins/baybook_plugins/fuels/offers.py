"""The fuels that come with Baybook. Each maker takes what is known: density at 15 °C and kinematic viscosity at 40 °C, as
readings."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from baybook.api import FuelOffer, InputError, Reading, hookimpl

if TYPE_CHECKING:
    from baybook_physics.fuels import FuelModel

Known = Reading | None
BLENDS = (7, 10, 20, 30)
"""Per cent of ester by volume: EN 590 allows up to 7, EN 16734 up to 10, EN 16709 20 and 30 (from memory)."""


def _number(reading: Known, unit: str) -> tuple[float | None, float | None]:
    """Value and standard uncertainty in `unit`, or None twice."""
    if reading is None:
        return None, None
    inside = reading.to(unit)
    return inside.value, inside.u


def _diesel(density: Known = None, viscosity: Known = None) -> FuelModel:
    from baybook_physics.fuels import diesel

    rho, u_rho = _number(density, "kg/m3")
    nu, u_nu = _number(viscosity, "mm2/s")
    try:
        return diesel(rho, u_rho, nu, max((u_nu or 0.0) / (nu or 1.0), 0.02))
    except ValueError as error:
        raise InputError.one("density" if "density" in str(error) else "viscosity", None, str(error)) from error


def _calibration_fluid(density: Known = None, viscosity: Known = None) -> FuelModel:
    from baybook_physics.fuels import calibration_fluid

    return _with_density(calibration_fluid(), density, viscosity)


def _paraffinic(density: Known = None, viscosity: Known = None) -> FuelModel:
    from baybook_physics.fuels import paraffinic

    return _with_density(paraffinic(), density, viscosity)


def _ester(density: Known = None, viscosity: Known = None) -> FuelModel:
    from baybook_physics.fuels import ester

    return _with_density(ester(), density, viscosity)


def _blend(share: float) -> Callable[..., FuelModel]:
    def make(density: Known = None, viscosity: Known = None) -> FuelModel:
        from baybook_physics.fuels import blend

        return _with_density(blend(share), density, viscosity)

    return make


def _n_dodecane(density: Known = None, viscosity: Known = None) -> FuelModel:
    from baybook_physics.fuels import n_dodecane

    for name, given in (("density", density), ("viscosity", viscosity)):
        if given is not None:
            raise InputError.one(
                name, given.text, "is not for n-dodecane, a pure substance", "leave it out, or choose another fuel"
            )
    return n_dodecane()


def _with_density(fuel: FuelModel, density: Known, viscosity: Known) -> FuelModel:
    """The fuel with what is known of it in the place of its family's middle."""
    from baybook_physics.fuels import known_better

    try:
        return known_better(fuel, *_number(density, "kg/m3"), *_number(viscosity, "mm2/s"))
    except ValueError as error:
        raise InputError.one("density" if "density" in str(error) else "viscosity", None, str(error)) from error


@hookimpl
def baybook_fuels() -> list[FuelOffer]:
    """Offer the fuels."""
    return [
        FuelOffer("diesel", "Diesel fuel, EN 590", _diesel),
        FuelOffer("iso4113", "Calibration fluid, ISO 4113", _calibration_fluid),
        FuelOffer("paraffinic", "Paraffinic diesel, hydrotreated or synthetic (EN 15940)", _paraffinic),
        FuelOffer("ester", "Fatty acid methyl ester, biodiesel (EN 14214)", _ester),
        *(FuelOffer(f"b{share}", f"Diesel fuel with {share} % ester", _blend(share / 100.0)) for share in BLENDS),
        FuelOffer("n-dodecane", "n-Dodecane, a reference fluid to check against", _n_dodecane),
    ]
