"""How static leak-off, a common return and the returns of valve and pump are collected. Common practice, no source."""

from __future__ import annotations

from baybook.api import (
    BEFORE_HANDS,
    BEFORE_RUNNING,
    HANDS_OFF,
    KEY_OFF,
    TO_ZERO,
    ZERO_AGAIN,
    Action,
    Caution,
    Condition,
    Procedure,
)

from .procedure import BEND_DOWN, COLLECT, FIX_EACH, NEVER_FEEL, OTHER_RETURNS, PLUG_STUB, REFIT, STARTER, WATCH, settled

OFF = Caution(
    "danger",
    "Without such a routine: engine stopped, rail seen to fall to zero, key off, waited, only then the plug. Never a plug on a "
    "running engine; never the plug of a pressure control.",
    ("W012",),
    "Connectors only at zero, key off.",
)


STATIC = Procedure(
    caution=NEVER_FEEL,
    entry=(
        Condition(
            "Data allow it, returns open.",
            otherwise="leave this test: no rail pressure is made or kept by means of one's own",
        ),
        Condition("Cylinders alike; division.", reads=("division",)),
        Condition("Limit, pressure.", reads=("flow_limit", "median_limit")),
    ),
    steps=(
        BEFORE_HANDS,
        TO_ZERO,
        KEY_OFF,
        FIX_EACH,
        PLUG_STUB,
        BEFORE_RUNNING,
        HANDS_OFF,
        Action("Make pressure as data say; engine stopped.", state="running"),
        Action("Time routine; read rail.", reads=("time", "rail_pressure"), tool=WATCH),
        Action("End routine; prove zero.", state="zero"),
        settled("volumes", text=BEND_DOWN),
    ),
    end=REFIT,
    tools=("the limit from the maker's data",),
)
COMMON = Procedure(
    caution=NEVER_FEEL,
    entry=(
        Condition(
            "Data allow it.",
            otherwise="leave this test: some engines stop, or shut off half of the injectors, where one is off",
        ),
        Condition(
            "Only injectors return.",
            otherwise="take what valve and pump return by itself (calculator return-parts)",
        ),
        Condition("Limits, condition.", reads=("total_limit", "share_limit", "median_limit", "condition")),
    ),
    steps=(
        BEFORE_HANDS,
        TO_ZERO,
        KEY_OFF,
        Action(
            "Fix return in a cylinder, belts clear.",
            tool="a graduated cylinder, large and finely divided",
            hands="high pressure",
        ),
        PLUG_STUB,
        BEFORE_RUNNING,
        HANDS_OFF,
        Action("Run or crank, timed; read rail.", reads=("time", "rail_pressure"), tool=WATCH, state="running"),
        ZERO_AGAIN,
        settled("total", text="Switch key off; wait; read."),
        Action(
            "Empty; repeat from bars: each off by routine; last none.",
            reads=("without",),
            tool="the maker's routine that shuts one cylinder off",
            caution=OFF,
            hands="high pressure",
        ),
    ),
    end=REFIT,
    tools=(STARTER,),
)
PARTS = Procedure(
    caution=NEVER_FEEL,
    entry=(
        Condition(
            "Data allow it.",
            otherwise="leave this test: a pump or a valve may need its return closed or under pressure",
        ),
        Condition(
            "Limits, condition, delivery.",
            reads=("valve_limit", "pump_limit", "injectors_limit", "total_limit", "delivery", "condition"),
        ),
    ),
    steps=(
        BEFORE_HANDS,
        TO_ZERO,
        KEY_OFF,
        Action(
            "Fix returns in cans, belts clear.",
            tool="a graduated can and a hose for each return",
            drawing="returns",
            hands="high pressure",
        ),
        Action(
            "Plug open lines to tank.",
            tool="1 plug for each open end of the line to the tank, counted again at the end",
            caution=OTHER_RETURNS,
            hands="high pressure",
        ),
        BEFORE_RUNNING,
        HANDS_OFF,
        Action("Run or crank, limit's condition.", state="running"),
        Action("Shut valve by routine.", reads=("outlet_valve",)),
        COLLECT,
        ZERO_AGAIN,
        settled("injectors", "valve", "pump_own"),
    ),
    end=REFIT,
    tools=(STARTER,),
)
