"""How the injectors' returns are collected. Common practice, no source."""

from __future__ import annotations

from baybook.api import Action, Caution, Condition, guarded

OTHER_RETURNS = Caution(
    "danger",
    "Never close, pinch or plug the return of an injector, pump, rail or pressure valve: a hose bursts, and hot fuel meets the "
    "exhaust.",
    ("W-JET", "W017"),
    "Never plug injector, pump, rail, valve.",
)
HOT_FUEL = Caution("warning", "The fuel in hoses and cylinders is hot: let it cool before it is carried.", ("W017",), "Hot.")

STARTER = "for cranking: how long the starter may turn at a time, and has to rest then, from the maker's data"
NEVER_FEEL = Caution("danger", "Jets pierce skin: never feel for leaks.", ("W-JET",))
FIX_EACH = Action(
    "Fix returns in jars, belts clear.",
    tool="one graduated cylinder and hose for each injector, all alike",
    drawing="returns",
    hands="high pressure",
)
WATCH = "a watch"
COLLECT = Action("Time run; read rail.", reads=("time", "rail_pressure"), tool=WATCH)
PLUG_STUB = Action(
    "Plug only open tank line.",
    tool="1 plug for the open end of the line to the tank, counted again at the end",
    caution=OTHER_RETURNS,
    hands="high pressure",
)
REFIT = (Action("Refit hoses.", hands="high pressure"),)

BEND_DOWN = "Switch off; wait; bend down; read."


def settled(*reads: str, text: str = "Switch off; wait; read.") -> Action:
    """Reading the cylinders."""
    return Action(text, reads=reads, caution=HOT_FUEL, hands="high pressure", state="key off")


PROCEDURE = guarded(
    caution=NEVER_FEEL,
    entry=(
        Condition(
            "Data: open returns.",
            otherwise="some injectors, such as some piezo types, need pressure in the return: leave this test",
        ),
        Condition("Measuring jars alike; division.", reads=("division",)),
        Condition("Limit, condition.", reads=("flow_limit", "median_limit", "condition")),
    ),
    steps=(
        FIX_EACH,
        PLUG_STUB,
        Action("Run/crank as limit says.", state="running"),
        COLLECT,
        settled("volumes", text=BEND_DOWN),
        Action("Swap outlier's jar; repeat from step 5.", reads=("exchanged",), hands="high pressure"),
    ),
    end=REFIT,
    tools=("the limit from the maker's data", STARTER),
    opened=True,
)
