"""What the readings say, in sentences."""

from __future__ import annotations

from collections.abc import Sequence

from .model import Place, Valve
from .states import Asks, Current, Pressure

CONFLICT = (
    "One valve is driven for more pressure and the other for less: a duty read in the wrong "
    "polarity, or readings from two different moments, is more likely than a fault."
)
NOTHING_WRONG = "These readings show no pressure fault in this running condition."
PRESSURE_OPEN = "Whether the pressure is on its target cannot be told: the tolerance ends within the uncertainty."
STAGE_OPEN = "Hydraulic side, stage open: supply, generation, storage, delivery."
SENSOR_OPEN = (
    "A rail sensor that shows too much, or whose ground or reference is off, gives the same picture. "
    "It costs nothing to look at and comes first."
)
DOES_ITS_PART = "The drive asks for {} and the coil gets the current for it: drive and coil do their part."
SENSOR_NOT_JUDGED = "The sensor is not judged here."


def name(valve: Valve) -> str:
    """`inlet valve`, `outlet valve`."""
    return f"{valve.place} valve"


def carried_out(pressure: Pressure, asked: Asks, valves: Sequence[Valve], sensor_checked: bool) -> str:
    """Asked for, and the coil gets its current: hydraulic, if the pressure is really there."""
    begin = f"The drive asks for {asked}, the coil gets the current that goes with it, and pressure stays {pressure}: "
    if pressure is Pressure.LOW:
        return f"{begin}the control does its part. The valve's own mechanical part counts as hydraulic here."
    sticking = {Place.INLET: "the inlet valve does not close", Place.OUTLET: "the outlet valve does not open"}
    causes = ", ".join(sticking[valve.place] for valve in valves)
    if sensor_checked:
        return f"{begin}the control does its part, so the cause is hydraulic: {causes}, or the return is blocked."
    return f"{begin}if the pressure is really there, {causes}, or the return is blocked. {SENSOR_OPEN}"


def not_carried_out(pressure: Pressure, asked: bool, whose: str) -> str:
    """The current is off in the very sense that makes the pressure wrong."""
    begin = "The drive asks for the right correction, but the" if asked else "The"
    return (
        f"{begin} coil's current is not what its drive should give ({whose}), in the very sense that makes "
        f"pressure {pressure}: look at coil, plugs, wiring and driver before any hydraulic part."
    )


def not_asked(pressure: Pressure, asked: Asks) -> str:
    """Nobody asks for the correction."""
    return (
        f"Pressure is {pressure}, yet the drive asks for {asked}: the control does not see the "
        "fault, or does not mean to correct it. Look at what it sees and what it aims at."
    )


def asked_only(pressure: Pressure, asked: Asks, current: Current) -> str:
    """Asked for; whether the coil obeys is not known."""
    if current is Current.UNDECIDED:
        return (
            f"The drive asks for {asked} and pressure stays {pressure}. Whether the coil obeys cannot be told: its current is "
            "not known closely enough, so this may be hydraulic or electrical."
        )
    return (
        f"The drive asks for {asked} and pressure stays {pressure}. Whether the coil obeys is not "
        "known: without its current this may be hydraulic or electrical."
    )


def contrary(pressure: Pressure, whose: str) -> str:
    """The current is off the other way."""
    return (
        f"Pressure is {pressure} although the drive asks for the correction and the coil's current "
        f"goes even further than expected ({whose}): that speaks for a hydraulic cause, but the current is "
        "not right either and has to be explained."
    )


def nobody_knows(pressure: Pressure) -> str:
    """What is asked for is not known."""
    return (
        f"Pressure is {pressure}. Which way the control is pulling is not known, so the readings do not tell the sides apart."
    )


def compensates(asked: Asks) -> str:
    """On target by effort."""
    return (
        f"Pressure is on target, but only because the drive asks for {asked} than is usual: the "
        "control is making up for something, and has less in reserve."
    )


def current_off(pressure: Pressure, whose: str) -> str:
    """The current is off and the pressure does not show it."""
    if pressure is Pressure.UNDECIDED:
        return (
            f"The coil's current is not what its drive should give ({whose}); whether the pressure is on its target cannot "
            "be told."
        )
    return (
        f"Pressure is on target and the coil's current is not what its drive should give ({whose}): the control "
        "makes up for it, or the expected current is wrong."
    )
