"""How the pump is tested: flows into fixed cylinders, pressure from live data, the valve driven the maker's way alone."""

from __future__ import annotations

from baybook.api import (
    BEFORE_RUNNING,
    CLEAR,
    HANDS_OFF,
    TO_ZERO,
    ZERO_AGAIN,
    Action,
    Caution,
    Condition,
    HoldPoint,
    Procedure,
)

HOT_FUEL = Caution(
    "caution", "What comes out of the returns is hot: let it cool before a cylinder is carried.", ("W017",), "Hot fuel."
)
PROCEDURE = Procedure(
    entry=(
        Condition("Supply found good.", otherwise="supply first (calculator supply): a starved pump looks like a worn one"),
        Condition("Size, ratio, lowest pressure known.", ("displacement", "drive_ratio", "pressure_limit")),
        Condition("Data: routine that shuts outlet valve.", ("outlet_shut",),
                  otherwise="leave the highest pressure: a valve is never closed otherwise"),
    ),
    steps=(
        TO_ZERO,
        Action("Switch key off; lead returns, each into own cylinder.", tool="graduated cylinders and hoses",
               hands="high pressure"),
        HoldPoint("Never close, pinch or plug a return."),
        BEFORE_RUNNING,
        HANDS_OFF,
        Action("Run steadily; read speed, pressure, quantity.", ("engine_speed", "rail_pressure", "quantity", "cylinders"),
               "live data", state="running"),
        Action("Collect for a stated time.", tool="a watch"),
        ZERO_AGAIN,
        Action("Switch key off; read cylinders; refit returns.", ("returns", "control", "limiter"), caution=HOT_FUEL,
               hands="high pressure"),
        Action("Run; look from a distance for wetness.", state="running"),
        HoldPoint("Only by maker's routine, nobody near:"),
        Action("Read the highest pressure.", ("highest",)),
    ),
    end=(ZERO_AGAIN, CLEAR),
)  # fmt: skip
