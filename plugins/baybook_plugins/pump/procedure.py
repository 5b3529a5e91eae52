"""How the pump is tested: flows into fixed cylinders, pressure from live data, the valve driven the maker's way alone."""

from __future__ import annotations

from baybook.api import (
    BEFORE_HANDS,
    BEFORE_RUNNING,
    CLEAR,
    HANDS_OFF,
    LOOK,
    OFF_AT_LAST,
    TO_ZERO,
    ZERO_AGAIN,
    Action,
    Caution,
    Condition,
    HoldPoint,
    Procedure,
)

HOT_FUEL = Caution(
    "warning", "What comes out of the returns is hot: let it cool before a cylinder is carried.", ("W017",), "Hot fuel."
)
OTHER_RETURNS = Caution(
    "danger",
    "Never close, pinch or plug a return of pump, rail, valve or injector: a hose bursts, and hot fuel meets the exhaust.",
    ("W-JET", "W017"),
    "Never plug pump, rail, valve, injector.",
)
PROCEDURE = Procedure(
    entry=(
        Condition("Supply good.", otherwise="supply first (calculator supply): a starved pump looks like a worn one"),
        Condition("Size, ratio, pressure known.", ("displacement", "drive_ratio", "pressure_limit")),
        Condition("Data: routine shuts outlet valve.", ("outlet_shut",),
                  otherwise="leave the highest pressure: a valve is never closed otherwise"),
    ),
    steps=(
        BEFORE_HANDS,
        TO_ZERO,
        Action("Switch key off; wait; fix returns in cylinders.", tool="graduated cylinders and hoses",
               hands="high pressure", state="key off"),
        Action("Plug open line to tank.", tool="a plug for the open end of the line to the tank", caution=OTHER_RETURNS,
               hands="high pressure"),
        BEFORE_RUNNING,
        HANDS_OFF,
        Action("Run steadily; read:", ("engine_speed", "rail_pressure", "quantity", "cylinders"),
               "live data", state="running"),
        Action("Time run.", tool="a watch"),
        ZERO_AGAIN,
        Action("Switch key off; wait; read; refit returns.", ("returns", "control", "limiter"),
               caution=HOT_FUEL, hands="high pressure", state="key off"),
        CLEAR,
        LOOK,
        HoldPoint("Maker's routine only, nobody near until zero:"),
        Action("Read highest pressure.", ("highest",)),
    ),
    end=(ZERO_AGAIN, OFF_AT_LAST),
)  # fmt: skip
