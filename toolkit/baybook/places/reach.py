"""Reaches that several tests share, so that tests which look at the same places are weighed alike. Common practice, no source.

For the reach of a `Question`: `{**STARVED, "pump drive": 0.7}`.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from .need import Answer
from .sense import Question

if TYPE_CHECKING:
    from ..estimate import Estimate

MEASURED = 0.01
"""The false alarm rate of what is measured at the place itself: half of what an indirect look has."""

STARVED: Mapping[str, float] = {
    "tank fuel": 0.6, "feed line": 0.8, "air leak": 0.4,
    "filter": 0.85, "tank pump": 0.85, "tank pump wiring": 0.8, "intermediate pump": 0.8,
    "intermediate pump wiring": 0.75, "suction pump": 0.75, "overflow valve": 0.7,
}  # fmt: skip
"""What sees that the high-pressure pump gets too little fuel, or at too low a pressure."""

FED: Mapping[str, float] = {
    **STARVED, "feed line": 0.95, "air leak": 0.65, "filter": 0.97, "tank pump": 0.96,
    "tank pump wiring": 0.96, "intermediate pump": 0.95, "intermediate pump wiring": 0.95, "overflow valve": 0.9,
}  # fmt: skip
"""A feed pressure, behind the filter, where the complaint is: what starves the pump shows there. Behind a pump a line that
holds its pressure lets fuel out where it leaks, and draws no air in."""

RESTRICTED: Mapping[str, float] = {
    "tank fuel": 0.4, "feed line": 0.8, "filter": 0.85, "tank pump": 0.8, "tank pump wiring": 0.75, "intermediate pump": 0.75,
    "intermediate pump wiring": 0.7,
}  # fmt: skip
"""A depression before a pump that draws: what holds the fuel back before the gauge makes it great. A worn suction pump behind
it draws less, and air that comes in takes it away: neither is cleared by a small one."""

CIRCUIT: Mapping[str, float] = {
    "{object} coil": 0.92, "{object} wiring": 0.95, "{object} driver": 0.95, "{all} driver": 0.4, "control unit": 0.2,
}  # fmt: skip
"""What sees that the coil which the test is made on does not get its current. One that is measured and as it should be leaves
of its circuit little but what comes and goes; of the coil turns that are shorted as well. The stage that drives all injectors
seldom fails for one of them."""

SHUT_OFF = "a bank of injectors is shut off"
"""What one short in an injector or its wire does to all that hang on the same stage (`Question.at_once`)."""
SHUT_OFF_BY = {"injector * coil": 0.2, "injector * wiring": 0.2}
"""How often the fault of another injector's coil or wire is such a short, and shuts this one off."""
UNDRIVEN: Mapping[str, float] = {
    **SHUT_OFF_BY, "{object} coil": 0.85, "{object} wiring": 0.9, "injector driver": 0.6, "speed and phase sensors": 0.9,
    "control unit": 0.3,
}  # fmt: skip
"""What leaves an injector without any current: its own circuit, its stage (which drives a bank of them, or all), a short that
has this shut off, or signals without which no injector is driven."""
NONE_FLOWS: Mapping[str, float] = {"current of {object}": -100.0}
"""What a circuit without any current shows of it (`Answer.shows`), in % of what it should be."""

_CIRCUITS = {f"{valve} {part}": 0.75 for valve in ("inlet valve", "outlet valve") for part in ("coil", "wiring", "driver")}

REGULATED = ("rail sensor", "rail sensor wiring")
"""What a pressure on its target says nothing of (`Question.spares`): the control brings the wrong reading onto it as well."""

PRESSURE_LOW: Mapping[str, float] = {
    **STARVED, **_CIRCUITS, "pump drive": 0.6, "pump elements": 0.85, "pump outlet": 0.6, "inlet valve": 0.75,
    "outlet valve": 0.75, "rail and joints": 0.7, "relief valve": 0.7, "injector *": 0.6, "rail sensor": 0.35,
    "rail sensor wiring": 0.3, "control unit": 0.6,
}  # fmt: skip
"""What sees that the rail pressure is below its target."""

PRESSURE_HIGH: Mapping[str, float] = {
    **_CIRCUITS, "inlet valve": 0.6, "outlet valve": 0.5, "return line": 0.5, "rail sensor": 0.85, "rail sensor wiring": 0.75,
    "control unit": 0.4,
}  # fmt: skip
"""What sees that the rail pressure is above its target."""

WARM_FILTER: Mapping[str, float] = {"filter": 0.97, "tank fuel": 0.02}
"""The drop of a filter with fuel that is too warm for wax: what is good then is good, whatever it was in the frost."""

