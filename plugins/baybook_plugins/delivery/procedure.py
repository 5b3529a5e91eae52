"""How corrections and starter current are read. Common practice, no source."""

from __future__ import annotations

from baybook.api import BEFORE_RUNNING, Action, Caution, Condition, guarded

REST = Caution(
    "warning", "Crank no longer than the data allow, then let the starter rest a minute.", ("W017",), "Rest starter."
)
UNFUSED = Caution(
    "warning",
    "The starter's cable has no fuse: rings and watch off, no bare tool near it.",
    ("W012",),
    "Starter cable has no fuse: rings, watch off.",
)

PROCEDURE = guarded(
    entry=(
        Condition("Correction's range, sign.", ("correction_limit",)),
        Condition("Data allow cranking without injection.", ("compression_limit",),
                  otherwise="leave the starter current: no injector or valve is unplugged for it"),
    ),
    steps=(
        Action("Run warm idle, consumers off; read corrections.", ("corrections",), "live data", state="running"),
        Action("Keep injection off by data.", hands="wiring"),
        Action("Clamp starter's cable, zeroed; cylinder 1 pick-up.", tool="a current clamp for the starter's current",
               caution=UNFUSED, drawing="clamp", hands="wiring"),
        BEFORE_RUNNING,
        Action("Crank as data allow; record current, cylinder 1.", ("peaks",), "an oscilloscope", REST,
               state="running"),
    ),
    end=(
        Action("Lock out; take clamp off.", hands="wiring", state="key off"),
        Action("Let injection work again.", hands="wiring"),
        Action("Bench: copy volumes, strokes.", ("volumes", "strokes")),
    ),
)  # fmt: skip
