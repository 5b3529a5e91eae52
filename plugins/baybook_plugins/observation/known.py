"""What is usually looked for, and the places that it speaks of. All reaches are common practice, no source."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from baybook.api import HUNTING, PRESSURE_HIGH, PRESSURE_LOW, REGULATED, SHUT_OFF, Halt, Need, Question, Sense, at_places
from baybook.dataclass import replace

VALVES, INJECTOR = ("inlet valve", "outlet valve"), ("injector *",)


LOW_SIDE = (
    "feed line", "filter", "air leak", "overflow valve", "suction pump", "tank pump", "intermediate pump", "return line",
)  # fmt: skip
HIGH_SIDE = ("pump drive", "pump elements", "pump outlet", *VALVES, "relief valve", "rail and joints", *INJECTOR)
FAULT_MEMORY = "fault memory"
OLD = 0.05
"""How often a code is stored that has nothing to do with the complaint."""
OUTPUT_STAGE, OF_ONE = "injector output stage", "output stage of one injector"
CIRCUIT, OF_INJECTOR = "circuit", "circuit of an injector"
FLEETING = 0.6
"""Of a fault that comes and goes with a movement: how often a code of its circuit is stored, beside one that stays."""
ELECTRIC = 0.9
"""How often an open or shorted circuit, or a dead stage, stores a code; a resistance that is too high seldom does."""
_CIRCUIT = Question(
    {"{object} coil": ELECTRIC, "{object} wiring": ELECTRIC, "{object} driver": ELECTRIC}, OLD, fleeting=FLEETING, on=VALVES,
    if_flowing=("{object} coil", "{object} wiring", "{object} driver"),
)  # fmt: skip
CODES: Mapping[str, Question] = {
    "rail pressure low": Question({place: 0.6 * reach for place, reach in PRESSURE_LOW.items()}, OLD, sought=False,
                                  measures="rail pressure low", spares=REGULATED),
    "rail pressure high": Question({place: 0.6 * reach for place, reach in PRESSURE_HIGH.items()}, OLD, sought=False,
                                   measures="rail pressure high", spares=REGULATED),
    "rail sensor": Question({"rail sensor": 0.3, "rail sensor wiring": 0.45}, OLD),
    CIRCUIT: _CIRCUIT,
    OUTPUT_STAGE: Question(
        {"injector driver": ELECTRIC, "injector * coil": 0.35, "injector * wiring": 0.35}, OLD, fleeting=FLEETING,
        at_once=SHUT_OFF,
    ),
    "supply pump circuit": Question({"tank pump wiring": 0.5, "intermediate pump wiring": 0.5, "tank pump": 0.2}, OLD),
    "speed or phase": Question({"speed and phase sensors": 0.6}, OLD),
}  # fmt: skip
"""By the kind of fault that a code speaks of. An absent one says little of what is no electric fault: many set none, some only
after two trips. One short in an injector or its wire shuts the whole stage off.
Codes of the rail's pressure count, and are nothing to be looked for: they say what live data say of it."""
NAMED = Question({"{object} coil": 0.5, "{object} wiring": 0.6, "injector driver": 0.08}, OLD, sought=False, on=INJECTOR)
"""That the code names one injector: its own circuit, rather than the stage that drives them all."""
CIRCUIT_OF_INJECTOR = replace(_CIRCUIT, on=INJECTOR)
"""The same of an injector's circuit; where a code of the stage is stored in its place, an absent one says nothing."""
MOVED, MOVED_LIVE = "jump when plug or loom is moved", "jump when a driven loom is moved"
"""What comes and goes with a movement is a contact there, however good it reads while nobody moves it."""
_DRIVEN = (*(f"{valve} wiring" for valve in VALVES), "injector * wiring")
_CONTACTS = (
    "rail sensor wiring", "tank pump wiring", "intermediate pump wiring", "speed and phase sensors", "control unit",
)  # fmt: skip
PROVOKED = Question({"{object}": 0.9}, 0.002, ("{object}",), measures=MOVED, provokes=True)
AT_A_PART = replace(
    PROVOKED, reach={"{object}": 0.9, "{object} wiring": 0.5}, direct=("{object}", "{object} wiring"), sought=False
)
"""The same at any part, whose wiring is moved with it."""
COMES_AND_GOES = Need("comes and goes", met=0.55, bad=0.002)
"""A wire that is broken for good moves nothing when it is moved."""

