"""What the control asks of its valves meanwhile: more pressure, all there is, less, or nothing else than before.

Outlet valve: more current raises pressure. Inlet valve, usual kind: more current restricts and lowers it (common practice, no
source).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from baybook.api import Estimate

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
    "most": "the most that it does in this log, where it stands still",
    "more": "more, and more than before",
    "same": "the same as before",
    "less": "less",
    "least": "the least that it does in this log, where it stands still",
}
ENDS = (1.0, 99.0)  # % duty: within one per cent of an end nothing more can be asked for
ORDER = ("all", "most", "more", "least", "less", "same")
ALIVE, STOPPED = 0.2, 0.1  # of the signal's size: it was elsewhere in this log; of that way: it stands at an end of it
MOVED = 0.02  # of the signal's size: what it has to move by within the stretch


def demand_of(signals: Mapping[str, Floats], whole: Mapping[str, Floats], inlet_kind: str, last: int) -> str:
    """A word of `ASKS`; "" where neither duty nor current was logged. last: samples at the end that count as lasting.

    whole: the same signals over the whole log. One that stands still at an end of its own, after it was elsewhere, can do no
    more: a control that still sees a deviation would go on.
    """
    found = []
    for valve, raises in (("mv", -1.0 if inlet_kind == "open" else 1.0), ("pcv", 1.0)):
        duty, current = signals.get(f"d_{valve}"), signals.get(f"i_{valve}")
        for name, signal in ((f"d_{valve}", duty), (f"i_{valve}", current)):
            if signal is not None and _usable(signal):
                at_end = signal is duty and _at_end(signal[-last:], raises)
                word = "all" if at_end else _trend(signal, raises)
                found.append(_stopped(signal, whole[name], raises) if word == "same" else word)
                break
    return next((word for word in ORDER if word in found), "")


def _usable(signal: Floats) -> bool:
    import numpy as np

    return int(np.isfinite(signal).sum()) >= 8


def _at_end(duty: Floats, raises: float) -> bool:
    import numpy as np

    mean = float(np.nanmean(duty)) if np.isfinite(duty).any() else 50.0
    return mean >= ENDS[1] if raises > 0 else mean <= ENDS[0]


def _stopped(signal: Floats, whole: Floats, raises: float) -> str:
    """Whether a signal that does not move stands at the end of the way that it took in the log."""
    import numpy as np

    low, high = np.nanpercentile(whole, (2.0, 98.0))
    here, way = float(np.nanmedian(signal)), float(high - low)
    if way <= ALIVE * max(abs(low), abs(high)) or way <= 6.0 * float(np.nanstd(signal)):
        return "same"
    ends = ("most", "least") if raises > 0 else ("least", "most")
    if here >= high - STOPPED * way:
        return ends[0]
    return ends[1] if here <= low + STOPPED * way else "same"


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


def undriven_in(signals: Mapping[str, Floats]) -> Iterator[tuple[str, Estimate, Estimate]]:
    """Valves that get no current at their duty: which, that duty and that current."""
    import numpy as np

    from baybook_physics.coil import undriven

    for valve, short in (("inlet valve", "mv"), ("outlet valve", "pcv")):
        duty, current = signals.get(f"d_{short}"), signals.get(f"i_{short}")
        if duty is None or current is None or not (_usable(duty) and _usable(current)):
            continue
        d, i = (each[np.isfinite(each)] for each in (duty, current))
        if undriven(float(np.median(d)) / 100, float(np.median(i))):
            errors = [float(np.std(each) / np.sqrt(len(each))) for each in (d, i)]
            yield (
                valve,
                Estimate.of(float(np.median(d)), "%", errors[0], kind="ratio"),
                Estimate.of(float(np.median(i)), "A", errors[1], kind="current"),
            )
