"""How the ripple is logged, and what its outcome says of which places. Common practice, no source."""

from __future__ import annotations

from baybook.api import Action, Condition, Question, Sense, guarded

PROCEDURE = guarded(
    entry=(
        Condition("Elements and drive of the pump are known.", reads=("elements", "pump_ratio")),
        Condition(
            "The logger is fast enough for the speed.", otherwise="lower the speed; the calculator says which rate would do"
        ),
    ),
    steps=(
        Action(
            "Connect logger, clear of belts.",
            tool="a logger of 100 Hz and more for the rail's sensor",
            hands="high pressure",
        ),
        Action("Run at a steady speed, or crank.", state="running"),
        Action("Log ten turns of the pump and more.", reads=("capture", "speed")),
    ),
    end=(Action("Lock out; take logger off.", hands="high pressure", state="key off"),),
)
UNEVEN = 0.5
"""Of the pumps whose elements are at fault: one or some of them alone. Most wear evenly, and their orders are even."""
SENSE = Sense(
    {"": Question({"pump elements": UNEVEN, "inlet valve": 0.05}, 0.02, ("pump elements",), measures="orders of the pump")},
    8.0,
    running=True,
)
