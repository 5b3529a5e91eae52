"""How drops and insulation are read: leads fitted only at zero and key off. Common practice, no source."""

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
    HoldPoint,
    Procedure,
)

PROCEDURE = Procedure(
    entry=(
        Condition("It is known whose circuit it is.", ("part", "number")),
        Condition("Limits and the current at work are known.", ("limit", "section_limit", "work_current")),
        Condition("Leads and meter are rated for the driver's voltage.", otherwise="leave it: drivers store voltage"),
        Condition("No insulation tester is used.", otherwise="its high voltage destroys the control unit: an ohmmeter does"),
    ),
    steps=(
        TO_ZERO,
        KEY_OFF,
        Action("Take the plug off; measure each pin to the housing.", ("insulation", "over_range"), "a multimeter",
               hands="high pressure"),
        Action("Put the plug back on.", hands="high pressure"),
        Action("Fit insulated pins along the way, section by section.", tool="insulated pins for back-probing",
               hands="high pressure"),
        Action("Zero the clamp; close it round one wire.", tool="a current clamp", drawing="clamp", hands="high pressure"),
        Action("Tie the leads clear of belts and fan.", hands="wiring"),
        BEFORE_RUNNING,
        HANDS_OFF,
        Action("Run, or have it driven; read the current.", ("current",), state="running"),
        Action("Read drops, battery and part together.", ("drops", "battery", "at_part")),
        Action("Read the output stage while it is on.", ("driver",)),
        HoldPoint("Pressure runs away: engine off from where you sit."),
    ),
    end=(ZERO_AGAIN, KEY_OFF, Action("Take leads and clamp off.", hands="high pressure"), CLEAR),
)  # fmt: skip
