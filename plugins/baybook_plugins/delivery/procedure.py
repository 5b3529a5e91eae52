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
        Condition("Correction's range, sign.", ("correction_limit",)),
        Condition("Data: cranking without injection.", ("compression_limit",),
                  otherwise="leave the starter current: no injector or valve is unplugged for it"),
    ),
    steps=(
        BEFORE_RUNNING,
        Action("Run warm idle, consumers off; read corrections.", ("corrections",), "live data", state="running"),
        TO_ZERO,
        KEY_OFF,
        Action("Close zeroed clamp round starter's cable.", tool="a current clamp for the starter's current",
               drawing="clamp", hands="wiring"),
        HoldPoint("Only with injection kept off as data say."),
        HANDS_OFF,
        Action("Crank five seconds; record current and cylinder 1.", ("peaks",), "an oscilloscope", REST, state="running"),
    ),
    end=(
        ZERO_AGAIN,
        Action("Switch key off; take clamp off.", hands="wiring"),
        Action("Let injection work again."),
        Action("Bench: copy volumes and strokes.", ("volumes", "strokes")),
        CLEAR,
    ),
)  # fmt: skip
