"""How a coil is measured: its resistance at its own pins, then the current in it. Common practice, no source."""

from __future__ import annotations

from baybook.api import BEFORE_RUNNING, CLEAR, HANDS_OFF, KEY_OFF, TO_ZERO, ZERO_AGAIN, Action, Condition, HoldPoint, Procedure

PROCEDURE = Procedure(
    entry=(
        Condition("It is a coil, not a piezo element.", otherwise="a piezo element holds its charge: leave this test"),
        Condition("It is known whose coil it is.", reads=("part", "number")),
        Condition("Range and its temperature are known.", reads=("limit", "spec_temperature")),
        Condition("Below 1 ohm: the meter has four wires.", otherwise="what two wires read there is no more than a first look"),
    ),
    steps=(
        TO_ZERO,
        KEY_OFF,
        Action(
            "Hold the lead tips together; read.",
            reads=("leads",),
            tool="a multimeter and its accuracy from its data sheet; below 1 ohm one with four wires",
            drawing="ohm-tips",
        ),
        Action(
            "Take the plug off; measure across the coil's pins.",
            reads=("reading", "over_range"),
            hands="high pressure",
        ),
        Action("Read the coil's temperature.", reads=("temperature",), tool="a thermometer", hands="high pressure"),
        Action("Measure each pin to the housing: over-range.", hands="high pressure"),
        Action("Put the plug back on.", hands="high pressure"),
        HoldPoint("Go on only for the current."),
        Action(
            "Zero the clamp; close it round one wire.",
            tool="a current clamp for the current",
            drawing="clamp",
            hands="high pressure",
        ),
        Action("Tie the leads clear of belts and fan.", hands="wiring"),
        BEFORE_RUNNING,
        HANDS_OFF,
        Action("Run; read supply, duty and mean current.", reads=("supply", "duty", "measured_current"), state="running"),
    ),
    end=(
        ZERO_AGAIN,
        Action("Switch the key off; take the clamp off.", hands="high pressure"),
        CLEAR,
    ),
    tools=("the range from the maker's data",),
)
