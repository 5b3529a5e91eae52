"""How the low-pressure side is read: with hands only where nothing is under pressure. Common practice, no source."""

from __future__ import annotations

from baybook.api import BEFORE_RUNNING, LOCK_OUT, ON_ROAD, Action, Condition, guarded

RELIEVE = Action("Relieve low side.", hands="low side")
TAKE_OFF = (Action("Lock out; relieve; refit.", hands="low side", state="key off"),)
PROCEDURE = guarded(
    entry=(Condition("Data: ranges, relieving.", ("load_limit",)),),
    steps=(
        Action("Relieve low side; feed into can.", tool="a graduated can and a watch", hands="low side"),
        Action("Drive electric pump.", ("volume", "time"), state="key on"),
        Action("Lock out; relieve; hose back, can away.", hands="low side", state="key off"),
        Action(
            "Fit gauges, clear hose, leads, clamp.",
            tool="gauges at pump inlet and before the filter, the first for depression too, hoses rated for the feed pressure; "
            "a clear hose; a multimeter and a current clamp at the electric pump",
            hands="low side",
        ),
        BEFORE_RUNNING,
        ON_ROAD,
        Action(
            "Run idle; bubbles:",
            ("idle", "air", "pump_current", "battery_voltage", "pump_voltage"),
            state="running",
        ),
        Action(
            "Run loaded.",
            ("load", "before_filter"),
            "a transducer that is read from the seat; no fuel hose goes into the cabin",
            state="running",
        ),
        Action("Crank unless started.", ("cranking",), state="running"),
    ),
    end=TAKE_OFF,
    lock=LOCK_OUT,
    opened=True,
)
LINE_PROCEDURE = guarded(
    entry=(Condition("Largest drop, flow, temperature known.", ("limit", "flow", "temperature")),),
    steps=(
        RELIEVE,
        Action(
            "Fit gauges before and after filter or line.",
            tool="two gauges, or one that shows the difference",
            hands="low side",
        ),
        Action("Fix thermometer at fuel line.", tool="a thermometer", hands="low side"),
        Action("Measure line's length, bore, height.", ("length", "bore", "height"), "a rule", hands="low side"),
        Action("Run in one condition; read both gauges.", ("drop",), state="running"),
        Action("Read the fuel's temperature.", ("drop_temperature",)),
        Action("Note the flow there (calculator supply).", ("drop_flow",)),
    ),
    end=TAKE_OFF,
    lock=LOCK_OUT,
    opened=True,
)
