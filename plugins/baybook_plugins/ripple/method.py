"""How the ripple is logged, and what its outcome says of which places. Common practice, no source."""

from __future__ import annotations

from baybook.api import (
    BEFORE_HANDS,
    BEFORE_RUNNING,
    CLEAR,
    HANDS_OFF,
    KEY_OFF,
    TO_ZERO,
    WAITING,
    ZERO_AGAIN,
    Action,
    Condition,
    Procedure,
    Question,
    Sense,
)

PROCEDURE = Procedure(
    entry=(
        Condition("Elements and drive of the pump are known.", reads=("elements", "pump_ratio")),
        Condition(
            "The logger is fast enough for the speed.", otherwise="lower the speed; the calculator says which rate would do"
        ),
        WAITING,
    ),
    steps=(
        BEFORE_HANDS,
        TO_ZERO,
        KEY_OFF,
        Action(
            "Connect logger, clear of belts.",
            tool="a logger of 100 Hz and more for the rail's sensor",
            hands="high pressure",
        ),
        BEFORE_RUNNING,
        HANDS_OFF,
        Action("Run at a steady speed, or crank.", state="running"),
        Action("Log ten turns of the pump and more.", reads=("capture", "speed")),
    ),
    end=(
        ZERO_AGAIN,
        Action("Switch off; wait; take logger off.", hands="high pressure", state="key off"),
        CLEAR,
    ),
)
SENSE = Sense(
    {"": Question({"pump elements": 0.8, "inlet valve": 0.05}, 0.02, ("pump elements",), measures="orders of the pump")},
    8.0,
    running=True,
)
