"""How static leak-off, a common return and the returns of valve and pump are collected. Common practice, no source."""

from __future__ import annotations

from baybook.api import (
    BEFORE_HANDS,
    BEFORE_RUNNING,
    HANDS_OFF,
    LOCK_OUT,
    TO_ZERO,
    WAITING,
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
            "Data: open returns.",
            otherwise="leave this test: no rail pressure is made or kept by means of one's own",
        ),
        Condition("Measuring jars alike; division.", reads=("division",)),
        Condition("Limit, pressure.", reads=("flow_limit", "median_limit")),
        WAITING,
    ),
    steps=(
        BEFORE_HANDS,
        TO_ZERO,
        LOCK_OUT,
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
            "Data allow.",
            otherwise="leave this test: some engines stop, or shut off half of the injectors, where one is off",
        ),
        Condition(
            "Only injectors return.",
            otherwise="take what valve and pump return by itself (calculator return-parts)",
        ),
        Condition("Limits, condition.", reads=("total_limit", "share_limit", "median_limit", "condition")),
        WAITING,
    ),
    steps=(
        BEFORE_HANDS,
        TO_ZERO,
        LOCK_OUT,
        Action(
            "Fix return in measuring jar, belts clear.",
            tool="a graduated cylinder, large and finely divided",
            hands="high pressure",
        ),
        PLUG_STUB,
        BEFORE_RUNNING,
        HANDS_OFF,
        Action("Run or crank, timed; read rail.", reads=("time", "rail_pressure"), tool=WATCH, state="running"),
        ZERO_AGAIN,
        settled("total", text="Switch off; wait; read."),
        Action(
            "Empty; repeat from step 5: one injector off.",
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
            "Data allow.",
            otherwise="leave this test: a pump or a valve may need its return closed or under pressure",
        ),
        Condition(
            "Limits, condition, delivery.",
            reads=("valve_limit", "pump_limit", "injectors_limit", "total_limit", "delivery", "condition"),
        ),
        WAITING,
    ),
    steps=(
        BEFORE_HANDS,
        TO_ZERO,
        LOCK_OUT,
        Action(
            "Fix returns in cans, belts clear.",
            tool="a graduated can and a hose for each return",
            drawing="returns",
            hands="high pressure",
        ),
        Action(
            "Plug only open tank lines.",
            tool="1 plug for each open end of the line to the tank, counted again at the end",
            caution=OTHER_RETURNS,
            hands="high pressure",
        ),
        BEFORE_RUNNING,
        HANDS_OFF,
        Action("Run/crank as limit says.", state="running"),
        Action("Shut valve by routine.", reads=("outlet_valve",)),
        COLLECT,
        ZERO_AGAIN,
        settled("injectors", "valve", "pump_own"),
    ),
    end=REFIT,
    tools=(STARTER,),
)
