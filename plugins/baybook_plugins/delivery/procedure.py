"""How corrections and starter current are read. Common practice, no source."""

from __future__ import annotations

from baybook.api import (
    BEFORE_RUNNING,
    CLEAR,
    HANDS_OFF,
    KEY_OFF,
    TO_ZERO,
    ZERO_AGAIN,
    Action,
    Caution,
    Condition,
    HoldPoint,
    Procedure,
)

REST = Caution("warning", "Crank no longer than the data allow, then let the starter rest a minute.", ("W017",), "Let it rest.")

PROCEDURE = Procedure(
    entry=(
        Condition("Correction's range and sign are known.", ("correction_limit",)),
        Condition("Data say how to crank without injection.", ("compression_limit",),
                  otherwise="leave the starter current: no injector or valve is unplugged for it"),
    ),
    steps=(
        BEFORE_RUNNING,
        Action("Run warm at idle, consumers off; read each correction.", ("corrections",), "live data", state="running"),
        TO_ZERO,
        KEY_OFF,
        Action("Close the zeroed clamp round the starter's cable.", tool="a current clamp for the starter's current",
               drawing="clamp", hands="wiring"),
        HoldPoint("Go on only with injection kept off as data say."),
        HANDS_OFF,
        Action("Crank five seconds; record current and cylinder 1.", ("peaks",), "an oscilloscope", REST, state="running"),
    ),
    end=(
        ZERO_AGAIN,
        KEY_OFF,
        Action("Take the clamp off; let injection work again.", hands="wiring"),
        Action("Bench: copy volumes and strokes.", ("volumes", "strokes")),
        CLEAR,
    ),
)  # fmt: skip
