"""Inputs that several calculators ask for, each declared once with its limits, symbol and default.

    from baybook import inputs

    supply: Annotated[Reading | None, inputs.COIL_SUPPLY]
    fuel_temperature: Annotated[Reading, inputs.RAIL_TEMPERATURE.but(default="25 ± 15 °C")]

A calculator that means something narrower says so with `but`: another help, another usual value, another limit. The limits and
defaults are common practice, no source.
"""

from __future__ import annotations

from .fields import (
    CaptureFile,
    Choice,
    Count,
    FuelName,
    absolute_pressure,
    displacement,
    duration,
    frequency,
    gauge_pressure,
    pressure_difference,
    ratio,
    spec_range,
    speed,
    temperature,
    voltage,
    volume,
)
from .kinds import KINDS, Kind

__all__ = [
    "AMBIENT_PRESSURE", "COIL_SUPPLY", "COIL_TEMPERATURE", "DRIVEN", "DUTY", "ENGINE_SPEED", "FREEWHEEL_DROP",
    "INJECTOR_NUMBER", "METER_ACCURACY", "PULSE_FREQUENCY", "PUMP_DISPLACEMENT", "PUMP_RATIO", "RAIL_FUEL",
    "RAIL_MODULUS", "RAIL_PRESSURE", "RAIL_TEMPERATURE", "RAIL_VOLUME", "SUPPLY_LIMIT", "SUPPLY_PRESSURE", "WINDOW_END",
    "WINDOW_START", "ZERO_UNCERTAINTY", "capture", "part",
]  # fmt: skip

# the engine and its surroundings
ENGINE_SPEED = speed("engine speed", symbol="n", above="0 rpm", at_most="8000 rpm")
AMBIENT_PRESSURE = absolute_pressure(
    "ambient pressure", symbol="p_0", above="0.4 bar", at_most="1.2 bar", usual="1.01 bar", default="1.01 ± 0.03 bar"
)
SUPPLY_PRESSURE = gauge_pressure("supply pressure", at_least="-1 bar", at_most="100 bar")
SUPPLY_LIMIT = spec_range(
    "gauge pressure", "range of the supply pressure", judges="supply_pressure", needs="low", usual="3 to 7 bar"
)
INJECTOR_NUMBER = Count("which injector", at_least=1, at_most=24)

PARTS = {
    "injector": "an injector",
    "inlet-valve": "the inlet pressure-control valve",
    "outlet-valve": "the outlet pressure-control valve",
    "rail-sensor": "the rail pressure sensor",
    "tank-pump": "the electric pump in the tank",
    "intermediate-pump": "the electric pump in the line",
    "control-unit": "the control unit: its supply and ground",
    "supply-valve": "a valve on the supply side",
}
"""The parts that a test may be made on, by the word that is typed; the map (`places.layout.stage_of`) has their stage."""
DRIVEN = ("injector", "inlet-valve", "outlet-valve")
"""Of these the coils that the control unit drives by pulses."""


def part(help: str, *parts: str) -> Choice:
    """Which of these parts, of `PARTS`, a test is made on."""
    return Choice(help, words={each: PARTS[each] for each in parts})


# the rail and what it holds
RAIL_PRESSURE = gauge_pressure("rail pressure", at_least="0 bar", at_most="4000 bar")
RAIL_VOLUME = volume("of rail, pipes and sensor together", symbol="V", at_least="1 mL", at_most="1 L", usual="22 ± 2 mL",
                     of_vehicle=True)  # fmt: skip
RAIL_FUEL = FuelName("what is in the rail", default="diesel")
RAIL_TEMPERATURE = temperature("of the fuel in the rail", at_least="-40 °C", at_most="120 °C", default="40 ± 15 °C")
RAIL_MODULUS = pressure_difference(
    "stiffness of the steel around the fuel", exact=True, above="10000 bar", usual="52000 ± 10000 MPa", of_vehicle=True
)
ZERO_UNCERTAINTY = pressure_difference(
    "how far the sensor may be off at zero (95 %)", exact=True, at_least="0 bar", default="10 bar"
)

# the high-pressure pump
PUMP_DISPLACEMENT = displacement("what the pump sweeps in one turn", symbol="V_p", above="0 cm3/rev", usual="0.7 cm3/rev",
                                 of_vehicle=True)  # fmt: skip
PUMP_RATIO = ratio(
    "turns of the pump for one of the crank",
    symbol="i", exact=True, above="0 1", at_most="5 1", usual="0.5 x", default="1 x", of_vehicle=True,
)  # fmt: skip

# a coil and its drive
COIL_SUPPLY = voltage("supply voltage at the coil while it is driven", symbol="U", above="0 V", at_most="200 V", usual="13.8 V")
COIL_TEMPERATURE = temperature("of the coil", symbol="t", at_least="-50 °C", at_most="200 °C")
DUTY = ratio("share of the time it is switched on", symbol="D", exact=True, above="0 %", at_most="100 %", usual="25 %")
FREEWHEEL_DROP = voltage("drop of the freewheel diode", symbol="U_f", usual="0.7 V", at_least="0 V", at_most="5 V")
PULSE_FREQUENCY = frequency("frequency of the pulses", above="0 Hz", at_most="100 kHz", usual="200 Hz")
METER_ACCURACY = ratio("the meter's accuracy, in % of the reading", exact=True, at_least="0 %", below="50 %")

# a stretch of a capture
WINDOW_START = duration("start of the stretch", at_least="0 s", aliases=("begin",))
WINDOW_END = duration("end of the stretch", above="0 s", aliases=("finish",))

_CHANNELS = {
    "rail": "gauge pressure", "set": "gauge pressure", "low": "gauge pressure", "rpm": "speed", "battery": "voltage",
    "i_coil": "current", "d_mv": "ratio", "i_mv": "current", "d_pcv": "ratio", "i_pcv": "current",
}  # fmt: skip


def capture(help: str, *channels: str, also: tuple[str, ...] = ()) -> CaptureFile:
    """A log with these channels, and those of `also` where it has them; their kinds are the usual ones of their names."""

    def kinds(names: tuple[str, ...]) -> dict[str, Kind]:
        return {name: KINDS[_CHANNELS[name]] for name in names}

    return CaptureFile(help, channels=kinds(channels), also=kinds(also))
