"""How a pressure hold is done: nothing is touched between zero proven and zero proven again. Common practice, no source."""

from __future__ import annotations

from baybook.api import LOCK_OUT, Action, Caution, Condition, HoldPoint, guarded

NO_GAUGE = Caution(
    "danger",
    "No gauge on the high-pressure side unless the data allow one: rated above the relief pressure, fitted at proven zero.",
    ("W-JET",),
    "No gauge unless data allow.",
)
PROCEDURE = guarded(
    caution=Caution("danger", "Jets pierce skin and gloves: hands off until zero is seen.", ("W-JET",)),
    entry=(
        Condition(
            "By data the rail stays shut.",
            reads=("outlet_valve",),
            otherwise="a valve that opens without current empties it: use the maker's routine that drives it shut, or leave "
            "this test",
        ),
        Condition("Rail and pipe volume.", reads=("volume",), otherwise="only a limit of pressure can be judged"),
        Condition("Limit, its pressure.", reads=("limit", "reference")),
    ),
    steps=(
        Action(
            "Fix thermometer, logger, leads clear.",
            tool="a thermometer that stays on the rail",
            caution=NO_GAUGE,
            drawing="hold-curve",
            hands="high pressure",
        ),
        Action("Make pressure maker's way.", state="running"),
        Action(
            "Stop, ignition on; read pressure, temperature.",
            reads=("start", "temperature"),
            tool="the vehicle's own rail sensor, by scan tool or logger; a gauge only where the data allow one, rated above "
            "the relief pressure, fitted at proven zero",
            state="stopped",
        ),
        Action("Wait 60 s; read both again.", reads=("time", "end", "end_temperature", "capture")),
        Action("Stay away; prove zero.", state="zero"),
        HoldPoint("No fall: do not go on; end routine, nobody near, follow data. Never loosen unions.", danger=True),
    ),
    end=(
        Action("Lock out; look for wetness.", state="key off"),
        Action("Take both off.", hands="high pressure"),
    ),
    tools=(
        "the volume of rail, pipes and sensor together, where a flow is wanted",
        "the limit from the maker's data",
        "the maker's data on a rail valve that opens without current",
    ),
    lock=LOCK_OUT,
)