DRAWN_IN = {"air leak": 0.9, "tank fuel": 0.3, "feed line": 0.3, "filter": 0.1, "suction pump": 0.2}
UNKNOWN_FUEL = Halt(
    "key off and out, no flame, do not switch on, start or crank: petrol in the fuel is possible until it is known what is in "
    "it (calculator fuel)",
    spoils=True, reason="What is in the fuel is not known, and petrol is possible", off=True, fire=True, suspected=True,
)  # fmt: skip
SWARF = Halt(
    "do not start or crank the engine: the swarf goes on into rail and injectors; clean or renew what it has reached",
    reason="There is swarf in the fuel",
)
BURNS = Halt(
    "key off and out, no flame, do not switch on, start or crank: fuel that runs out burns; wipe it up, keep heat away, mend "
    "the leak",
    reason="Fuel leaks out, and can burn", off=True, fire=True, suspected=True,
)  # fmt: skip
EMPTY = Halt(
    "fill the tank with the right fuel, bleed the maker's way and do not crank the pump dry; then mark that repair of tank "
    "fuel: nothing that was measured of the supply before that is valid",
    engine=False, spoils=True, reason="The tank is empty",
)  # fmt: skip
LEAKS_OUT = Halt(
    "do not start or crank: fuel under pressure gets out; keep away, look for the leak and mend it only with the "
    "rail seen to fall to zero, key off, waited",
    reason="Fuel under pressure escapes",
    suspected=True,
)
THINS = Halt(
    "engine off, and do not start or crank it: on oil that fuel has thinned the engine may run away, and an injector that "
    "injects far too much burns a piston; check level and smell of the oil, have the injectors bench-tested, change the oil",
    reason="Fuel gets into the engine's oil",
    suspected=True,
)


SEEN = 0.0005
"""How often something is plain to see at a place, and the fault is elsewhere."""
JOINED, JOINT = ("filter", "feed line"), "at a joint"
"""The question of a fault that was seen at a place which has seals and unions: it may be air that is drawn in there."""
HOSE, NEARER = "bubbles in the clear hose", "bubbles nearer to the tank"
BEFORE_PUMP, UPSTREAM = (
    ("suction pump", "pump elements"),
    ("tank fuel", "tank pump", "feed line", "intermediate pump", "filter"),
)
"""Where the clear hose is: before the high-pressure pump, or nearer to the tank. Air that is not seen there comes in
behind it."""
THERE = "there"
"""The question of an observation that was made at the place that is named, and speaks of that alone."""


def _wet(name: str, reach: Mapping[str, float], halt: Halt, *direct: str, false_alarm: float, **more: Any) -> Sense:
    """Fuel that runs out: somewhere on that side, or at the place that is named."""
    there = Question({"{object}": 0.6}, SEEN, ("{object}",), measures=name, sought=False, halt=halt)
    return Sense({"": Question(reach, false_alarm, direct, measures=name, halt=halt), THERE: there}, 5.0, lasting=True, **more)


def _at_joint(reach: float, measures: str) -> Question:
    """A fault seen at a place of which air may be what is the matter; direct as any that is seen by itself."""
    of = {"{object}": reach, "air leak": 0.1}
    return Question(of, SEEN, ("{object}",), sought=False, measures=measures, on=JOINED)


PLUG, LOW_PART = "damaged or loose plug", "fault in a low-side part by itself"
WET_HIGH, WET_LOW = "wetness at the high-pressure side", "wetness at the low-pressure side"


IN_OIL, ROUGH = "fuel in the oil, or oil level rising", "cylinder that knocks, smokes or runs hot"


