"""What the low-pressure readings say of which places; a question bears the name of its output. Common practice, no source."""

from __future__ import annotations

from baybook.api import STARVED, Need, Question, Sense

MEASURED = 0.01
"""False alarm rate of what is measured at the place itself."""
FEED = "feed pressure low"
"""In whatever condition it was read, it is one thing that was measured."""
WIRING = ("tank pump wiring", "intermediate pump wiring")
PUMPS = ("tank pump", "intermediate pump")
LOADED = Need("load", "was it read under load, where the complaint is?", met=0.6, bad=0.05)
SUPPLY = Sense(
    {
        "load_pressure": Question(STARVED, measures=FEED),
        "cranking_pressure": Question(STARVED, measures=FEED),
        "idle_pressure": Question({**STARVED, "filter": 0.4, "feed line": 0.4}, measures=FEED),
        "surplus": Question(STARVED, measures=FEED),
        "filter_drop": Question({"filter": 0.9}, MEASURED, ("filter",), measures="filter pressure drop"),
        "flow": Question(
            {"tank fuel": 0.5, "feed line": 0.6, **dict.fromkeys((*PUMPS, *WIRING), 0.85)}, MEASURED, PUMPS,
            measures="supply pump delivery",
        ),
        "pump_current": Question(
            {**dict.fromkeys(PUMPS, 0.7), **dict.fromkeys(WIRING, 0.8), "filter": 0.3}, MEASURED,
            measures="supply pump current",
        ),
        "voltage_drop": Question(dict.fromkeys(WIRING, 0.8), MEASURED, WIRING),
    },
    30.0, hands="low side opened", needs=(LOADED,),
)  # fmt: skip
LINE = Sense({"drop_there": Question({"filter": 0.9, "feed line": 0.6}, MEASURED, ("filter",))}, 15.0, "low side opened")
