"""How the pump is tested: flows into fixed cylinders, pressure from live data, the valve driven the maker's way alone."""

from __future__ import annotations

from baybook.api import (
    BEFORE_RUNNING,
    CLEAR,
    HANDS_OFF,
    KEY_OFF,
    TO_ZERO,
    ZERO_AGAIN,
    Action,
    Condition,
    HoldPoint,
    Procedure,
)

PROCEDURE = Procedure(
    entry=(
        Condition("Supply was found good (calculator supply).", otherwise="supply first: a starved pump looks like a worn one"),
        Condition("Size, drive ratio and lowest pressure are known.", ("displacement", "drive_ratio", "pressure_limit")),
        Condition("The data give a routine that drives the outlet valve shut.", ("outlet_shut",),
                  otherwise="leave the highest pressure: a valve is never closed otherwise"),
    ),
    steps=(
        TO_ZERO,
        KEY_OFF,
        Action("Lead the returns, each by itself, into fixed cylinders.", tool="graduated cylinders and hoses",
               hands="high pressure"),
        HoldPoint("No return is closed, pinched or plugged."),
        BEFORE_RUNNING,
        HANDS_OFF,
        Action("Run steadily; read speed, pressure and quantity.", ("engine_speed", "rail_pressure", "quantity", "cylinders"),
               "live data", state="running"),
        Action("Collect for a stated time.", ("returns", "control", "limiter")),
        HoldPoint("Go on only by the maker's routine, nobody near."),
        Action("Crank or run in the routine; read the highest pressure.", ("highest",), state="running"),
    ),
    end=(ZERO_AGAIN, KEY_OFF, Action("Take the hoses off; put back.", hands="high pressure"), CLEAR),
)  # fmt: skip