HIGHEST = Question(
    {
        **STARVED, "rail and joints": 0.4, "relief valve": 0.6, "outlet valve": 0.7, "injector *": 0.6,
        "pump elements": 0.9, "pump drive": 0.7, "pump outlet": 0.5, "inlet valve": 0.5,
    },
    measures="highest pressure",
)  # fmt: skip
"""The highest pressure that is made with the inlet fully open and the outlet driven shut, however it is read. Most joints that
leak weep, and a pump makes that good."""

HUNTING = Question(
    {
        "air leak": 0.5, "inlet valve": 0.5, "outlet valve": 0.4, "tank fuel": 0.25, "feed line": 0.2, "filter": 0.15,
        "overflow valve": 0.3, "suction pump": 0.2, "rail sensor wiring": 0.15, "inlet valve wiring": 0.15,
        "outlet valve wiring": 0.15, "control unit": 0.2, "injector *": 0.15,
    },
    0.03, off_map=0.1, sought=False, measures="pressure hunts",
)  # fmt: skip
"""That the pressure swings slowly about its target, far slower than any stroke."""

LOST = "flow that the high-pressure side loses"
"""mL/min, the quantity that a leak has to make up, where it is known how much is lost (`Question.brings`, `Question.shows`)."""

VALVE_RETURN = Question(
    {"outlet valve": 0.9, "outlet valve coil": 0.5, "outlet valve wiring": 0.5, "outlet valve driver": 0.4},
    MEASURED, ("outlet valve",), measures="outlet valve return",
)  # fmt: skip
"""That too much comes back through the outlet valve, however it is collected: it does not shut, or is not driven shut."""

NO_PRESSURE = "no pressure at all"
"""The question of `ANY_PRESSURE`."""
MADE, NONE = 30.0, 20.0
"""bar, while the engine turns: from the first on a pump is driven; up to the second nothing is made."""
SURE = 0.98
_VALVE_PARTS = ("coil", "wiring", "driver")
_EMPTY = ("tank fuel", "air leak", "feed line", "tank pump", "tank pump wiring")
_SHUT_OFF = {f"inlet valve {part}": 0.1 for part in _VALVE_PARTS}
_OPEN = {f"outlet valve {part}": 0.4 for part in _VALVE_PARTS}  # most of them stand open without current
_UNSEEN = {"speed and phase sensors": 0.5}  # of an engine that is not seen to turn no valve is driven; a phase is missed later

ANY_PRESSURE = Question(
    {
        **dict.fromkeys(STARVED, 0.1), **dict.fromkeys(_EMPTY, 0.3), **_SHUT_OFF, **_OPEN, **_UNSEEN,
        "pump drive": 0.99, "inlet valve": 0.5, "pump elements": 0.1,
        "outlet valve": 0.3, "relief valve": 0.1, "rail and joints": 0.1, "pump outlet": 0.2,
        "rail sensor": 0.2, "rail sensor wiring": 0.5, "control unit": 0.3, "injector *": 0.05,
    },
    0.005, sought=False, measures="any rail pressure",
)  # fmt: skip
"""The question of a test that turns the engine, under the name NO_PRESSURE; `made` answers it. A pump whose drive is broken
makes nothing at all; one whose drive slips is rare."""

DRAWS = Question({"pump drive": 0.95, "suction pump": 0.1}, MEASURED, sought=False, measures="depression on the suction side")
"""That nothing is drawn on the suction side of a pump that draws for itself, under the name NOTHING_DRAWN; `drawn` answers
it. A worn pump still draws, only less."""
NOTHING_DRAWN = "nothing drawn"
"""The question of `DRAWS`."""
SEEN_DRAWN = 0.95
"""How sure a depression is the pump's own, and not the height of the line. Common practice, no source."""


def made(pressure: Estimate | None, before: Estimate | None = None) -> tuple[Answer, ...]:
    """The answer to it: pressure, reached while the engine turned; before: what stood in the rail or was shown before that."""
    if pressure is None:
        return ()
    reached, stood = pressure.to("bar"), 0.0 if before is None else before.to("bar").high
    if reached.low - stood >= MADE:
        return (Answer(NO_PRESSURE, SURE, said=NO_PRESSURE),)
    return (Answer(NO_PRESSURE, 1.0 - SURE, said=NO_PRESSURE),) if reached.high <= NONE else ()


def drawn(*, depression: bool) -> tuple[Answer, ...]:
    """The answer to it: a depression that was read before the pump is drawn by a pump that turns."""
    return (Answer(NOTHING_DRAWN, SEEN_DRAWN, said="depression"),) if depression else ()
