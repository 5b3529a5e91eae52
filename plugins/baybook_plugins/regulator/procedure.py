"""How duty, current and pressure are read together at the pressure control. Common practice, no source."""

from __future__ import annotations

from baybook.api import BEFORE_RUNNING, CLEAR, HANDS_OFF, KEY_OFF, TO_ZERO, ZERO_AGAIN, Action, Caution, Condition, Procedure

SLIPPED = Caution(
    "danger",
    "A pin that slips to ground drives the valve fully on: with an outlet valve that is full pressure.",
    ("W-JET",),
    "A pin that touches ground drives the valve fully on.",
)
RUNAWAY = Caution(
    "danger", "Pressure runs away: engine off from where you sit.", ("W-JET",), "Runs away: engine off from where you sit."
)
USUAL = ("inlet_usual_duty", "inlet_expected_current", "outlet_usual_duty", "outlet_expected_current")

PROCEDURE = Procedure(
    entry=(
        Condition(
            "The data say which valves, and open or closed unpowered.",
            reads=("where", "inlet_at_rest", "outlet_at_rest"),
            otherwise="without them no reading says which way the control pulls: look there first",
        ),
        Condition("The switched side is known.", reads=("switched", "bleed")),
        Condition("Usual duty and current are known.", reads=USUAL),
    ),
    steps=(
        TO_ZERO,
        KEY_OFF,
        Action(
            "Back-probe with insulated pins, plug left on.",
            tool="a multimeter with duty, or better an oscilloscope, with insulated pins for back-probing",
            caution=SLIPPED,
            drawing="back-probe",
            hands="high pressure",
        ),
        Action("Zero the clamp; close it round one wire.", tool="a current clamp", drawing="clamp", hands="high pressure"),
        Action("Tie the leads clear of belts and fan.", hands="wiring"),
        BEFORE_RUNNING,
        HANDS_OFF,
        Action("Run steadily; stand clear.", caution=RUNAWAY, state="running"),
        Action("Read pressure and target together.", reads=("pressure", "target"), tool="pressure and target from live data"),
        Action(
            "Read command, duty and current at each valve.",
            reads=(
                "inlet_commanded_duty",
                "inlet_duty",
                "inlet_current",
                "outlet_commanded_duty",
                "outlet_duty",
                "outlet_current",
            ),
        ),
        Action("Read the supply; note what the meter counts.", reads=("supply", "meter_counts")),
        Action("Repeat where it shows; driving, a helper reads."),
    ),
    end=(
        ZERO_AGAIN,
        Action("Switch the key off; take the leads off.", hands="high pressure"),
        Action("Look at the plug's seals.", hands="high pressure"),
        CLEAR,
    ),
    tools=("the maker's data: which valves, their state at rest, which side is switched, the usual duty and current",),
)
