"""How a coil is measured: its resistance at its own pins, then the current in it. Common practice, no source."""

from __future__ import annotations

from baybook.api import INJECTOR_PLUGS, LOCK_OUT, NO_TESTER, RUNS_AWAY, Action, Condition, HoldPoint, guarded

PROCEDURE = guarded(
    caution=INJECTOR_PLUGS,
    entry=(
        Condition("No piezo element.", otherwise="a piezo element holds its charge: leave this test"),
        NO_TESTER,
        Condition("Which coil.", reads=("part", "number")),
        Condition("Range, its temperature.", reads=("limit", "spec_temperature")),
        Condition("Below 1 ohm: four wires.", otherwise="what two wires read there is no more than a first look"),
    ),
    steps=(
        Action(
            "Hold tips together; read.",
            reads=("leads",),
            tool="a multimeter and its accuracy from its data sheet; below 1 ohm one with four wires",
            drawing="ohm-tips",
        ),
        Action(
            "Unplug; measure coil pins.",
            reads=("reading", "over_range"),
            hands="high pressure",
        ),
        Action("Read coil temperature.", reads=("temperature",), tool="a thermometer", hands="high pressure"),
        Action("Measure pins to housing: over-range.", hands="high pressure"),
        Action("Plug on; hear lock.", hands="high pressure"),
        HoldPoint("For current:"),
        Action(
            "Fit supply leads; clamp one wire, zeroed; tie clear.",
            tool="a current clamp and fixed supply leads for the current",
            drawing="clamp",
            hands="high pressure",
        ),
        Action(
            "Run; read supply, duty, mean current.",
            reads=("supply", "duty", "measured_current"),
            caution=RUNS_AWAY,
            state="running",
        ),
    ),
    end=(Action("Lock out; take clamp, leads off.", hands="high pressure", state="key off"),),
    tools=("the range from the maker's data",),
    lock=LOCK_OUT,
)
