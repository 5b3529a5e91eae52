"""How the low-pressure side is read: with hands only where nothing is under pressure. Common practice, no source."""

from __future__ import annotations

from baybook.api import (
    BEFORE_HANDS,
    BEFORE_RUNNING,
    CLEAR,
    HANDS_OFF,
    LOCK_OUT,
    LOOK,
    OFF_AT_LAST,
    TO_ZERO,
    WAITING,
    ZERO_AGAIN,
    Action,
    Condition,
    HoldPoint,
    Procedure,
)

RELIEVE = (LOCK_OUT, Action("Relieve low side.", hands="low side"))
TAKE_OFF = (
    ZERO_AGAIN,
    Action("Switch off; wait; relieve; put back.", hands="low side", state="key off"),
    CLEAR,
    LOOK,
    ZERO_AGAIN,
    OFF_AT_LAST,
)
PROCEDURE = Procedure(
    entry=(Condition("Ranges; relieving.", ("load_limit",)), WAITING),
    steps=(
        BEFORE_HANDS,
        TO_ZERO,
        *RELIEVE,
        Action("Fix feed hose in can.", tool="a graduated can and a watch", hands="low side"),
        BEFORE_RUNNING,
        Action("Drive electric pump.", ("volume", "time"), state="key on"),
        Action(
            "Switch off; wait; relieve; fit gauges, clear hose, leads, clamp.",
            state="key off",
            tool="gauges at pump inlet and before the filter, the first for depression too, hoses rated for the feed pressure; "
            "a clear hose; a multimeter and a current clamp at the electric pump",
            hands="low side",
        ),
        HoldPoint("On road: second person reads; leads tied, bonnet shut.", danger=True),
        HANDS_OFF,
        Action(
            "Run idle; watch bubbles.",
            ("idle", "air", "pump_current", "battery_voltage", "pump_voltage"),
            state="running",
        ),
        Action(
            "Run loaded; read transducer.",
            ("load", "before_filter"),
            "a transducer that is read from the seat; no fuel hose goes into the cabin",
            state="running",
        ),
        Action("Crank if no start.", ("cranking",), state="running"),
    ),
    end=TAKE_OFF,
)
LINE_PROCEDURE = Procedure(
    entry=(Condition("Largest drop, flow, temperature known.", ("limit", "flow", "temperature")), WAITING),
    steps=(
        BEFORE_HANDS,
        TO_ZERO,
        *RELIEVE,
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
