"""Senses of the usual tests, readings and observations. All reaches are common practice, no source.

A calculator that declares its own sense takes it from here, so that tests which look at the same places are weighed alike.
"""

from __future__ import annotations

from collections.abc import Mapping

from .sense import Need, Question, Sense

MEASURED = 0.01  # false alarm rate of what is measured at the place itself; half of what an indirect look has
INLET_VALVE, OUTLET_VALVE, INJECTOR = "inlet valve", "outlet valve", "injector *"
SHUT = Need("shut", "was the outlet valve driven shut the maker's way, and no bleeding by the injectors, during the hold?",
            met=0.5, bad=0.95, at_rest=True)  # fmt: skip
UNDER_PRESSURE = Need("pressure", "at which rail pressure were the returns collected?", met=0.6, bad=0.05)
LOADED = Need("load", "was it read under load, where the complaint is?", met=0.6, bad=0.05)

HOLD = Sense.one(
    {"rail and joints": 0.9, "relief valve": 0.8, "outlet valve": 0.85, "pump outlet": 0.5, INJECTOR: 0.75}, 12.0,
    needs=(SHUT,),
)  # fmt: skip
RETURNS = Sense.one(
    {"{object}": 0.85}, 25.0, direct=("{object}",), false_alarm=MEASURED, hands="low side opened", objects=(INJECTOR,),
    together=True, needs=(UNDER_PRESSURE,),
)  # fmt: skip
COIL = Sense.one(
    {"{object} coil": 0.92}, 10.0, direct=("{object} coil",), false_alarm=0.002, objects=(INLET_VALVE, OUTLET_VALVE, INJECTOR)
)

_STARVED = {"tank fuel": 0.6, "feed line": 0.8, "filter": 0.85, "tank pump": 0.85, "tank pump wiring": 0.8,
            "intermediate pump": 0.8, "intermediate pump wiring": 0.75, "suction pump": 0.75,
            "overflow valve": 0.7}  # fmt: skip
_LOW = {**_STARVED, "pump drive": 0.6, "pump elements": 0.85, "pump outlet": 0.6, "inlet valve": 0.75, "outlet valve": 0.75,
        "rail and joints": 0.7, "relief valve": 0.7, INJECTOR: 0.6, "rail sensor": 0.35, "rail sensor wiring": 0.3}  # fmt: skip
_HIGH = {"inlet valve": 0.85, "outlet valve": 0.7, "return line": 0.5, "rail sensor": 0.85, "rail sensor wiring": 0.75}
_CIRCUIT = {"{object} coil": 0.85, "{object} wiring": 0.85, "{object} driver": 0.85, "control unit": 0.2}
_CIRCUITS = {f"{valve} {part}": 0.75 for valve in (INLET_VALVE, OUTLET_VALVE) for part in ("coil", "wiring", "driver")}
# "low" and "high": the pressure against its target. "control": whether the control works against it. "current": what the
# valve gets.
REGULATOR = Sense(
    {
        "low": Question({**_LOW, **_CIRCUITS, "control unit": 0.6}),
        "high": Question({**_HIGH, **_CIRCUITS, "control unit": 0.4}),
        "control": Question({"control unit": 0.8, "rail sensor": 0.3, "rail sensor wiring": 0.4}),
        "current": Question(_CIRCUIT, false_alarm=0.005),
    },
    10.0, objects=(INLET_VALVE, OUTLET_VALVE),
)  # fmt: skip

READINGS: Mapping[str, Sense] = {
    "feed pressure": Sense({"low": Question(_STARVED), "high": Question({"overflow valve": 0.7, "return line": 0.6})},
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
    "pump delivery with the outlet valve driven shut": Sense.one({"pump elements": 0.9, "pump drive": 0.7, **_STARVED}, 20.0),
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

TESTS: Mapping[str, Sense] = {
    "hold": HOLD,
    "returns": RETURNS,
    "coil": COIL,
    "regulator": REGULATOR,
    **READINGS,
    **OBSERVATIONS,
}
