"""What the control asks of its valves meanwhile: more pressure, all there is, less, or nothing else than before.

Outlet valve: more current raises pressure. Inlet valve, usual kind: more current restricts and lowers it (common practice, no
source).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
else:
    Floats = Any

KINDS_OF_INLET = {
    "open": "open without current: more current lowers pressure",
    "shut": "shut without current: more current raises it",
}
ASKS = {
    "all": "all that it can: the duty stands at its end",
    "more": "more, and more than before",
    "same": "the same as before",
    "less": "less",
}
ENDS = (1.0, 99.0)  # % duty: within one per cent of an end nothing more can be asked for
MOVED = 0.02  # of the signal's size: what it has to move by within the stretch


def demand_of(signals: Mapping[str, Floats], inlet_kind: str, last: int) -> str:
    """A word of `ASKS`; "" where neither duty nor current was logged. last: samples at the end that count as lasting."""
    found = []
    for valve, raises in (("mv", -1.0 if inlet_kind == "open" else 1.0), ("pcv", 1.0)):
        duty, current = signals.get(f"d_{valve}"), signals.get(f"i_{valve}")
        for signal in (duty, current):
            if signal is not None and _usable(signal):
                found.append("all" if signal is duty and _at_end(signal[-last:], raises) else _trend(signal, raises))
                break
    return next((word for word in ("all", "more", "less", "same") if word in found), "")


def _usable(signal: Floats) -> bool:
    import numpy as np

    return int(np.isfinite(signal).sum()) >= 8


def _at_end(duty: Floats, raises: float) -> bool:
    import numpy as np

    mean = float(np.nanmean(duty)) if np.isfinite(duty).any() else 50.0
    return mean >= ENDS[1] if raises > 0 else mean <= ENDS[0]


def _trend(signal: Floats, raises: float) -> str:
    """Whether it moves by more than a fiftieth of itself, and by more than its scatter makes of it, over the stretch."""
    import numpy as np

    values = signal[np.isfinite(signal)]
    third = max(len(values) // 3, 1)
    begin, end = values[:third], values[-third:]
    change = raises * float(end.mean() - begin.mean())
    noise = 3.0 * float(np.hypot(begin.std(), end.std())) / np.sqrt(third)
    if abs(change) <= max(noise, MOVED * float(np.abs(values).mean())):
        return "same"
    return "more" if change > 0 else "less"
