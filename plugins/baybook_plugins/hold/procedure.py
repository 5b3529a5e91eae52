"""How a pressure hold is done: nothing is touched between zero proven and zero proven again. Common practice, no source."""

from __future__ import annotations

from baybook.api import (
    BEFORE_HANDS,
    BEFORE_RUNNING,
    CLEAR,
    HANDS_OFF,
    TO_ZERO,
    Action,
    Caution,
    Condition,
    HoldPoint,
    Procedure,
)

NO_GAUGE = Caution(
    "danger",
    "No gauge on the high-pressure side unless the data allow one: rated above the relief pressure, fitted at proven zero.",
    ("W-JET",),
    "No gauge unless data allow.",
)
PROCEDURE = Procedure(
    caution=Caution("danger", "Jets pierce skin and gloves: hands off until zero is seen.", ("W-JET",)),
    entry=(
        Condition(
            "Data: the rail stays shut after the stop.",
            reads=("outlet_valve",),
            otherwise="a valve that opens without current empties it: use the maker's routine that drives it shut, or leave "
            "this test",
        ),
        Condition("Volume of rail and pipes.", reads=("volume",), otherwise="only a limit of pressure can be judged"),
        Condition("Limit, its pressure.", reads=("limit", "reference")),
    ),
    steps=(
        BEFORE_HANDS,
        TO_ZERO,
        Action(
            "Switch key off; wait; fix thermometer, logger, leads clear.",
            state="key off",
            tool="a thermometer that stays on the rail",
            caution=NO_GAUGE,
            drawing="hold-curve",
            hands="high pressure",
        ),
        BEFORE_RUNNING,
        HANDS_OFF,
        Action("Make pressure the maker's way.", state="running"),
        Action(
            "Stop, ignition on; read pressure, temperature.",
            reads=("start", "temperature"),
            tool="the vehicle's own rail sensor, by scan tool or logger; a gauge only where the data allow one, rated above "
            "the relief pressure, fitted at proven zero",
            state="stopped",
        ),
        Action("Wait 60 s; read both again.", reads=("time", "end", "end_temperature", "capture")),
        Action("Look from a distance for wetness."),
        Action("Stay away; prove zero.", state="zero"),
        HoldPoint("No fall: end the routine, nobody near, follow the data. Never loosen a union."),
    ),
    end=(
        Action("Switch key off; wait; take thermometer, logger off.", hands="high pressure", state="key off"),
        CLEAR,
    ),
    tools=(
        "the volume of rail, pipes and sensor together, where a flow is wanted",
        "the limit from the maker's data",
        "the maker's data on a rail valve that opens without current",
    ),
)
