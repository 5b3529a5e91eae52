"""What a calculator's parameter may be.

A field says what is given, in which kind of quantity, within which physical limits, and reads it from text or JSON. From it
come the command's option, the prompt, the JSON Schema and the card's readings table.
"""

from .base import Field
from .constructors import (
    absolute_pressure,
    any_quantity,
    any_spec_range,
    area,
    current,
    delivery_per_stroke,
    density,
    displacement,
    duration,
    dynamic_viscosity,
    flow,
    frequency,
    gauge_pressure,
    inductance,
    kinematic_viscosity,
    length,
    pressure_difference,
    quantity,
    ratio,
    readings,
    resistance,
    spec_range,
    speed,
    temperature,
    temperature_difference,
    voltage,
    volume,
)
from .quantities import Limits, Quantity
from .several import Readings
from .things import CaptureFile, FuelName
from .words import Choice, Count, Flag, Text, near_names

__all__ = [
    "CaptureFile", "Choice", "Count", "Field", "Flag", "FuelName", "Limits", "Quantity", "Readings", "Text",
    "absolute_pressure", "any_quantity", "any_spec_range", "area", "current", "delivery_per_stroke", "density", "displacement",
    "duration", "dynamic_viscosity", "flow", "frequency", "gauge_pressure", "inductance", "kinematic_viscosity", "length",
    "near_names", "pressure_difference", "quantity", "ratio", "readings", "resistance", "spec_range", "speed", "temperature",
    "temperature_difference", "voltage", "volume",
]  # fmt: skip
