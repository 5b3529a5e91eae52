"""How corrections and starter current are read. Common practice, no source."""

from __future__ import annotations

from baybook.api import Action, Caution, Condition, guarded

REST = Caution(
    "warning", "Crank no longer than the data allow, then let the starter rest a minute.", ("W017",), "Let starter rest."
)
UNFUSED = Caution(
    "warning", "The starter's cable has no fuse: rings and watch off, no bare tool near it.", ("W012",), "No fuse: rings off."
)

PROCEDURE = guarded(
    entry=(
        Condition("Correction's range, sign.", ("correction_limit",)),
        Condition("Data: cranking without injection.", ("compression_limit",),
                  otherwise="leave the starter current: no injector or valve is unplugged for it"),
    ),
    steps=(
        Action("Run warm idle, consumers off; read corrections.", ("corrections",), "live data", state="running"),
        Action("Keep injection off as data say.", hands="wiring"),
        Action("Fit zeroed clamp round starter's cable; cylinder 1 pick-up.", tool="a current clamp for the starter's current",
               caution=UNFUSED, drawing="clamp", hands="wiring"),
        Action("Crank as data allow; record current, cylinder 1.", ("peaks",), "an oscilloscope", REST,
               state="running"),
    ),
    end=(
        Action("Switch off; wait; take clamp off.", hands="wiring", state="key off"),
        Action("Let injection work again.", hands="wiring"),
        Action("Bench: copy volumes, strokes.", ("volumes", "strokes")),
    ),
)  # fmt: skip
