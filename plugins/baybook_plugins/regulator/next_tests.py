"""What to test next: sentences, each safe to do as it stands."""

from __future__ import annotations

from collections.abc import Sequence

from .model import Place, Valve
from .states import Pressure

SCOPE = "look at the switched wire with an oscilloscope, in the same running condition, on leads fitted with the key off"
POLARITY = "make sure which part of the period the duty meter counts"
STOP = "stop the engine: the pressure is not under control; it is not run again before the drive is right"
COIL = "engine stopped, rail seen to fall to zero, key off: measure the coil's resistance (calculator coil)"
WIRE = (
    "engine stopped, rail seen to fall to zero, key off: measure the coil, the switched wire end to end and to ground; key on: "
    "whether the coil has its supply"
)
SENSOR = (
    "look at the rail sensor first: what it shows with the key on after the rail was seen to fall to zero, its supply, its "
    "ground or reference and its signal, on leads fitted with the key off"
)
TARGET = "read which target and which operating mode the control unit is in, and its stored faults"
SUPPLY = "measure the feed pressure and the feed flow of the low-pressure side under load"
RETURNS = "compare the injectors' returns (calculator returns)"
HOLD = "test whether the closed rail holds its pressure (calculator hold)"
OUTLET_RETURN = (
    "collect the outlet valve's own return, on the low-pressure side, hose fitted with the engine stopped and the rail at "
    "zero, never plugged"
)
INLET_LEAK = "check whether the inlet valve still passes fuel when driven shut, the way the maker describes"
RETURN_FREE = "check that the return is free: back pressure holds rail pressure up"
VALVE_MOVES = "check that the valve itself moves freely, engine stopped and pressure proved zero"
BLEEDING = "see whether the injector bleed works: returns rise while it does"
ELECTRICAL = (
    COIL,
    "measure the voltage drop along the wiring and plugs of the coil under current, on leads fitted with the key off",
    SCOPE,
)
AT_REST = (STOP, COIL, WIRE)
"""Where the pressure is too high and the coil has not the current that would lower it: nothing on a running engine."""
CONTROLLER_SEES = (SENSOR, TARGET)
FINER_PRESSURE = "read pressure and target again at the same moment, in a steady condition, with a finer reading"
OTHER_CONDITION = "repeat in the running condition in which the complaint shows"

# Of the valve that stands in them.
READ_DUTY = "read the duty of the {}: on its switched wire, or what live data ask of it"
USUAL_DUTY = "find the usual duty of the {} for this running condition in the maker's data"
FINER_DUTY = "read the duty of the {} more closely: it lies at an end of what is usual"
MEASURE_CURRENT = "measure the current of the {} with a clamp round one wire, fitted with the key off"
EXPECTED_CURRENT = "find the current that its drive should give the {} (calculator coil)"
FINER_CURRENT = "know the current of the {}, and what it should be, more closely: they differ by about the tolerance"


def hydraulic(valves: Sequence[Valve], pressure: Pressure, bleed: bool) -> tuple[str, ...]:
    """The hydraulic tests, the supply first where pressure is low: what is not fed cannot be made."""
    places = {valve.place for valve in valves}
    if pressure is Pressure.LOW:
        outlet = (OUTLET_RETURN,) if Place.OUTLET in places else ()
        return (SUPPLY, RETURNS, *outlet, HOLD)
    inlet = (INLET_LEAK,) if Place.INLET in places else ()
    return (*inlet, RETURN_FREE, VALVE_MOVES, *((BLEEDING,) if bleed else ()))
