"""The usual readings and the places that they speak of. All reaches are common practice, no source."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from baybook.api import (
    DRAWS,
    FED,
    HIGHEST,
    NOTHING_DRAWN,
    RESTRICTED,
    SHUT_OFF,
    STARVED,
    UNDRIVEN,
    VALVE_RETURN,
    WARM_FILTER,
    Halt,
    Need,
    Place,
    Question,
    Sense,
    at_places,
)

MEASURED = 0.01
"""False alarms of what is measured at the place itself: half of what an indirect look has."""
LOADED = Need(
    "load", "was it read under load, where the complaint is?", met=0.6, left=0.4, condition="load",
    cranked="was it read while cranking, where the complaint is?",
)  # fmt: skip
PUMPS, VALVES, INJECTOR = ("tank pump", "intermediate pump"), ("inlet valve", "outlet valve"), ("injector *",)


def at(reach: Mapping[str, float], minutes: float, *direct: str, on: tuple[str, ...] = (), **more: Any) -> Sense:
    """A reading taken at the very place: what it looks at directly, and on which parts it is made."""
    return Sense.one(reach, minutes, direct=direct, false_alarm=MEASURED, objects=at_places(*on), **more)


def _signal(measures: str, lost: float) -> Sense:
    """A valve's drive signal; lost: how often one is missing there whose wire is open."""
    reach, stage = {"{object} driver": 0.85, "control unit": 0.3}, ("{object} driver",)
    return Sense(
        {
            "": Question(
                {**reach, "{object} wiring": lost}, MEASURED, stage, measures=measures, if_flowing=("{object} wiring",)
            ),
            MISSHAPEN: Question(reach, MEASURED, stage, measures=measures, sought=False),
        },
        12.0, objects=at_places(*VALVES), turning=True, near="high pressure",
    )  # fmt: skip


