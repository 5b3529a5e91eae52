"""How far the rail pressure comes, whatever its limit: a pump that makes pressure is driven, and is let in what it pumps.

Common practice, no source.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from .reach import STARVED
from .sense import Answer, Question

if TYPE_CHECKING:
    from ..estimate import Estimate

NO_PRESSURE = "no pressure at all"
MADE, NONE = 50.0, 20.0
"""bar, while the engine turns: from the first on a pump is driven; up to the second nothing is made."""
SURE = 0.98
_VALVE_PARTS = ("coil", "wiring", "driver")
_EMPTY = ("tank fuel", "air leak", "feed line", "tank pump", "tank pump wiring")
_SHUT_OFF = {f"inlet valve {part}": 0.1 for part in _VALVE_PARTS}
_OPEN = {f"outlet valve {part}": 0.4 for part in _VALVE_PARTS}  # most of them stand open without current

ANY_PRESSURE = Question(
    {
        **dict.fromkeys(STARVED, 0.1), **dict.fromkeys(_EMPTY, 0.3), **_SHUT_OFF, **_OPEN,
        "pump drive": 0.95, "inlet valve": 0.5, "pump elements": 0.1,
        "outlet valve": 0.3, "relief valve": 0.1, "rail and joints": 0.1, "pump outlet": 0.2,
        "rail sensor": 0.2, "rail sensor wiring": 0.5, "control unit": 0.3, "injector *": 0.05,
    },
    0.005, sought=False, measures="any rail pressure",
)  # fmt: skip
"""The question of a test that turns the engine, under the name NO_PRESSURE; `made` answers it."""


def made(pressure: Estimate | None, before: Estimate | None = None) -> tuple[Answer, ...]:
    """The answer to it: pressure, reached while the engine turned; before: what stood in the rail or was shown before that."""
    if pressure is None:
        return ()
    reached, stood = pressure.to("bar"), 0.0 if before is None else before.to("bar").high
    if reached.low - stood >= MADE:
        return (Answer(NO_PRESSURE, SURE, said=NO_PRESSURE),)
    return (Answer(NO_PRESSURE, 1.0 - SURE, said=NO_PRESSURE),) if reached.high <= NONE else ()
