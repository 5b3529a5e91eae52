"""What the readings say: for each picture of them the side, how strongly, and the sentence."""

from __future__ import annotations

from typing import NamedTuple

from baybook.api import Message
from baybook_physics.pressure_valve import Place

OPEN, CONSISTENT, INDICATES = "open", "consistent with", "indicates"

SENSOR_OPEN = Message(
    "A rail sensor that shows too much, or whose ground or reference is off, gives the same picture. It costs nothing to look "
    "at and comes first."
)
STAGE_OPEN = Message("Hydraulic side, stage open: supply, generation, storage, delivery.")
DOES_ITS_PART = "The drive asks for {asked} and the coil gets the current for it: drive and coil do their part."
STICKING = {
    Place.INLET: Message("the inlet valve does not close"),
    Place.OUTLET: Message("the outlet valve does not open"),
}


class Says(NamedTuple):
    """Side (None where the readings do not tell), strength, sentence: pressure, asked, valves, causes and sensor fill it in."""

    side: str | None
    strength: str
    template: str


CONFLICT = Says(None, OPEN,
    "One valve is driven for more pressure and the other for less: a duty read in the wrong polarity, or readings from two "
    "different moments, is more likely than a fault.")  # fmt: skip
NOTHING_WRONG = Says(None, OPEN, "These readings show no pressure fault in this running condition.")
PRESSURE_OPEN = Says(
    None, OPEN, "Whether the pressure is on its target cannot be told: the tolerance ends within the uncertainty."
)
CARRIED_OUT = Says("hydraulic", INDICATES,
    "The drive asks for {asked}, the coil gets the current that goes with it, and pressure stays {pressure}: the control does "
    "its part. The valve's own mechanical part counts as hydraulic here.")  # fmt: skip
CARRIED_OUT_HIGH = Says("hydraulic", INDICATES,
    "The drive asks for {asked}, the coil gets the current that goes with it, and pressure stays {pressure}: the control does "
    "its part, so the cause is hydraulic: {causes}, or the return is blocked.")  # fmt: skip
DOUBTED = Says(None, OPEN,
    "The drive asks for {asked}, the coil gets the current that goes with it, and pressure stays {pressure}: if the pressure "
    "is really there, {causes}, or the return is blocked. {sensor}")  # fmt: skip
NOT_CARRIED_OUT = Says("control", INDICATES,
    "The drive asks for the right correction, but the coil's current is not what its drive should give ({valves}), in the very "
    "sense that makes pressure {pressure}: look at coil, plugs, wiring and driver before any hydraulic part.")  # fmt: skip
CURRENT_EXPLAINS = Says("control", INDICATES,
    "The coil's current is not what its drive should give ({valves}), in the very sense that makes pressure {pressure}: look "
    "at coil, plugs, wiring and driver before any hydraulic part.")  # fmt: skip
NOT_ASKED = Says("control", CONSISTENT,
    "Pressure is {pressure}, yet the drive asks for {asked}: the control does not see the fault, or does not mean to correct "
    "it. Look at what it sees and what it aims at.")  # fmt: skip
OBEYS_UNKNOWN = Says(None, OPEN,
    "The drive asks for {asked} and pressure stays {pressure}. Whether the coil obeys is not known: without its current this "
    "may be hydraulic or electrical.")  # fmt: skip
OBEYS_UNDECIDED = Says(None, OPEN,
    "The drive asks for {asked} and pressure stays {pressure}. Whether the coil obeys cannot be told: its current is not known "
    "closely enough, so this may be hydraulic or electrical.")  # fmt: skip
CONTRARY = Says("hydraulic", CONSISTENT,
    "Pressure is {pressure} although the drive asks for the correction and the coil's current goes even further than expected "
    "({valves}): that speaks for a hydraulic cause, but the current is not right either and has to be explained.")  # fmt: skip
NOBODY_KNOWS = Says(None, OPEN,
    "Pressure is {pressure}. Which way the control is pulling is not known, so the readings do not tell the sides "
    "apart.")  # fmt: skip
COMPENSATES = Says("hydraulic", CONSISTENT,
    "Pressure is on target, but only because the drive asks for {asked} than is usual: the control is making up for something, "
    "and has less in reserve.")  # fmt: skip
COMPENSATES_OR_SENSOR = Says(None, OPEN,
    "Pressure is on target by the rail sensor, which was not checked, and the drive asks for {asked} than is usual: the "
    "control is making up for something, or the sensor shows another pressure than there is.")  # fmt: skip
MADE_UP_FOR = Says("control", INDICATES,
    "The coil's current is not what its drive should give ({valves}), and the drive asks for {asked} than is usual to make up "
    "for it; so pressure is on target as yet. Ground, plug, wire or supply of the coil come before any hydraulic "
    "part.")  # fmt: skip
CURRENT_OFF = Says("control", CONSISTENT,
    "Pressure is on target and the coil's current is not what its drive should give ({valves}): the control makes up for it, "
    "or the expected current is wrong.")  # fmt: skip
CURRENT_OFF_PRESSURE_OPEN = Says("control", CONSISTENT,
    "The coil's current is not what its drive should give ({valves}); whether the pressure is on its target "
    "cannot be told.")  # fmt: skip
