"""How the rail pressure sensor is looked at, and what that says of which places. Common practice, no source."""

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
    Question,
    Sense,
)

PROCEDURE = Procedure(
    entry=(
        Condition("Line and limits of the sensor are known.", reads=("full_scale", "zero_limit")),
        Condition("Pin numbers are at hand."),
    ),
    steps=(
        TO_ZERO,
        Action("Let it stand; switch on, read what is shown.", reads=("standing",), tool="a scan tool"),
        KEY_OFF,
        Action(
            "Back-probe signal, supply, ground; leave the plug fitted.",
            tool="a multimeter with insulated probe leads",
            hands="high pressure",
        ),
        Action("Switch on; read the signal.", reads=("standing_signal",)),
        Action("Read the supply at sensor and control unit.", reads=("supply", "reference")),
        Action("Read from sensor ground to control-unit ground.", reads=("ground_drop",)),
        BEFORE_RUNNING,
        HANDS_OFF,
        Action("Run in the condition of the complaint.", state="running"),
        Action("Read signal or pressure shown.", reads=("signal", "shown")),
        Action("Read the second value at the same moment.", reads=("second",)),
    ),
    end=(ZERO_AGAIN, KEY_OFF, Action("Take the probe leads off.", hands="high pressure"), CLEAR),
)
AT_ZERO, SUPPLIED = "rail sensor against gauge or zero", "rail sensor supply and ground"
SENSE = Sense(
    {
        "zero_error": Question({"rail sensor": 0.7, "rail sensor wiring": 0.5}, 0.01, ("rail sensor",), measures=AT_ZERO),
        "difference": Question({"rail sensor": 0.85, "rail sensor wiring": 0.5}, measures=AT_ZERO),
        "supply_voltage": Question(
            {"rail sensor wiring": 0.85, "control unit": 0.2}, 0.01, ("rail sensor wiring",), measures=SUPPLIED
        ),
        "ground_voltage": Question({"rail sensor wiring": 0.6}, 0.01, ("rail sensor wiring",), measures=SUPPLIED),
    },
    12.0,
    hands="live wiring",
)
