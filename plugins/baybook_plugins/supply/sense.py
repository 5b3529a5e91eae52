"""What the low-pressure readings say of which places. Reaches: common practice, no source."""

from __future__ import annotations

from baybook.api import DRAWS, FED, NOTHING_DRAWN, RESTRICTED, STARVED, WARM_FILTER, Question, Sense

MEASURED = 0.01
"""False alarm rate of what is measured at the place itself."""
FEED = "feed pressure low"
"""In whatever condition it was read, it is one thing that was measured."""
PUMPS = ("tank pump", "intermediate pump")
WIRING = tuple(f"{pump} wiring" for pump in PUMPS)
BEFORE_FILTER = {
    place: chance for place, chance in STARVED.items() if place not in ("filter", "suction pump", "overflow valve")
}
DRAWN_IN = {"air leak": 0.9, "tank fuel": 0.3, "feed line": 0.3, "filter": 0.1, "suction pump": 0.2}
SUPPLY = Sense(
    {
        "starved": Question(FED, measures=FEED),
        "starved at idle": Question({**FED, "filter": 0.4, "feed line": 0.4}, measures=FEED),
        "sucking": Question(RESTRICTED, measures=FEED),
        "sucking, little flowing": Question({**RESTRICTED, "filter": 0.5, "feed line": 0.5}, measures=FEED),
        "slack": Question({"suction pump": 0.8, "air leak": 0.6}, measures="suction depression slack"),
        NOTHING_DRAWN: DRAWS,
        "overfed": Question({"overflow valve": 0.7, "return line": 0.6}, measures="feed pressure high"),
        "before low": Question(BEFORE_FILTER, measures="feed pressure before the filter low"),
        "before high": Question(
            {"filter": 0.75, "tank fuel": 0.3, "overflow valve": 0.3, "return line": 0.4}, sought=False,
            measures="feed pressure before the filter high",
        ),
        "filter_drop": Question({"filter": 0.9, "tank fuel": 0.35}, MEASURED, ("filter",), measures="filter pressure drop"),
        "filter drop, warm": Question(
            WARM_FILTER, MEASURED, ("filter",), sought=False, measures="filter pressure drop, warm", warm=True
        ),
        "flow low": Question(
            {"tank fuel": 0.5, "feed line": 0.6, **dict.fromkeys(PUMPS, 0.6), **dict.fromkeys(WIRING, 0.8)},
            MEASURED,
            measures="supply pump delivery",
        ),
        "surplus low": Question(STARVED, measures=FEED),
        "pump_current low": Question(
            {**dict.fromkeys(PUMPS, 0.6), **dict.fromkeys(WIRING, 0.8)}, MEASURED, measures="supply pump current low"
        ),
        "pump_current high": Question(
            {"filter": 0.35, "feed line": 0.15, **dict.fromkeys(PUMPS, 0.15)}, MEASURED, measures="supply pump current high"
        ),
        "voltage_drop": Question(dict.fromkeys(WIRING, 0.8), MEASURED, WIRING),
        "air": Question(DRAWN_IN, measures="bubbles in the clear hose"),
        **{f"{pump} runs": Question({pump: 0.7, f"{pump} wiring": 0.8}, MEASURED, (f"{pump} wiring",)) for pump in PUMPS},
    },
    30.0,
    hands="low side opened",
    turning=True,
)  # fmt: skip
LINE = Sense(
    {"drop_there": Question({"filter": 0.9, "feed line": 0.6}, MEASURED, ("filter",))}, 15.0, "low side opened", running=True
)
