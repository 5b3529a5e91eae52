"""Fuels: what a liquid does under pressure and warmth, and how well that is known."""

from .blends import blend
from .equations import ANCHOR_PRESSURE, Coefficients
from .families import calibration_fluid, diesel, distillate, ester, known_better, n_dodecane, paraffinic
from .model import NUISANCES, FuelModel, FuelRangeError, Widths
from .user import fuel_from_file, fuel_from_table

__all__ = [
    "ANCHOR_PRESSURE",
    "NUISANCES",
    "Coefficients",
    "FuelModel",
    "FuelRangeError",
    "Widths",
    "blend",
    "calibration_fluid",
    "diesel",
    "distillate",
    "ester",
    "fuel_from_file",
    "fuel_from_table",
    "known_better",
    "n_dodecane",
    "paraffinic",
]
