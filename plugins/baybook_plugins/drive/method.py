"""How a coil's current is logged, and what its outcome says of which places. Common practice, no source."""

from __future__ import annotations

from baybook.api import (
    CIRCUIT,
    INJECTOR_PLUGS,
    LOCK_OUT,
    RUNS_AWAY,
    SHUT_OFF,
    SLIPPING_PIN,
    UNDRIVEN,
    Action,
    Condition,
    Question,
    Sense,
    at_parts,
    guarded,
)

PROCEDURE = guarded(
    caution=INJECTOR_PLUGS,
    entry=(
        Condition("No piezo injector.", reads=("part", "form"), otherwise="leave this test"),
        Condition("Ranges, their temperature.", reads=("resistance_limit", "current_limit")),
    ),
    steps=(
        Action(
            "Zero clamp; close round one wire, along arrow.",
            tool="a current clamp fast enough, and an oscilloscope or logger",
            drawing="clamp",
            hands="high pressure",
        ),
        Action("Fit supply leads; tie clear.", caution=SLIPPING_PIN, hands="high pressure"),
        Action("Run as complained, standing.", caution=RUNS_AWAY, state="running"),
        Action("Log current.", reads=("capture",)),
        Action("Or duty, mean current, frequency.", reads=("duty", "mean_current", "frequency")),
        Action("Or read on screen:", reads=("peak_current", "hold_current")),
        Action("Read supply.", reads=("supply",)),
    ),
    end=(
        Action(
            "Lock out; read coil temperature.",
            reads=("temperature",),
            tool="a thermometer",
            hands="high pressure",
            state="key off",
        ),
        Action("Take clamp, leads off.", hands="high pressure"),
    ),
    lock=LOCK_OUT,
)
NOT_DRIVEN = "no current at all"
SENSE = Sense(
    {
        **dict.fromkeys(
            ("resistance_at_20", "mean_current", "peak_current", "hold_current"),
            # the one thing is whether the coil gets its current
            Question(CIRCUIT, 0.005, measures="coil current", shows={"current of {object}": ""}),
        ),
        NOT_DRIVEN: Question(
            UNDRIVEN, 0.005, sought=False, measures="coil current", on=("injector *",), at_once=SHUT_OFF
        ),
        "inductance": Question({"{object} coil": 0.7}, 0.01),
        "frequency": Question({"{object} driver": 0.5, "control unit": 0.2}, 0.005),
    },
    15.0,
    hands="live wiring",
    turning=True,
    objects=at_parts("injector *", "inlet valve", "outlet valve"),
)  # fmt: skip
