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
        Condition("Circuit and limits are known.", ("part", "number", "limit")),
        Condition("Leads and meter are rated for the driver's voltage.", otherwise="leave it: drivers store voltage"),
        Condition("No insulation tester is used.", otherwise="its high voltage destroys the control unit: an ohmmeter does"),
    ),
    steps=(
        TO_ZERO,
        KEY_OFF,
        Action("Unplug; measure each pin to the housing; plug back on.", ("insulation", "over_range"), "a multimeter",
               hands="high pressure"),
        Action("Fit insulated pins along the way, section by section.", tool="insulated pins for back-probing",
               hands="high pressure"),
        Action("Close the zeroed clamp round one wire; tie leads clear.", tool="a current clamp", drawing="clamp",
               hands="high pressure"),
        BEFORE_RUNNING,
        HANDS_OFF,
        Action("Run, or have it driven; read the current.", ("current",), state="running"),
        Action("Read drops, battery, part and output stage together.", ("drops", "battery", "at_part", "driver")),
        HoldPoint("Pressure runs away: engine off from where you sit."),
    ),
    end=(ZERO_AGAIN, Action("Switch the key off; take leads and clamp off.", hands="high pressure"), CLEAR),
)  # fmt: skip
