"""How static leak-off, a common return and the returns of valve and pump are collected. Common practice, no source."""

from __future__ import annotations

from baybook.api import Action, Caution, Condition, guarded

from .procedure import FIX_EACH, NEVER_FEEL, OTHER_RETURNS, PLUG_STUB, REFIT, STARTER, WATCH, settled

OFF = Caution(
    "danger",
    "Without such a routine only if the data say so: engine stopped, rail seen to fall to zero, key out, waited, only then the "
    "plug. Never a plug on a running engine; never the plug of a pressure control.",
    ("W012",),
    "Unplug only by data: zero, locked out.",
)


STATIC = guarded(
    caution=NEVER_FEEL,
    entry=(
        Condition(
            "Data allow open returns.",
            otherwise="leave this test: no rail pressure is made or kept by means of one's own",
        ),
        Condition("Jars alike; division.", reads=("division",)),
        Condition("Limit, pressure.", reads=("flow_limit", "median_limit")),
    ),
    steps=(
        FIX_EACH,
        PLUG_STUB,
        Action("Make pressure as data say; engine stopped.", state="running"),
        Action("Time routine; read rail.", reads=("time", "rail_pressure"), tool=WATCH),
        Action("End routine; prove zero.", state="zero"),
        settled("volumes"),
    ),
    end=REFIT,
    tools=("the limit from the maker's data",),
    opened=True,
)
COMMON = guarded(
    caution=NEVER_FEEL,
    entry=(
        Condition(
            "Data allow one off.",
            otherwise="leave this test: some engines stop, or shut off half of the injectors, where one is off",
        ),
        Condition(
            "Only injectors return.",
            otherwise="take what valve and pump return by itself (calculator return-parts)",
        ),
        Condition("Limits, condition.", reads=("total_limit", "share_limit", "median_limit", "condition")),
    ),
    steps=(
        Action(
            "Relieve low side; return into jar, belts clear.",
            tool="a graduated cylinder, large and finely divided",
            hands="high pressure",
        ),
        PLUG_STUB,
        Action("Run/crank, timed; stop before full.", reads=("time", "rail_pressure"), tool=WATCH, state="running"),
        settled("total"),
        Action(
            "Empty; repeat from step 5: one injector off by routine.",
            reads=("without",),
            tool="the maker's routine that shuts one cylinder off",
            caution=OFF,
            hands="high pressure",
        ),
    ),
    end=REFIT,
    tools=(STARTER,),
    opened=True,
)
PARTS = guarded(
    caution=NEVER_FEEL,
    entry=(
        Condition(
            "Data allow open returns.",
            otherwise="leave this test: a pump or a valve may need its return closed or under pressure",
        ),
        Condition(
            "Limits, condition, delivery.",
            reads=("valve_limit", "pump_limit", "injectors_limit", "total_limit", "delivery", "condition"),
        ),
    ),
    steps=(
        Action(
            "Relieve low side; returns into cans, belts clear.",
            tool="a graduated can and a hose for each return",
            drawing="returns",
            hands="high pressure",
        ),
        Action(
            "Plug open tank lines.",
            tool="1 plug for each open end of the line to the tank, counted again at the end",
            caution=OTHER_RETURNS,
            hands="high pressure",
        ),
        Action("Run/crank, timed; stop before full.", reads=("time", "rail_pressure"), tool=WATCH, state="running"),
        Action("Shut valve by routine.", reads=("outlet_valve",)),
        settled("injectors", "valve", "pump_own"),
    ),
    end=REFIT,
    tools=(STARTER,),
    opened=True,
)
