"""How the low-pressure side is read: with hands only where nothing is under pressure. Common practice, no source."""

from __future__ import annotations

from baybook.api import BEFORE_RUNNING, Action, HoldPoint, Procedure

ENTRY = (
    "Engine stopped, rail seen to fall to zero, key off.",
    "Low side at zero by its own gauge, or relieved the maker's way.",
)
GAUGE = "a gauge that shows depression too, its hose rated for the feed pressure"
RUNNING = HoldPoint("From here no hand near rail, lines, belts or fan until the rail was seen at zero again.")
STOPPED = HoldPoint("Stop the engine. Nobody near until the rail was seen at zero again.")
PUT_BACK = (
    "Rail at zero, key off, low side at zero: gauges and hose off, put back.",
    "Run, look from a distance. Stop, rail at zero again, then wipe; clear.",
)
PROCEDURE = Procedure(
    entry=(*ENTRY, "Ranges at hand, with place and condition."),
    steps=(
        Action("Fit the gauge at the pump's inlet.", tool=GAUGE),
        Action("Fit a second gauge before the filter, where there is a port."),
        Action("Fit the clear hose before the pump.", tool="a clear hose for fuel"),
        Action("Fit insulated leads at the pump's plug, a clamp round one wire.", tool="a multimeter and a current clamp"),
        RUNNING,
        Action(BEFORE_RUNNING),
        Action("Run at idle; read the gauge.", ("idle",)),
        Action("Read pump voltage and current, battery voltage.", ("pump_current", "battery_voltage", "pump_voltage")),
        Action("Look at the clear hose from a distance.", ("air", "temperature")),
        Action("Run under load; a helper reads both gauges.", ("load", "before_filter")),
        Action("If it does not start: read while cranking.", ("cranking",)),
        STOPPED,
        Action("Flow: engine off, drive the pump the maker's way into a fixed can.", ("volume", "time"),
               "a graduated can and a watch"),
    ),
    end=PUT_BACK,
)  # fmt: skip
LINE_PROCEDURE = Procedure(
    entry=(*ENTRY, "Largest drop at hand, with its flow and temperature."),
    steps=(
        Action("Fit gauges before and after filter or line.", tool="two gauges, or one that shows the difference"),
        Action("Fix the thermometer at the fuel line.", tool="a thermometer"),
        RUNNING,
        Action(BEFORE_RUNNING),
        Action("Run in one condition; read both gauges.", ("drop",)),
        Action("Read the fuel's temperature.", ("drop_temperature",)),
        Action("Note the flow at that condition (calculator supply).", ("drop_flow",)),
        STOPPED,
        Action("Measure length, bore and height of the line.", ("length", "bore", "height"), "a rule"),
    ),
    end=PUT_BACK,
)
