"""Fuels: what a liquid does under pressure and warmth, and how well that is known."""

from .equations import ANCHOR_PRESSURE, Coefficients
from .families import calibration_fluid, diesel, distillate, ester, n_dodecane, paraffinic
from .model import NUISANCES, FuelModel, FuelRangeError, Widths
from .user import FuelDescriptionError, fuel_from_table, read_fuel

__all__ = [
    "ANCHOR_PRESSURE",
    "NUISANCES",
    "Coefficients",
    "FuelDescriptionError",
    "FuelModel",
    "FuelRangeError",
    "Widths",
    "calibration_fluid",
    "diesel",
    "distillate",
    "ester",
    "fuel_from_table",
    "n_dodecane",
    "paraffinic",
    "read_fuel",
]
