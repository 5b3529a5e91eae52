"""The public names for authors of plugins, and nothing else. Everything outside this module is private.

The interface has a version, `INTERFACE`; a plugin may ask for one by a module-level `BAYBOOK_INTERFACE = 2`.
"""

from __future__ import annotations

from typing import Any

from .action import Action, Condition, HoldPoint
from .answers import next_in_job, place_problems
from .cautions import (
    ANYWHERE,
    CONTROL_LOSS,
    FLAMMABLE,
    HIGH_PRESSURE,
    HIGH_VOLTAGE,
    INJECTOR_PLUGS,
    MAKERS_DATA,
    RUNNING_ENGINE,
    RUNS_AWAY,
    SLIPPING_PIN,
    STARTING,
    Caution,
)
from .declaration import AnyOf, Apart, Example, Meaning, Output, Placing, Rule
from .declare import Calculator, Known, calculator
from .draws import AtLeast, Draws, side_of
from .errors import InputError, Problem, Refused
from .estimate import Estimate
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
    near_names,
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
from .groups import Of
from .hooks import INTERFACE, hookimpl
from .kinds import KINDS, Kind
from .language import Language
from .message import Message, Word, joined
from .offers import CardOffer, ChannelOffer, FuelOffer, UnitOffer
from .places.need import RUNAWAY, Answer, Halt, Need
from .places.place import Place, at_parts, at_places
from .places.reach import (
    ANY_PRESSURE,
    CIRCUIT,
    DRAWS,
    FED,
    HIGHEST,
    HUNTING,
    LOST,
    NO_PRESSURE,
    NONE_FLOWS,
    NOTHING_DRAWN,
    PRESSURE_HIGH,
    PRESSURE_LOW,
    REGULATED,
    RESTRICTED,
    SHUT_OFF,
    SHUT_OFF_BY,
    STARVED,
    UNDRIVEN,
    VALVE_RETURN,
    WARM_FILTER,
    drawn,
    made,
)
from .places.sense import Question, Sense, Senses
from .procedure import (
    BEFORE_HANDS,
    BEFORE_RUNNING,
    CLEAR,
    HANDS_OFF,
    HANDS_OFF_AGAIN,
    KEY_OFF,
    LOCK_OUT,
    LOOK,
    NO_TESTER,
    OFF_AT_LAST,
    OHMMETER,
    ON_ROAD,
    STOP_AT_LAST,
    TO_ZERO,
    WAITING,
    WIRES,
    ZERO_AGAIN,
    Procedure,
    guarded,
)
from .propagation import Shared, propagate, propagate_each
from .quantity import new_kind
from .reading import COVERAGE, Reading
from .registry import find_fuel
from .result import Finding, Plot, Result, Series, Step, Verdict, judge, judge_all, judge_each
from .spec import SpecRange
from .statement import Statement

__all__ = [
    "ANYWHERE", "ANY_PRESSURE", "BEFORE_HANDS", "BEFORE_RUNNING", "CIRCUIT", "CLEAR", "CONTROL_LOSS", "COVERAGE", "DRAWS",
    "FED", "FLAMMABLE", "HANDS_OFF", "HANDS_OFF_AGAIN", "HIGHEST", "HIGH_PRESSURE", "HIGH_VOLTAGE", "HUNTING", "INJECTOR_PLUGS",
    "INTERFACE", "KEY_OFF", "KINDS", "LOCK_OUT", "LOOK", "LOST", "MAKERS_DATA", "NONE_FLOWS", "NOTHING_DRAWN", "NO_PRESSURE",
    "NO_TESTER", "OFF_AT_LAST", "OHMMETER", "ON_ROAD", "PRESSURE_HIGH", "PRESSURE_LOW", "REGULATED", "RESTRICTED", "RUNAWAY",
    "RUNNING_ENGINE", "RUNS_AWAY", "SHUT_OFF", "SHUT_OFF_BY", "SLIPPING_PIN", "STARTING", "STARVED", "STOP_AT_LAST", "TO_ZERO",
    "UNDRIVEN", "VALVE_RETURN", "WAITING", "WARM_FILTER", "WIRES", "ZERO_AGAIN", "Action", "Answer", "AnyOf", "Apart",
    "AtLeast", "Calculator", "CaptureFile", "CardOffer", "Caution", "ChannelOffer", "Choice", "Condition", "Count", "Draws",
    "Estimate", "Example", "Finding", "Flag", "FuelName", "FuelOffer", "Halt", "HoldPoint", "InputError", "Kind", "Known",
    "Language", "Limits", "Meaning", "Message", "Need", "Of", "Output", "Place", "Placing", "Plot", "Problem", "Procedure",
    "Quantity", "Question", "Reading", "Readings", "Refused", "Result", "Rule", "Sense", "Senses", "Series", "Shared",
    "SpecRange", "Statement", "Step", "Text", "UnitOffer", "Verdict", "Word", "absolute_pressure", "any_quantity",
    "any_spec_range", "area", "at_parts", "at_places", "calculator", "current", "delivery_per_stroke", "density",
    "displacement", "drawn", "duration", "dynamic_viscosity", "find_fuel", "flow", "frequency", "gauge_pressure", "guarded",
    "hookimpl", "inductance", "joined", "judge", "judge_all", "judge_each", "kinematic_viscosity", "length", "made",
    "near_names", "new_kind", "next_in_job", "place_problems", "pressure_difference", "propagate", "propagate_each", "quantity",
    "ratio", "readings", "resistance", "side_of", "spec_range", "speed", "temperature", "temperature_difference", "voltage",
    "volume",
]  # fmt: skip

DEPRECATED: dict[str, tuple[str, str]] = {}
"""Names that still work, with a warning: since which version of Baybook, and the name to use. None is taken away without."""


def __getattr__(name: str) -> Any:
    if name.startswith("__"):  # (asked for by Python at every import)
        raise AttributeError(name)
    from .deprecation import deprecated

    return deprecated(__name__, DEPRECATED, name)
