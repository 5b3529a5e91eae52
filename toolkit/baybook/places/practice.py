"""Senses of the usual tests, readings and observations. All reaches are common practice, no source.

A calculator that declares its own sense takes it from here, so that tests which look at the same places are weighed alike.
"""

from __future__ import annotations

from collections.abc import Mapping

from .reach import MEASURED, STARVED
from .sense import Need, Question, Sense

INLET_VALVE, OUTLET_VALVE, INJECTOR = "inlet valve", "outlet valve", "injector *"
LOADED = Need("load", "was it read under load, where the complaint is?", met=0.6, bad=0.05)

READINGS: Mapping[str, Sense] = {
    "feed pressure": Sense({"low": Question(STARVED), "high": Question({"overflow valve": 0.7, "return line": 0.6})},
                           15.0, hands="low side opened", needs=(LOADED,)),
    "filter pressure drop": Sense.one({"filter": 0.9}, 15.0, direct=("filter",), false_alarm=MEASURED,
    hands="low side opened", needs=(LOADED,)),
    "return back pressure": Sense.one({"return line": 0.85}, 12.0, direct=("return line",), false_alarm=MEASURED,
    hands="low side opened"),
    "supply pump current": Sense.one({"{object}": 0.7, "{object} wiring": 0.8, "filter": 0.3}, 8.0,
    direct=("{object} wiring",), false_alarm=MEASURED,
                                     objects=("tank pump", "intermediate pump")),
    "supply pump delivery": Sense.one({"{object}": 0.85, "tank fuel": 0.4, "{object} wiring": 0.8}, 15.0,
    direct=("{object}",), false_alarm=MEASURED,
                                      hands="low side opened", objects=("tank pump", "intermediate pump")),
    "suction depression": Sense.one({"feed line": 0.7, "filter": 0.7, "suction pump": 0.5}, 15.0, hands="low side opened"),
    "rail sensor against gauge or zero": Sense.one({"rail sensor": 0.85, "rail sensor wiring": 0.5}, 8.0,
    direct=("rail sensor",), false_alarm=MEASURED),
    "rail sensor supply and ground": Sense.one({"rail sensor wiring": 0.85}, 8.0, direct=("rail sensor wiring",),
    false_alarm=MEASURED),
    "valve wiring voltage drop": Sense.one({"{object} wiring": 0.85}, 12.0, direct=("{object} wiring",), false_alarm=MEASURED,
                                           objects=(INLET_VALVE, OUTLET_VALVE)),
    "valve drive signal": Sense.one({"{object} driver": 0.85, "control unit": 0.3}, 12.0, direct=("{object} driver",),
    false_alarm=MEASURED,
                                    objects=(INLET_VALVE, OUTLET_VALVE)),
    "injector current": Sense.one({"{object} coil": 0.85, "{object} wiring": 0.9, "injector driver": 0.8}, 12.0,
                                  direct=("{object} wiring", "injector driver"), false_alarm=MEASURED, hands="live wiring",
                                      objects=(INJECTOR,)),
    "injector quantity correction": Sense.one({"{object}": 0.6, "{object} coil": 0.6, "{object} wiring": 0.6}, 6.0,
    objects=(INJECTOR,),
                                              together=True),
    "outlet valve return": Sense.one({"outlet valve": 0.9}, 15.0, direct=("outlet valve",), false_alarm=MEASURED,
    hands="low side opened"),
    "pump delivery with the outlet valve driven shut": Sense.one({"pump elements": 0.9, "pump drive": 0.7, **STARVED}, 20.0),
    "pump leak return": Sense.one({"pump elements": 0.7}, 15.0, direct=("pump elements",), false_alarm=MEASURED,
    hands="low side opened"),
    "speed and phase signals": Sense.one({"speed and phase sensors": 0.9}, 6.0, direct=("speed and phase sensors",),
    false_alarm=MEASURED),
    "low-side part checked by itself": Sense.one(
        {"{object}": 0.9}, 25.0, direct=("{object}",), false_alarm=MEASURED, hands="low side opened",
        objects=("feed line", "overflow valve", "suction pump", "tank pump", "return line"),
    ),
    "high-side part checked by itself": Sense.one(
        {"{object}": 0.95}, 45.0, direct=("{object}",), false_alarm=MEASURED, hands="high side opened",
        objects=("pump drive", "pump elements", "pump outlet", "inlet valve", "outlet valve", "relief valve",
                 "rail and joints", INJECTOR),
    ),
    "control unit supply": Sense.one({"control unit": 0.6}, 10.0, direct=("control unit",), false_alarm=MEASURED),
}  # fmt: skip

OBSERVATIONS: Mapping[str, Sense] = {
    "bubbles in the clear hose": Sense.one({"feed line": 0.75, "filter": 0.2, "tank fuel": 0.4}, 8.0, direct=("feed line",),
                                           false_alarm=0.05, hands="low side opened"),
    "milky, dark or smelling fuel": Sense.one({"tank fuel": 0.7}, 8.0, direct=("tank fuel",), false_alarm=0.02),
    "empty tank": Sense.one({"tank fuel": 0.3}, 3.0, direct=("tank fuel",), false_alarm=MEASURED),
    "swarf in the filter or the inlet valve": Sense.one({"pump elements": 0.5, "pump drive": 0.5}, 20.0,
    direct=("pump elements",),
                                                        false_alarm=0.02, hands="low side opened"),
    "wet at the high-pressure side": Sense.one({"rail and joints": 0.6, "pump outlet": 0.4}, 5.0,
                                               direct=("rail and joints",), false_alarm=0.02),
    "damaged or loose plug": Sense.one({"{object} wiring": 0.5}, 3.0, direct=("{object} wiring",), false_alarm=0.02,
                                       objects=(INLET_VALVE, OUTLET_VALVE, INJECTOR, "rail sensor")),
}  # fmt: skip
