"""How the pump is tested: flows into fixed cylinders, pressure from live data, the valve driven the maker's way alone."""

from __future__ import annotations

from baybook.api import (
    BEFORE_HANDS,
    BEFORE_RUNNING,
    CLEAR,
    HANDS_OFF,
    LOCK_OUT,
    LOOK,
    OFF_AT_LAST,
    TO_ZERO,
    WAITING,
    ZERO_AGAIN,
    Action,
    Caution,
    Condition,
    HoldPoint,
    Procedure,
)

PLUG = "1 plug for the open end of the line to the tank, counted again at the end"

HOT_FUEL = Caution(
    "warning", "What comes out of the returns is hot: let it cool before a cylinder is carried.", ("W017",), "Hot."
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
        Condition("Size, ratio, pressure.", ("displacement", "drive_ratio", "pressure_limit")),
        Condition("Routine shuts outlet valve.", ("outlet_shut",),
                  otherwise="leave the highest pressure: a valve is never closed otherwise"),
        WAITING,
    ),
    steps=(
        BEFORE_HANDS,
        TO_ZERO,
        LOCK_OUT,
        Action("Fix returns in measuring jars.", tool="measuring jars and hoses", hands="high pressure"),
        Action("Plug only open tank line.", tool=PLUG, caution=OTHER_RETURNS,
               hands="high pressure"),
        BEFORE_RUNNING,
        HANDS_OFF,
        Action("Run steadily, timed; read:", ("engine_speed", "rail_pressure", "quantity", "cylinders"),
               "live data, a watch", state="running"),
        ZERO_AGAIN,
        Action("Switch off; wait; read; refit returns.", ("returns", "control", "limiter"),
               caution=HOT_FUEL, hands="high pressure", state="key off"),
        CLEAR,
        LOOK,
        HoldPoint("Maker's routine only, nobody near:", danger=True),
        Action("Read highest.", ("highest",)),
    ),
    end=(ZERO_AGAIN, OFF_AT_LAST),
)  # fmt: skip