DEPRESSION, HELD_BACK, SLACK = "suction depression", "held back", "slack"
"""A depression that is too great is held back on its way, one that is too small is drawn too weakly, or draws air."""
INJECTOR_CURRENT, NOT_DRIVEN = "injector current", "no current at all"
"""Without the signals of speed and phase no injector is driven at all, nor where a short has its stage shut off; what is weak,
is driven. A current proves no place: it is missing by whatever lies on its way."""
CLAMPED = 0.005
"""False alarms of a current by clamp: as every other test of a coil's current."""
SIGNAL, AT_UNIT, MISSHAPEN = "valve drive signal", "valve drive signal at the unit", "another duty than asked for"
"""A signal that is there, and not as it is asked for, has come along the wires; one that is missing may be lost on them, and
with it the supply through the coil that it is read by, at the unit too."""
END_TO_END = "wires end to end"
_BEFORE_FILTER = {place: reach for place, reach in STARVED.items() if place not in ("filter", "suction pump", "overflow valve")}
CORRECTION = "injector quantity correction"
OVERFUELS = Halt(
    "engine off, and do not start or crank it: the control takes fuel away from an injector that knocks, smokes or thins the "
    "oil; one that injects far too much burns a piston, and on thin oil the engine may run away: check level and smell of the "
    "oil, have the injector tested on a bench",
    reason="An injector seems to inject far too much",
    beside=r"knock|smok|\boil\b|\bhot\b|klopf|nagel|(?<!b)rauch|qualm|öl\b|\böl",
)
"""Of a correction below the user's range, beside such a complaint or observation. Common practice, no source."""
COMPRESSION = "relative compression"
"""Of the weakest cylinder, by starter current, injection kept off as the data say."""
_CYLINDER = Place("compression", "delivery", "hydraulic", "the compression of a cylinder", weight=0.5)
READINGS: Mapping[str, Sense] = {
    "feed pressure": Sense(
        {"low": Question(FED), "high": Question({"overflow valve": 0.7, "return line": 0.6})},
        12.0, hands="low side opened", needs=(LOADED,), turning=True,
        fitted={"low_pressure": (None, "tank pump", "intermediate pump")},
    ),  # where a suction pump alone draws the fuel there is a depression, and no pressure to feed it
    "feed pressure before the filter": Sense(
        {"low": Question(_BEFORE_FILTER, ahead_of="feed pressure low", between=("filter",)),
         "high": Question({"filter": 0.4, "tank fuel": 0.15, "overflow valve": 0.3, "return line": 0.4})},
        12.0, hands="low side opened", needs=(LOADED,), turning=True,
        fitted={"low_pressure": (None, "tank pump", "intermediate pump")},
    ),
    "filter pressure drop": at(
        {"filter": 0.9, "tank fuel": 0.35}, 15.0, "filter", hands="low side opened", needs=(LOADED,), turning=True,
    ),
    "filter pressure drop, warm": Sense(
        {"": Question(WARM_FILTER, MEASURED, ("filter",), warm=True)}, 20.0, "low side opened", needs=(LOADED,), running=True,
    ),
    DEPRESSION: Sense(
        {HELD_BACK: Question(RESTRICTED, measures="feed pressure low"),
         SLACK: Question({"suction pump": 0.8, "air leak": 0.6}), NOTHING_DRAWN: DRAWS},
        15.0, hands="low side opened", running=True, fitted={"low_pressure": (None, "suction pump")},
    ),
    "return back pressure": at({"return line": 0.85}, 12.0, "return line", hands="low side opened", running=True),
    "supply pump current": Sense(
        {"low": Question({"{object}": 0.6, "{object} wiring": 0.8}, MEASURED, measures="supply pump current low"),
         "high": Question({"filter": 0.35, "feed line": 0.15, "{object}": 0.15}, MEASURED,
                          measures="supply pump current high")},
        8.0, objects=at_places(*PUMPS), powered=True,
    ),  # against a blockage a pump draws more; worn, or fed through a bad wire, less
    "supply pump delivery": at(
        {"{object}": 0.85, "{object} wiring": 0.8, "tank fuel": 0.4}, 15.0, "{object}", on=PUMPS, hands="low side opened",
        powered=True,
    ),
    "rail sensor against gauge or zero": at({"rail sensor": 0.85, "rail sensor wiring": 0.5}, 8.0, "rail sensor",
                                          near="high pressure", powered=True),
    "rail sensor supply and ground": at({"rail sensor wiring": 0.85}, 8.0, "rail sensor wiring",
                                        near="high pressure", powered=True),
    "valve wiring voltage drop": Sense(
        {"": Question({"{object} wiring": 0.85}, MEASURED, ("{object} wiring",), measures="wiring voltage drop",
                      if_dead=("{object} wiring",))}, 12.0,
        objects=at_places(*VALVES), turning=True, near="high pressure",
    ),
    SIGNAL: _signal(SIGNAL, 0.8),
    AT_UNIT: _signal(AT_UNIT, 0.4),
    END_TO_END: Sense(
        {"": Question({"{object} wiring": 0.9}, MEASURED, ("{object} wiring",), if_flowing=("{object} wiring",))}, 10.0,
        objects=at_places(*VALVES, *INJECTOR, "rail sensor", *PUMPS), lasting=True, near="high pressure",
    ),  # a wire that lets some current through is whole, and its joint is seen under current alone
    INJECTOR_CURRENT: Sense(
        {"": Question({"{object} coil": 0.85, "{object} wiring": 0.9, "injector driver": 0.4}, CLAMPED, measures="coil current",
                      shows={"current of {object}": ""}),
         NOT_DRIVEN: Question(UNDRIVEN, CLAMPED, sought=False, measures="coil current", at_once=SHUT_OFF)},
        12.0, objects=at_places(*INJECTOR), hands="live wiring", turning=True, near="high pressure",
    ),
    CORRECTION: Sense(
        {
            "low": Question(
                {"{object}": 0.5, "{object} coil": 0.03, "{object} wiring": 0.03}, 0.02, off_map=0.03, halt=OVERFUELS,
            ),
            "high": Question({"{object}": 0.4, "{object} coil": 0.6, "{object} wiring": 0.6}, 0.03, off_map=0.05),
        },
        4.0, objects=at_places(*INJECTOR), running=True,
    ),
    COMPRESSION: Sense(
        {"": Question({"compression": 0.9}, 0.005, ("compression",), measures=COMPRESSION)}, 5.0, turning=True, lasting=True,
        places=(_CYLINDER,),
    ),
    "outlet valve return": Sense(
        {"": VALVE_RETURN}, 15.0, "low side opened", at_places("outlet valve"), turning=True, near="high pressure",
    ),
    "relief valve return": at(
        {"relief valve": 0.95}, 15.0, "relief valve", on=("relief valve",), hands="low side opened", turning=True,
        near="high pressure",
    ),
    "pressure with the outlet valve driven shut": Sense(
        {"": HIGHEST}, 20.0, objects=at_places("outlet valve"), turning=True, made_in="raised",
    ),
    "pump leak return": at(
        {"pump elements": 0.7}, 15.0, "pump elements", hands="low side opened", turning=True, near="high pressure",
    ),
    "speed and phase signals": at({"speed and phase sensors": 0.9}, 6.0, "speed and phase sensors", turning=True),
    "control unit supply": at({"control unit": 0.6}, 10.0, "control unit", powered=True),
}  # fmt: skip
_PRESSURES = ("feed pressure", "feed pressure before the filter", "filter pressure drop", "filter pressure drop, warm",
              DEPRESSION, "return back pressure", "rail sensor against gauge or zero",
              "pressure with the outlet valve driven shut")  # fmt: skip
FAMILIES: Mapping[str, tuple[str, ...]] = {
    **dict.fromkeys(_PRESSURES, ("pressure",)),
    "supply pump current": ("current",), INJECTOR_CURRENT: ("current",), END_TO_END: ("resistance",),
    **dict.fromkeys((SIGNAL, AT_UNIT), ("ratio",)),
    **dict.fromkeys(("rail sensor supply and ground", "valve wiring voltage drop", "control unit supply"), ("voltage",)),
    **dict.fromkeys(
        ("supply pump delivery", "outlet valve return", "relief valve return", "pump leak return"), ("flow", "volume")
    ),
}  # fmt: skip
"""Of what a usual reading is one, where that is known: 40 °C is no feed pressure."""
ENDS: Mapping[str, str] = {
    **dict.fromkeys(("feed pressure", "supply pump delivery", "control unit supply", COMPRESSION), "low"),
    "pressure with the outlet valve driven shut": "low",
    **dict.fromkeys(
        ("filter pressure drop", "filter pressure drop, warm", "return back pressure", "valve wiring voltage drop",
         "outlet valve return", "relief valve return", "pump leak return"), "high",
    ),
    **dict.fromkeys(("rail sensor against gauge or zero", CORRECTION), "both"),
}  # fmt: skip
"""Which end of its range a usual reading needs: without it what is wrong with such a reading would be within."""
OTHER = at({"{object}": 0.8}, 15.0, "{object}", on=("filter",))
"""Any other reading, taken at the place that it names."""
