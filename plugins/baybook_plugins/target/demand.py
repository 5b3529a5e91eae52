"""What the control asks of its valves meanwhile: more pressure, all there is, less, or nothing else than before.

Outlet valve: more current raises pressure. Inlet valve, usual kind: more current restricts and lowers it (common practice, no
source).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from baybook.api import Estimate

if TYPE_CHECKING:
    from baybook_physics.following import Floats

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
SCATTER = 3.0  # standard deviations: a signal nearer to an end of its way stands there
MOVED = 0.02  # of the signal's size: what it has to move by within the stretch (common practice, no source)


def demand_of(signals: Mapping[str, Floats], whole: Mapping[str, Floats], inlet_kind: str, first: int, end: int) -> str:
    """A word of `ASKS` for the rows from `first` to before `end`; "" where neither duty nor current was logged.

    signals: of the stretch. whole: the same while the engine turned, for a valve without current rests at an end that no
    control asks for. One that stands still at an end of its own way, after it was elsewhere, can do no more: a control that
    still sees a deviation would go on.
    """
    found = []
    for valve, raises in (("mv", -1.0 if inlet_kind == "open" else 1.0), ("pcv", 1.0)):
        duty, current = signals.get(f"d_{valve}"), signals.get(f"i_{valve}")
        for name, signal in ((f"d_{valve}", duty), (f"i_{valve}", current)):
            if signal is not None and _usable(signal[first:end]):
                at_end = signal is duty and _at_end(signal[first:end], raises)
                word = "all" if at_end else _trend(signal, first, end, raises)
                found.append(_stopped(signal[first:end], whole[name], raises) if word == "same" else word)
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
    here, near = float(np.nanmedian(signal)), SCATTER * float(np.nanstd(signal))
    if float(high - low) <= 2 * near + MOVED * max(abs(low), abs(high)):
        return "same"  # it was nowhere else
    ends = ("most", "least") if raises > 0 else ("least", "most")
    if here >= high - near:
        return ends[0]
    return ends[1] if here <= low + near else "same"


def _trend(signal: Floats, first: int, end: int, raises: float) -> str:
    """Whether it moves by more than a fiftieth of itself, and by more than its scatter makes of it, up to and within these
    rows: what comes later is no answer to the deviation."""
    import numpy as np

    values = signal[:end][np.isfinite(signal[:end])]
    third = max(min((end - first) // 3, len(values) // 3), 1)
    before, after = values[:third], values[-third:]
    change = raises * float(after.mean() - before.mean())
    noise = SCATTER * float(np.hypot(before.std(), after.std())) / np.sqrt(third)
    if abs(change) <= max(noise, MOVED * float(np.abs(values).mean())):
        return "same"
    return "more" if change > 0 else "less"


def currents_in(signals: Mapping[str, Floats]) -> Iterator[tuple[str, Estimate, Estimate, bool]]:
    """Valves that a duty asks of: which, that duty, the current at it, and whether that is none."""
    from baybook_physics.driven import asked

    for valve, short in (("inlet valve", "mv"), ("outlet valve", "pcv")):
        duty, current = signals.get(f"d_{short}"), signals.get(f"i_{short}")
        if duty is not None and current is not None and (seen := asked(duty, current)):
            share = Estimate.of(seen.duty.value, "%", seen.duty.u, kind="ratio")
            yield valve, share, Estimate.of(seen.current.value, "A", seen.current.u, kind="current"), seen.none
