"""Fuels: what a liquid does over pressure and temperature, and how well that is known."""

from .blends import blend
from .described import fuel_from_file, fuel_from_table
from .equations import ANCHOR_PRESSURE, Coefficients
from .families import calibration_fluid, diesel, distillate, ester, known_better, n_dodecane, paraffinic
from .model import NUISANCES, FuelModel, FuelRangeError, Widths

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
