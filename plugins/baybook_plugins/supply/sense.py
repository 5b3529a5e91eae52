"""What the low-pressure readings say of which places; a question bears the name of its output. Common practice, no source."""

from __future__ import annotations

from baybook.api import Question, Sense

MEASURED = 0.01
"""False alarm rate of what is measured at the place itself."""
STARVED = {"tank fuel": 0.6, "feed line": 0.8, "filter": 0.85, "tank pump": 0.85, "tank pump wiring": 0.8,
           "intermediate pump": 0.8, "intermediate pump wiring": 0.75, "suction pump": 0.75, "overflow valve": 0.7}  # fmt: skip
WIRING = ("tank pump wiring", "intermediate pump wiring")
PUMPS = ("tank pump", "intermediate pump")
BLOCKED = {"overflow valve": 0.7, "return line": 0.6}
SUPPLY = Sense(
    {
        **{f"{condition}_pressure low": Question(STARVED) for condition in ("load", "cranking")},
        "idle_pressure low": Question({**STARVED, "filter": 0.4, "feed line": 0.4}),
        **{f"{condition}_pressure high": Question(BLOCKED) for condition in ("load", "cranking", "idle")},
        "filter_drop": Question({"filter": 0.9}, MEASURED, ("filter",)),
        "flow low": Question({"tank fuel": 0.5, "feed line": 0.6, **dict.fromkeys((*PUMPS, *WIRING), 0.85)}, MEASURED, PUMPS),
        "surplus low": Question(STARVED),
        "pump_current": Question({**dict.fromkeys(PUMPS, 0.7), **dict.fromkeys(WIRING, 0.8), "filter": 0.3}, MEASURED),
        "voltage_drop": Question(dict.fromkeys(WIRING, 0.8), MEASURED, WIRING),
    },
    15.0, hands="low side opened",
)  # fmt: skip
LINE = Sense({"drop_there": Question({"filter": 0.9, "feed line": 0.6}, MEASURED, ("filter",))}, 15.0, "low side opened")
