"""How duty, current and pressure are read together at the pressure control. Common practice, no source."""

from __future__ import annotations

from baybook.api import CONTROL_LOSS, LOCK_OUT, RUNS_AWAY, SLIPPING_PIN, Action, Caution, Condition, guarded

USUAL = ("inlet_usual_duty", "inlet_expected_current", "outlet_usual_duty", "outlet_expected_current")

PROCEDURE = guarded(
    caution=Caution("danger", CONTROL_LOSS.text, ("W-JET",), "Engine running: never unplug a pressure valve."),
    entry=(
        Condition(
            "Data: valves; unpowered:",
            reads=("where", "inlet_at_rest", "outlet_at_rest"),
            otherwise="without them no reading says which way the control pulls: look there first",
        ),
        Condition("Switched side.", reads=("switched", "bleed")),
        Condition("Usual duty, current.", reads=USUAL),
    ),
    steps=(
        Action(
            "Back-probe, insulated pins, plug on.",
            tool="a multimeter with duty, or better an oscilloscope, with insulated pins for back-probing",
            caution=SLIPPING_PIN,
            drawing="back-probe",
            hands="high pressure",
        ),
        Action(
            "Clamp one wire, zeroed; leads clear.",
            tool="a current clamp",
            drawing="clamp",
            hands="high pressure",
        ),
        Action(
            "Run steadily; read pressure, target.",
            reads=("pressure", "target"),
            tool="pressure and target from live data",
            caution=RUNS_AWAY,
            state="running",
        ),
        Action(
            "Read one place per run:",
            reads=(
                "inlet_commanded_duty",
                "inlet_duty",
                "inlet_current",
                "outlet_commanded_duty",
                "outlet_duty",
                "outlet_current",
            ),
        ),
        Action("Read supply; meter counts:", reads=("supply", "meter_counts"), drawing="duty"),
    ),
    end=(Action("Lock out; leads off, check seals.", hands="high pressure", state="key off"),),
    tools=("the maker's data: which valves, their state at rest, which side is switched, the usual duty and current",),
    lock=LOCK_OUT,
)
