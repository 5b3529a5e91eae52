"""How the injectors' returns are collected. Common practice, no source."""

from __future__ import annotations

from baybook.api import BEFORE_RUNNING, CLEAR, HANDS_OFF, KEY_OFF, TO_ZERO, ZERO_AGAIN, Action, Caution, Condition, Procedure

OTHER_RETURNS = Caution(
    "danger",
    "Never close, pinch or plug the return of pump, rail or pressure valve: a hose bursts, and hot fuel meets the exhaust.",
    ("W-JET", "W017"),
    "Never close, pinch, plug returns of pump, rail, valve.",
)
HOT_FUEL = Caution(
    "warning", "The fuel in hoses and cylinders is hot: let it cool before it is carried.", ("W017",), "Hot fuel."
)

STARTER = "for cranking: how long the starter may turn at a time, and has to rest then, from the maker's data"
NEVER_FEEL = Caution("danger", "Never feel for a leak: jets pierce skin.", ("W-JET",))
PLUG_STUB = Action(
    "Plug only injector branch's open stub.",
    tool="a plug for the open stub",
    caution=OTHER_RETURNS,
    hands="high pressure",
)
REFIT = (
    Action("Refit hoses.", hands="high pressure"),
    Action("Run; look from a distance for wetness.", state="running"),
    ZERO_AGAIN,
    CLEAR,
)

PROCEDURE = Procedure(
    caution=NEVER_FEEL,
    entry=(
        Condition(
            "Data allow open returns.",
            otherwise="some injectors, such as some piezo types, need pressure in the return: leave this test",
        ),
        Condition("Cylinders alike; division.", reads=("division",)),
        Condition("Limit, condition.", reads=("flow_limit", "median_limit", "condition")),
    ),
    steps=(
        TO_ZERO,
        KEY_OFF,
        Action(
            "Lead returns into cylinders, clear of belts.",
            tool="one graduated cylinder and hose for each injector, all alike",
            drawing="returns",
            hands="high pressure",
        ),
        PLUG_STUB,
        BEFORE_RUNNING,
        HANDS_OFF,
        Action("Run or crank, limit's condition.", state="running"),
        Action("Collect, timed; read rail.", reads=("time", "rail_pressure"), tool="a watch"),
        ZERO_AGAIN,
        Action("Switch key off; read settled fuel at eye level.", reads=("volumes",), caution=HOT_FUEL, hands="high pressure"),
        Action("Swap outlier's hose, cylinder; repeat.", hands="high pressure"),
    ),
    end=REFIT,
    tools=("the limit from the maker's data", STARTER),
)
