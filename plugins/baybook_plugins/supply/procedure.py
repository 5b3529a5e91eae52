"""How the low-pressure side is read: with hands only where nothing is under pressure. Common practice, no source."""

from __future__ import annotations

from baybook.api import (
    BEFORE_HANDS,
    BEFORE_RUNNING,
    CLEAR,
    HANDS_OFF,
    LOOK,
    OFF_AT_LAST,
    TO_ZERO,
    ZERO_AGAIN,
    Action,
    Condition,
    Procedure,
)

RELIEVE = Action("Switch key off; wait; relieve low side as data say.", hands="low side", state="key off")
TAKE_OFF = (
    ZERO_AGAIN,
    Action("Switch key off; wait; relieve; put back.", hands="low side", state="key off"),
    CLEAR,
    LOOK,
    ZERO_AGAIN,
    OFF_AT_LAST,
)
PROCEDURE = Procedure(
    entry=(Condition("Ranges, fitted pumps.", ("load_limit",)),),
    steps=(
        BEFORE_HANDS,
        TO_ZERO,
        RELIEVE,
        Action("Fix feed hose in can.", tool="a graduated can and a watch", hands="low side"),
        BEFORE_RUNNING,
        Action("Drive electric pump as data say; read.", ("volume", "time"), state="key on"),
        Action(
            "Switch key off; wait; relieve; fit gauges, clear hose.",
            state="key off",
            tool="gauges at pump inlet and before the filter, the first for depression too, hoses rated for the feed pressure; "
            "a clear hose",
            hands="low side",
        ),
        Action("Fit leads, clamp at electric pump.", tool="a multimeter and a current clamp", hands="wiring"),
        HANDS_OFF,
        Action(
            "Run at idle; read; watch bubbles.",
            ("idle", "air", "pump_current", "battery_voltage", "pump_voltage"),
            state="running",
        ),
        Action(
            "Run under load; read by transducer.",
            ("load", "before_filter"),
            "a transducer that is read from the seat; no fuel hose goes into the cabin",
            state="running",
        ),
        Action("Crank instead; read.", ("cranking",), state="running"),
    ),
    end=TAKE_OFF,
)
LINE_PROCEDURE = Procedure(
    entry=(Condition("Largest drop, flow, temperature known.", ("limit", "flow", "temperature")),),
    steps=(
        BEFORE_HANDS,
        TO_ZERO,
        RELIEVE,
        Action(
            "Fit gauges before and after filter or line.",
            tool="two gauges, or one that shows the difference",
            hands="low side",
        ),
        Action("Fix thermometer at fuel line.", tool="a thermometer", hands="low side"),
        Action("Measure line's length, bore, height.", ("length", "bore", "height"), "a rule", hands="low side"),
        BEFORE_RUNNING,
        HANDS_OFF,
        Action("Run in one condition; read both gauges.", ("drop",), state="running"),
        Action("Read the fuel's temperature.", ("drop_temperature",)),
        Action("Note the flow there (calculator supply).", ("drop_flow",)),
    ),
    end=TAKE_OFF,
)
