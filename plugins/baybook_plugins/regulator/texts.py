"""A valve and its switched wire in words."""

from __future__ import annotations

from baybook.api import Message, Reading
from baybook_physics.pressure_valve import Place, Switched, Valve, mean_voltage

USUAL_KIND = Message(
    "Where it was not given: a valve that stands open without current, switched to ground. That is the usual kind, not every "
    "kind: the maker's data say which one is fitted."
)
BLEED = Message(
    "This control also lowers pressure by pulsing injectors too short to inject: fuel then leaves through the returns. Their "
    "volumes rise while it does, so a return balance has to be taken while it does not."
)
TOLERANCE = (
    "Within {pressure} of target counts as on target, within {current} as the expected current: common practice, no source."
)
NO_CURRENT = Message(
    "No current flows where one is due: coil, plug or wire is open, its supply or ground is missing, or it is not driven."
)
WIRE_FAULTS = {
    (Switched.GROUND, False): Message(
        "The switched wire stays near 0 V although it should pulse: coil, its supply or the wire to it is open, or the wire is "
        "shorted to ground."
    ),
    (Switched.GROUND, True): Message(
        "The switched wire stays near supply voltage although it should pulse: the control unit does not switch it, or the "
        "wire to it is open or shorted to supply."
    ),
    (Switched.SUPPLY, False): Message(
        "The switched wire stays near 0 V although it should pulse: the control unit does not switch it, its own supply is "
        "missing, or the wire is shorted to ground."
    ),
    (Switched.SUPPLY, True): Message(
        "The switched wire stays near supply voltage although it should pulse: the wire is shorted to supply, or the switch "
        "stays on."
    ),
}
"""By the side that is switched, and whether the wire is high."""
WIRE_AT_REST = {
    Switched.GROUND: "supply voltage, through the coil; 0 V means that coil, wire or supply is open",
    Switched.SUPPLY: "0 V, whether the coil is whole or not",
}
LOSS = {
    "falls": "pressure falls: the engine stops or does not start",
    "rises": "pressure rises, up to a relief valve if one is fitted: dangerous",
}

RUNS_UP = (
    "Without current nothing holds the pressure back: the pump delivers all it can and pressure "
    "runs up until a relief valve opens, if one is fitted. That can burst or damage parts and "
    "injure: never take the current away on a running engine to see what happens."
)
RUNS_DOWN = (
    "Without current pressure collapses: the engine stops or does not start. A moving vehicle "
    "loses drive without warning: never take the current away on a running engine to see what "
    "happens."
)
ESCAPE_WINS = (
    "Without current at both, the outlet valve stands open and pressure collapses although the "
    "inlet lets the pump fill: the engine stops or does not start. If the inlet valve alone loses "
    "its current the pump delivers all it can and the outlet has to pass it: pressure may run up. "
    "Never take the current away on a running engine to see what happens."
)
SUPPLY_WINS = (
    "Without current at both, the inlet valve shuts the pump off and pressure runs out although "
    "the escape is closed: the engine stops or does not start. If the outlet valve alone loses "
    "its current nothing lets pressure down quickly and it may run up. "
    "Never take the current away on a running engine to see what happens."
)

# A wire whose mean lies this near to an end does not pulse; a drive this far from the ends should. common practice, no source
STUCK, SHOULD_PULSE = 0.02, 0.10


def wire_fault(switched: Switched, share: float, due: float) -> Message | None:
    """Say what is wrong with a wire that should pulse and does not, None where nothing is.

    share: of time on, from the wire's mean voltage; due: the share of time on, or off, that duty or command say.
    """
    if STUCK < share < 1 - STUCK or not SHOULD_PULSE < due < 1 - SHOULD_PULSE:
        return None
    return WIRE_FAULTS[switched, (share > 0.5) == (switched is Switched.SUPPLY)]


def of_valve(valve: Valve, switched: Switched, supply: Reading | None) -> dict[str, str]:
    """What more current does, what full pressure needs of the valve and its wire, and what the loss of its current does."""
    drive = 1.0 if valve.current_raises_pressure else 0.0
    level = mean_voltage(drive, 1.0, switched)
    way = "rises" if valve.current_raises_pressure else "falls"
    return {
        "effect": f"more current drives it {valve.current_moves_it}: pressure {way}",
        "full_pressure": f"fully {valve.full_pressure_position}: {valve.full_pressure_current}, {100 * drive:.0f} % on",
        "wire_at_full_pressure": _wire(level, supply.number("V") if supply else None),
        "loss_of_current": LOSS[valve.loss_of_current],
    }


def _wire(level: float, supply: float | None) -> Message:
    """What meters show on a wire that stays low (0) or high (1); supply in V."""
    meter = {"high": 100 * level, "low": 100 - 100 * level}
    if level and supply is None:
        return Message("about supply voltage mean; a duty meter {high} % high time, {low} % low time", **meter)
    volts = float(f"{level * (supply or 0.0):.3g}")
    return Message("about {volts} V mean; a duty meter {high} % high time, {low} % low time", volts=volts, **meter)


def loss_of_all_current(valves: list[Valve]) -> str:
    """Say what the loss of current at every valve together does, and what is dangerous in it."""
    falls = [valve for valve in valves if valve.loss_of_current == "falls"]
    if not falls:
        return RUNS_UP
    if len(falls) == len(valves):
        return RUNS_DOWN
    escapes = [valve for valve in falls if valve.place is Place.OUTLET]
    return ESCAPE_WINS if escapes else SUPPLY_WINS
