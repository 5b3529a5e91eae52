"""What to test next: messages, each safe to do as it stands."""

from __future__ import annotations

from collections.abc import Sequence
from math import log10

from baybook.api import WIRES, Message, Reading, Word
from baybook_physics.pressure_valve import Place, Valve

from .states import Pressure

SCOPE = Message(
    "look at the switched wire with an oscilloscope, in the same running condition, on leads fitted with the key off"
)
POLARITY = Message("make sure which part of the period the duty meter counts")
STOP = Message("stop the engine, the pressure is not under control, and do not run it again until the drive is right")
COIL = Message("engine stopped, rail seen to fall to zero, key off: measure the coil's resistance (calculator coil)")
WIRE = (
    Message(
        "engine stopped, rail seen to fall to zero, key off: measure the coil (calculator coil), its plugs, both wires end to "
        "end and to ground, {wires}",
        wires=WIRES,
    ),
    Message("key on, engine stopped: see whether the coil has its supply"),
)
ROUTINE = Message(
    "see whether the control unit drives it: the switched wire by oscilloscope while the maker's routine drives the valve, "
    "engine stopped, on leads fitted with the key off"
)
DROP = Message(
    "measure the voltage drop along the wiring and plugs of the coil under current, on leads fitted with the key off"
)
SENSOR = Message(
    "look at the rail sensor first: what it shows with the key on after the rail was seen to fall to zero, its supply, its "
    "ground or reference and its signal, on leads fitted with the key off"
)
TARGET = Message("read which target and which operating mode the control unit is in, and its stored faults")
SUPPLY = Message("measure the feed pressure and the feed flow of the low-pressure side under load")
RETURNS = Message("compare the injectors' returns (calculator returns)")
HOLD = Message("test whether the closed rail holds its pressure (calculator hold)")
OUTLET_RETURN = Message(
    "collect the outlet valve's own return, on the low-pressure side, hose fitted with the engine stopped and the rail at "
    "zero, never plugged"
)
INLET_LEAK = Message("check whether the inlet valve still passes fuel when driven shut, the way the maker describes")
RETURN_FREE = Message("check that the return is free: back pressure holds rail pressure up")
VALVE_MOVES = Message("check that the valve itself moves freely, engine stopped and pressure proved zero")
BLEEDING = Message("see whether the injector bleed works: returns rise while it does")
FINER_PRESSURE = Message("read pressure and target again at the same moment, in a steady condition, with a finer reading")
OTHER_CONDITION = Message("repeat in the running condition in which the complaint shows")
TYPE_CLOSER = "type {closer} for {given} if it was read so closely, or give its ±"


def electrical(*, current_flows: bool, under_control: bool) -> tuple[str, ...]:
    """What to test where the coil does not get its current.

    Along a wire without current nothing drops. A pressure that is not under control is not run again to be measured.
    """
    if not under_control:
        return (STOP, *WIRE, ROUTINE)
    return (DROP, COIL, SCOPE) if current_flows else (*WIRE, SCOPE)


def hydraulic(valves: Sequence[Valve], pressure: Pressure, bleed: bool) -> tuple[str, ...]:
    """The hydraulic tests, the supply first where pressure is low: what is not fed cannot be made."""
    places = {valve.place for valve in valves}
    if pressure is Pressure.LOW:
        return (SUPPLY, RETURNS, *((OUTLET_RETURN,) if Place.OUTLET in places else ()), HOLD)
    return (*((INLET_LEAK,) if Place.INLET in places else ()), RETURN_FREE, VALVE_MOVES, *((BLEEDING,) if bleed else ()))


def finer_current(valve: Word, current: Reading, expected: Reading, tolerance: Reading) -> list[Message]:
    """To know both currents well enough for the tolerance, with what to type where a last digit was all that was given."""
    finer = Message(
        "know the current of the {valve}, and what it should be, more closely: {current} (± {width}) and {expected} (± "
        "{expected_width}) do not tell whether they agree within {tolerance}",
        valve=valve, current=current, width=_width(current), expected=expected, expected_width=_width(expected),
        tolerance=tolerance,
    )  # fmt: skip
    closer = {reading.text: _closer(reading) for reading in (current, expected) if reading.assumed}
    return [finer, *(Message(TYPE_CLOSER, closer=text, given=given) for given, text in closer.items())]


def _width(reading: Reading) -> Message:
    return Message("{width} {unit}", width=reading.widest, unit=reading.unit.symbol)


def _closer(reading: Reading) -> str:
    """The reading as it could be typed with one digit more."""
    decimals = max(round(-log10(2 * reading.widest)), 0) + 1
    return f"{reading.value:.{decimals}f} {reading.unit.symbol}"
