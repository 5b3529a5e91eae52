"""The public names for authors of plugins, and nothing else. Everything outside this module is private.

The interface has a version, `INTERFACE`; a plugin may ask for one by a module-level `BAYBOOK_INTERFACE = 1`.
"""

from __future__ import annotations

from .cautions import (
    BEFORE_RUNNING,
    CONTROL_LOSS,
    FLAMMABLE,
    HIGH_PRESSURE,
    HIGH_VOLTAGE,
    MAKERS_DATA,
    RUNNING_ENGINE,
    STARTING,
    Caution,
)
from .declare import Calculator, Example, Meaning, Output, calculator
from .errors import InputError, Problem, Refused
from .estimate import Draws, Estimate
from .fields import (
    CaptureFile,
    Choice,
    Count,
    Flag,
    FuelName,
    Limits,
    Quantity,
    Readings,
    Text,
    absolute_pressure,
    any_quantity,
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
from .hooks import INTERFACE, hookimpl
from .kinds import KINDS, Kind
from .offers import CardOffer, FuelOffer, UnitOffer
from .propagation import Shared, propagate
from .reading import COVERAGE, Reading
from .registry import find_fuel
from .result import Finding, Plot, Result, Series, Step, Verdict, judge
from .spec import SpecRange

__all__ = [
    "BEFORE_RUNNING", "CONTROL_LOSS", "COVERAGE", "FLAMMABLE", "HIGH_PRESSURE", "HIGH_VOLTAGE", "INTERFACE",
    "KINDS", "MAKERS_DATA", "RUNNING_ENGINE", "STARTING", "Calculator", "CaptureFile", "CardOffer", "Caution",
    "Choice", "Count", "Draws", "Estimate", "Example", "Finding", "Flag", "FuelName", "FuelOffer", "InputError",
    "Kind", "Limits", "Meaning", "Output", "Plot", "Problem", "Quantity", "Reading", "Readings", "Refused",
    "Result", "Series", "Shared", "SpecRange", "Step", "Text", "UnitOffer", "Verdict", "absolute_pressure",
    "any_quantity", "calculator", "current", "delivery_per_stroke", "density", "displacement", "duration",
    "dynamic_viscosity", "find_fuel", "flow", "frequency", "gauge_pressure", "hookimpl", "inductance", "judge",
    "kinematic_viscosity", "length", "pressure_difference", "propagate", "ratio", "readings", "resistance",
    "spec_range", "speed", "temperature", "temperature_difference", "voltage", "volume",
]  # fmt: skip
