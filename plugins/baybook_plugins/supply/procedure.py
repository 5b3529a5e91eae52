"""How the low-pressure side is read: with hands only where nothing is under pressure. Common practice, no source."""

from __future__ import annotations

from baybook.api import (
    BEFORE_RUNNING,
    CLEAR,
    HANDS_OFF,
    KEY_OFF,
    TO_ZERO,
    ZERO_AGAIN,
    Action,
    Condition,
    Procedure,
)

RELIEVE = Action("Relieve the low side the maker's way; see its zero.", hands="low side")
TAKE_OFF = (
    ZERO_AGAIN,
    Action("Switch the key off; relieve the low side; put back.", hands="low side"),
    Action("Run; look from a distance.", state="running"),
    ZERO_AGAIN,
    CLEAR,
)
PROCEDURE = Procedure(
    entry=(Condition("Ranges and the pumps fitted are known.", ("load_limit",)),),
    steps=(
        TO_ZERO,
        KEY_OFF,
        RELIEVE,
        Action(
            "Fit gauges at inlet and filter, and the clear hose.",
            tool="a gauge that shows depression too, its hose rated for the feed pressure; a clear hose",
            hands="low side",
        ),
        Action("Fit leads and clamp at the electric pump.", tool="a multimeter and a current clamp", hands="wiring"),
        BEFORE_RUNNING,
        HANDS_OFF,
        Action("Run at idle; read; look for bubbles from a distance.", ("idle", "air"), state="running"),
        Action("Read the electric pump.", ("pump_current", "battery_voltage", "pump_voltage")),
        Action("Run under load; a helper reads.", ("load", "before_filter"), state="running"),
        Action("Crank, where it does not start; read.", ("cranking",), state="running"),
        ZERO_AGAIN,
        Action("Switch off; relieve; fix the hose in the can.", tool="a graduated can and a watch", hands="low side"),
        Action("Drive the electric pump the maker's way; read.", ("volume", "time")),
    ),
    end=TAKE_OFF,
)
LINE_PROCEDURE = Procedure(
    entry=(Condition("The largest drop is known, with flow and temperature.", ("limit", "flow", "temperature")),),
    steps=(
        TO_ZERO,
        KEY_OFF,
        RELIEVE,
        Action(
            "Fit gauges before and after filter or line.",
            tool="two gauges, or one that shows the difference",
            hands="low side",
        ),
        Action("Fix the thermometer at the fuel line.", tool="a thermometer", hands="low side"),
        Action("Measure length, bore and height of the line.", ("length", "bore", "height"), "a rule", hands="low side"),
        BEFORE_RUNNING,
        HANDS_OFF,
        Action("Run in one condition; read both gauges.", ("drop",), state="running"),
        Action("Read the fuel's temperature.", ("drop_temperature",)),
        Action("Note the flow there (calculator supply).", ("drop_flow",)),
    ),
    end=TAKE_OFF,
)