OBSERVATIONS: Mapping[str, Sense] = {
    HOSE: Sense(
        {"": Question(DRAWN_IN, measures=HOSE),
         NEARER: Question({"tank fuel": 0.3}, sought=False, measures=NEARER)},
        8.0, "low side opened", turning=True,
    ),
    "milky, dark or smelling fuel": Sense.one(
        {"tank fuel": 0.7}, 8.0, direct=("tank fuel",), measures="fuel seen and smelt", halt=UNKNOWN_FUEL, lasting=True,
    ),
    "empty tank": Sense.one(
        {"tank fuel": 0.3}, 3.0, direct=("tank fuel",), false_alarm=SEEN, halt=EMPTY, lasting=True,
    ),
    "swarf in the filter or the inlet valve": Sense.one(
        {"pump elements": 0.5, "pump drive": 0.5}, 20.0, direct=("pump elements",), halt=SWARF, hands="low side opened",
        lasting=True,
    ),
    WET_HIGH: _wet(
        WET_HIGH, {"rail and joints": 0.6, "pump outlet": 0.4}, LEAKS_OUT, "rail and joints", "pump outlet", false_alarm=0.005,
        near="high pressure",
    ),
    WET_LOW: _wet(
        WET_LOW, {"feed line": 0.4, "filter": 0.15, "return line": 0.3}, BURNS, "feed line", "return line", false_alarm=0.02,
    ),
    IN_OIL: Sense(
        {"": Question({"injector *": 0.3, "pump elements": 0.1}, 0.01, off_map=0.3, sought=False, halt=THINS)}, 5.0,
        lasting=True,
    ),
    ROUGH: Sense(
        {"": Question({"{object}": 0.4}, 0.05, off_map=0.2, sought=False, measures=ROUGH)}, 5.0, objects=at_places(*INJECTOR),
        running=True,
    ),
    "pressure that swings slowly": Sense({"": HUNTING}, 5.0, running=True),
    PLUG: Sense.one(
        {"{object} wiring": 0.5}, 3.0, direct=("{object} wiring",),
        objects=at_places(*VALVES, *INJECTOR, "rail sensor", "tank pump", "intermediate pump"), near="high pressure",
    ),
    "broken or slipped drive of the pump": Sense.one(
        {"pump drive": 0.6}, 3.0, direct=("pump drive",), false_alarm=SEEN, lasting=True,
    ),
    "valve that does not click when driven": Sense(
        {"": Question(
            {"{object}": 0.5, "{object} coil": 0.9, "{object} wiring": 0.9, "{object} driver": 0.9, "control unit": 0.2}, 0.04,
            if_flowing=("{object} coil", "{object} wiring", "{object} driver"),
        )},
        5.0, objects=at_places(*VALVES),
    ),
    FAULT_MEMORY: Sense(
        {**CODES, OF_ONE: NAMED, OF_INJECTOR: CIRCUIT_OF_INJECTOR}, 5.0, objects=at_places(*VALVES, *INJECTOR), together=True,
        lasting=True, opening=True, powered=True,
    ),
    LOW_PART: Sense(
        {"": Question({"{object}": 0.9}, SEEN, ("{object}",), measures=LOW_PART), JOINT: _at_joint(0.9, LOW_PART)},
        25.0, "low side opened", at_places(*LOW_SIDE), apart=True,
    ),
    "fault in a high-side part by itself": Sense.one(
        {"{object}": 0.95}, 45.0, direct=("{object}",), false_alarm=SEEN, hands="high side opened",
        objects=at_places(*HIGH_SIDE), apart=True,
    ),
    MOVED: Sense(
        {"": PROVOKED}, 5.0, needs=(COMES_AND_GOES,), objects=at_places(*_CONTACTS), lasting=True, powered=True,
    ),
    MOVED_LIVE: Sense(
        {"": PROVOKED}, 5.0, "live wiring", needs=(COMES_AND_GOES,), objects=at_places(*_DRIVEN), lasting=True,
        near="high pressure", powered=True,
    ),
    "fault outside the fuel system": Sense({"": Question({}, SEEN, off_map=0.6)}, 20.0),
}  # fmt: skip
OTHER = Sense(
    {"": Question({"{object}": 0.6}, SEEN, ("{object}",)), MOVED: AT_A_PART, JOINT: _at_joint(0.6, "")},
    10.0,
    objects=at_places("filter", "rail sensor"),
    needs=(replace(COMES_AND_GOES, of=(MOVED,)),),
    apart=True,
)
"""Anything else that was seen at a place, in own words."""
