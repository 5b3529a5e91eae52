"""How the injectors' returns are collected. Common practice, no source."""

from __future__ import annotations

from baybook.api import Action, Caution, Condition, guarded

OTHER_RETURNS = Caution(
    "danger",
    "Never close, pinch or plug the return of an injector, pump, rail or pressure valve: a hose bursts, and hot fuel meets the "
    "exhaust.",
    ("W-JET", "W017"),
    "Never any other.",
)
HOT_FUEL = Caution("warning", "The fuel in hoses and cylinders is hot: let it cool before it is carried.", ("W017",), "Hot.")

STARTER = "for cranking: how long the starter may turn at a time, and has to rest then, from the maker's data"
NEVER_FEEL = Caution("danger", "Jets pierce skin: never feel for leaks.", ("W-JET",))
FIX_EACH = Action(
    "Relieve low side; fix returns in jars, belts clear.",
    tool="one graduated cylinder and hose for each injector, all alike",
    drawing="returns",
    hands="high pressure",
)
WATCH = "a watch"
TIMED = "Run/crank as limit says, timed; stop before full."
PLUG_STUB = Action(
    "Plug open tank line.",
    tool="1 plug for the open end of the line to the tank, counted again at the end",
    caution=OTHER_RETURNS,
    hands="high pressure",
)
REFIT = (Action("Refit hoses.", hands="high pressure"),)


def settled(*reads: str) -> Action:
    """Reading the cylinders."""
    return Action("Lock out; read.", reads=reads, caution=HOT_FUEL, hands="high pressure", state="key off")


PROCEDURE = guarded(
    caution=NEVER_FEEL,
    entry=(
        Condition(
            "Data allow open returns.",
            otherwise="some injectors, such as some piezo types, need pressure in the return: leave this test",
        ),
        Condition("Jars alike; division.", reads=("division",)),
        Condition("Limit, condition.", reads=("flow_limit", "median_limit", "condition")),
    ),
    steps=(
        FIX_EACH,
        PLUG_STUB,
        Action(TIMED, reads=("time", "rail_pressure"), tool=WATCH, state="running"),
        settled("volumes"),
        Action("Exchange two injectors' hoses, jars; repeat from step 5.", reads=("exchanged",), hands="high pressure"),
    ),
    end=REFIT,
    tools=("the limit from the maker's data", STARTER),
    opened=True,
)
